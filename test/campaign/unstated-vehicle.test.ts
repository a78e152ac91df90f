import { expect, it } from 'vitest'
import { lorry, NOTHING } from '../calibration/pair-cases.ts'
import { straightTrack } from '../cli/command.ts'
import { PULL_OF_LORRY, smallCar } from '../simulator/index.ts'
import { inputFile, reportOf } from './folder.ts'
import { type SimulatedCampaign, simulatedFiles } from './simulated-campaign.ts'

const base = { seed: 'unstated', shape: 'loop', lengthM: 12_000, runs: 2, campaign: NOTHING } as const
const ofLorry = { ...base, vehicle: lorry, pull: PULL_OF_LORRY }

/** What the report takes the chance of a lorry to be, percent. */
async function chanceOfLorry(settings: SimulatedCampaign, litres: number | null): Promise<number> {
  const { files } = simulatedFiles(settings)
  const rows = [0, 1].map((run) => `tracks/run-${run}.gpx,bare,${litres}`)
  const table = litres === null ? [] : [inputFile('runs.csv', ['track,setup,fuel_l', ...rows].join('\n'))]
  const { assumptions } = await reportOf([...files, ...table].sort((a, b) => (a.path < b.path ? -1 : 1)))
  const told = assumptions.find(({ name }) => name === 'class of the vehicle')?.uncertainty
  return Number(/truck (\d+) %/.exec(told ?? '')?.[1] ?? (told?.includes('truck below 1 %') ? 0 : Number.NaN))
}

// The simulator's vehicles say what is right; over 12 km lorries take 2.5 to 4 l, small cars 0.5 to 0.8 (common practice, no source).
it('how it drives and what it takes tell a lorry from a car', { timeout: 120_000 }, async () => {
  const prior = 13
  expect(await chanceOfLorry(ofLorry, null)).toBeGreaterThan(1.5 * prior)
  expect(await chanceOfLorry(ofLorry, 3.2)).toBeGreaterThan(5 * prior)
  expect(await chanceOfLorry({ ...base, vehicle: smallCar }, null)).toBeLessThan(prior)
  expect(await chanceOfLorry({ ...base, vehicle: smallCar }, 0.65)).toBeLessThan(prior / 5)
})

// By hand, at 80 km/h in air of 1.2 kg/m³: a car of 1500 kg needs (147 N + 193 N) / 0.9 + 111 N of friction and 2.25 kW of idling,
// 13.1 kW; a lorry of 18 t (1148 N + 1630 N) / 0.9 + 296 N and 6 kW, 81.2 kW; 1 kW of electricity is 1.67 kW at the engine.
it.each([
  ['car', 13],
  ['truck', 2],
])('a report says what a kilowatt for heating that nobody wrote down would be: %s', async (of, percent) => {
  const files = [inputFile('a.gpx', straightTrack('2024-05-03T08:00Z', 120))]
  const { assumptions } = await reportOf([inputFile('campaign.yaml', `vehicle:\n  class: ${of}\n`), ...files])
  const told = assumptions.find(({ name }) => name.startsWith('lights, heating'))
  expect(told?.uncertainty).toContain(`1 kW more in one drive is ${percent} % of its demand`)
})
