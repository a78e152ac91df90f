import { describe, expect, it } from 'vitest'
import { mean, standardDeviation } from '../../src/base/statistics.ts'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import type { RunRecord } from '../../src/campaign/drive/run-record.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { withTrueMotion } from '../../src/campaign/pairs/true-motion.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { noVehicle } from '../demand/scene.ts'
import { inputFile } from './folder.ts'

const SETTINGS = { draws: 200, seed: 1, roughnessM: 0.1 }
const CAR = sharedDraws(vehicleOf(noVehicle), SETTINGS)

/** Three drives of one road, with kinetic parts and noise as said here. */
async function recordsWith(...kinetic: [log: number, sd: number][]): Promise<RunRecord[]> {
  const files = [
    ...kinetic.map((_, i) => inputFile(`${i}.gpx`, straightTrack(`2024-05-03T08:${i}0:00Z`, 120 + i))),
    inputFile('weather.csv', STEADY_WEATHER),
  ]
  const { records } = await workingStateOf(files.map(mapFile), files, SETTINGS)
  return records.map((record, i) => ({
    ...record,
    kinetic: { log: kinetic[i][0], sd: kinetic[i][1], commonSd: 0, drawnSd: 0 },
  }))
}

const logRatio = (after: RunRecord, before: RunRecord): Float64Array =>
  after.comparable.draws!.map((joules, k) => Math.log(joules / before.comparable.draws![k]))

describe('withTrueMotion', () => {
  it('draws a noisy drive to the sound ones and leaves these', async () => {
    const before = await recordsWith([0.1, 0.002], [0.1, 0.002], [0.4, 0.3])
    const after = withTrueMotion(before, CAR)
    const shifts = after.map((record, i) => mean(logRatio(record, before[i])))
    expect(Math.abs(shifts[0])).toBeLessThan(0.005)
    // Its noise is a hundred times theirs: what it seems to differ by is noise, 0.3 of it.
    expect(shifts[2]).toBeCloseTo(-0.3, 1)
    const spread = after.map((record, i) => standardDeviation(logRatio(record, before[i])))
    expect(spread[2]).toBeGreaterThan(5 * spread[0])
  })

  it('a drive alone on its road keeps its mean', async () => {
    const before = await recordsWith([0.2, 0.05])
    const ratio = logRatio(withTrueMotion(before, CAR)[0], before[0])
    expect(mean(ratio)).toBeCloseTo(0, 10)
  })

  it('leaves drives alone that are not compared', async () => {
    const before = await recordsWith([0.1, 0.002], [0.4, 0.3])
    const row = { exclude: 'a puncture' } as RunRecord['run']['row']
    const excluded = { ...before[1], run: { ...before[1].run, row } }
    const after = withTrueMotion([before[0], excluded], CAR)
    expect(after[1]).toBe(excluded)
  })

  it('counts more in the draws of a class that needs less for its mass, as a lorry does', async () => {
    const before = await recordsWith([0.1, 0.05], [0.1, 0.05])
    // Nothing but the class differs between the draws.
    const exact = { ...vehicleOf({ ...noVehicle, class: null }), massKg: { value: 1500, sd: 0 } }
    const of = (name: 'car' | 'truck') =>
      sharedDraws({ ...exact, classes: [{ class: name, probability: 1 }] }, SETTINGS)
    const spread = (name: 'car' | 'truck', timesDemand: number): number => {
      const { nominalJPerM } = before[0].demand!
      const drawsJPerM = new Float64Array(SETTINGS.draws).fill(timesDemand * nominalJPerM)
      const record = { ...before[0], demand: { ...before[0].demand!, drawsJPerM } }
      return standardDeviation(withTrueMotion([record, before[1]], of(name))[0].demand!.drawsJPerM.map(Math.log))
    }
    // The same joules of half the demand are twice the share.
    expect(spread('truck', 0.5) / spread('car', 1)).toBeCloseTo(2, 6)
  })

  it('claims take the same means as pairs', async () => {
    const after = withTrueMotion(await recordsWith([0.1, 0.05], [0.2, 0.05]), CAR)
    for (const { demand, comparable } of after) {
      const ofClaims = mean(demand!.drawsJPerM.map(Math.log))
      expect(ofClaims).toBeCloseTo(mean(comparable.draws!.map(Math.log)), 3)
    }
  })
})
