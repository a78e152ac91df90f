import { beforeAll, describe, expect, it } from 'vitest'
import type { CampaignResult } from '../../src/campaign/campaign-result.ts'
import { apparentWindMet } from '../../src/campaign/drive/along-wind.ts'
import { thinned } from '../../src/campaign/drive/run-along.ts'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import { STRIPS } from '../../src/report/along-data.ts'
import { DEFAULTS, folderFiles } from './folder.ts'

const known = (column: ArrayLike<number>): number[] => Array.from(column).filter((v) => Number.isFinite(v))
const meanOf = (values: number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length

async function resultOf(wanted: (name: string) => boolean): Promise<CampaignResult> {
  const files = folderFiles('samples/ladder-van', wanted)
  return runCampaign({ files, unreadable: [], settings: { ...DEFAULTS, draws: 40 }, version: 'test' })
}

describe('what is drawn along the road', () => {
  let result: CampaignResult
  beforeAll(async () => {
    result = await resultOf((name) => !/2026-04-(15|17|23)/.test(name))
  })

  it('has all runs of the sample on one road, in at most 400 cells', () => {
    const { along, report } = result
    expect(along.runs.map(({ run }) => run)).toEqual(report.runs.map(({ id }) => id))
    expect(along.selection).toBeNull()
    expect(along.roads).toHaveLength(1)
    expect(along.roads[0].cells).toBeLessThanOrEqual(400)
    expect(along.roads[0].latitude).toHaveLength(along.roads[0].cells + 1)
    for (const run of along.runs)
      for (const strip of STRIPS) expect(run.strips[strip]).toHaveLength(along.roads[0].cells)
  })

  it('agrees in its means with the figures of the report, which come from the steps themselves', () => {
    for (const [i, { strips }] of result.along.runs.entries()) {
      const { wind, air, demand } = result.report.runs[i]
      expect(meanOf(known(strips.headwindMps))).toBeCloseTo(wind.headwind_mps!, 1)
      expect(meanOf(known(strips.crosswindMps).map(Math.abs))).toBeCloseTo(wind.crosswind_abs_mps!, 0)
      expect(meanOf(known(strips.densityKgM3))).toBeCloseTo(air.density_kgm3!, 3)
      // Cells in place of steps, and standing time at the ends: 1 % apart at most.
      expect(meanOf(known(strips.demandJPerM)) / demand.mean_j_per_m!).toBeCloseTo(1, 1.7)
    }
  })

  it('shares out the whole distance over yaw and air speed', () => {
    for (const { apparent } of result.along.runs) {
      expect(apparent!.share.flat().reduce((sum, part) => sum + part, 0)).toBeCloseTo(1, 9)
    }
  })

  it('tells the weather over the run with an uncertainty and the observations of each station used', () => {
    for (const [i, { weather }] of result.along.runs.entries()) {
      expect(weather!.observations.map(({ station }) => station).sort()).toEqual(
        result.report.runs[i].air.stations.map(({ id }) => id).sort(),
      )
      expect(Math.min(...weather!.windSdMps, ...weather!.temperatureSdC)).toBeGreaterThan(0)
      expect(meanOf(known(weather!.windMps))).toBeCloseTo(result.report.runs[i].wind.speed_mps!, 0)
    }
  })

  it('leaves out what nobody observed', async () => {
    const { along } = await resultOf((name) => name.endsWith('bars.gpx'))
    const [run] = along.runs
    expect(run).toMatchObject({ windAt: [], apparent: null, weather: null })
    expect(known(run.strips.headwindMps)).toEqual([])
    expect(known(run.strips.demandJPerM)).toEqual([])
    expect(known(run.strips.speedMps).length).toBeGreaterThan(100)
  })
})

describe('the air as met', () => {
  const column = (value: number): Float64Array => Float64Array.of(value, value)
  const steps = { distanceM: column(500), speedMps: column(20), courseEast: column(0), courseNorth: column(1) }
  const air = { windEastMps: column(-20 * Math.tan(Math.PI / 18)), windNorthMps: column(0) }

  it('has a wind from the right of a drive to the north at a positive yaw', () => {
    // tan ψ = crosswind / speed: 10° by construction.
    const met = apparentWindMet(steps as never, air as never, 1)
    const filled = met.share.flatMap((row, yaw) =>
      row.some((part) => part > 0) ? yaw * met.yawStepDeg - met.yawLimitDeg : [],
    )
    expect(filled).toHaveLength(1)
    expect(filled[0]).toBeGreaterThanOrEqual(5)
    expect(met.yawMedianDeg).toBeCloseTo(10, 9)
    expect(met.meanAirspeedMps).toBeCloseTo(20 / Math.cos(Math.PI / 18), 9)
  })
})

describe('thinning', () => {
  it('takes the mean of what is known', () => {
    expect([...thinned(Float64Array.of(1, 3, Number.NaN, 5, Number.NaN, Number.NaN), 3)]).toEqual([2, 5, Number.NaN])
  })
})
