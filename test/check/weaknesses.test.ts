import { describe, expect, it } from 'vitest'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { mapFile, type WholeFile } from '../../src/campaign/load/map-file.ts'
import { weaknessesOf } from '../../src/check/weaknesses.ts'
import { CLAIM_CASES } from '../calibration/claim-cases.ts'
import { simulateClaims } from '../calibration/simulated-claims.ts'
import { DEFAULTS, inputFile, reportOf } from '../campaign/folder.ts'
import { stints } from '../campaign/measured-stints.ts'

const { draws, seed } = DEFAULTS

function simulated(name: string): WholeFile[] {
  const found = CLAIM_CASES.find((one) => one.name === name)
  if (!found) throw new Error(`no case is called ${name}`)
  return simulateClaims({ ...found.settings, seed: 'weaknesses' }).mapped
}

async function costsOf(mapped: WholeFile[]): Promise<Map<string, number | null>> {
  const { weaknesses } = weaknessesOf(await workingStateOf(mapped, [], { draws, seed }))
  return new Map(weaknesses.map(({ code, costPoints }) => [code, costPoints]))
}

describe('what makes a claim wide', () => {
  it('is the trip computer on a road too short for the pump, and then no longer the fills', async () => {
    const costs = await costsOf(simulated('fused: 10 km, six runs each'))
    expect(costs.get('readings')).toBe(Math.max(...[...costs.values()].map((points) => points ?? 0)))
    expect(costs.get('readings')).toBeGreaterThan(1)
    expect(costs.get('fills')).toBeLessThan(0.5)
  })

  it('is no reading where none was taken', async () => {
    expect((await costsOf(simulated('loop, nothing changed'))).has('readings')).toBe(false)
  })

  it('is the road of which nobody says whether it was wet, until somebody does', async () => {
    const mapped = simulated('all of one setup wet, unreported')
    expect((await costsOf(mapped)).get('road-wet-unknown')).toBeGreaterThan(0.3)
    const rows = mapped.map((file) => (file.path === 'runs.csv' ? mapFile(withRoads()) : file))
    expect((await costsOf(rows)).has('road-wet-unknown')).toBe(false)
  })
})

describe('what measuring costs where a row has several drives', () => {
  // The report's own shares are the reference: without a source the variance is what the others leave of it.
  it.each([
    ['fills', 'track,setup,fuel_l\na.gpx@0700.1-3,bare,0.9\nb.gpx@0900.1-3,rack,1\nc.gpx@1100.1-3,bare,0.92\n'],
    ['charges', 'track,setup,energy_kwh\na.gpx@0700.1-3,bare,3\nb.gpx@0900.1-3,rack,3.3\nc.gpx@1100.1-3,bare,3.04\n'],
  ])('is told as %s, by their share in the claim', async (code, rows) => {
    const files = stints(rows)
    const { claims } = await reportOf(files)
    const { adjusted_consumption_change_pct: interval, uncertainty_shares } = claims[0]
    const width = (interval?.high95 ?? Number.NaN) - (interval?.low95 ?? Number.NaN)
    const costs = await costsOf(files.map((file) => mapFile(file)))
    expect(uncertainty_shares.fills).toBeGreaterThan(0)
    expect(costs.get(code)).toBeCloseTo(width * (1 - Math.sqrt(1 - uncertainty_shares.fills)), 2)
    expect(costs.has(code === 'fills' ? 'charges' : 'fills')).toBe(false)
  })
})

/** Six drives by turns whose driver noted the road. */
const withRoads = () =>
  inputFile(
    'runs.csv',
    [
      'track,setup,fuel_l,road_wet',
      ...[0, 1, 2, 3, 4, 5].map((i) => `run-${i}.gpx,${i % 2 ? 'part' : 'bare'},6,dry`),
    ].join('\n'),
  )
