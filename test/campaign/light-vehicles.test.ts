import { expect, it } from 'vitest'
import type { Vehicle } from '../simulator/index.ts'
import { inputFile, reportOf } from './folder.ts'
import { simulatedFiles } from './simulated-campaign.ts'

/** A rider on a bicycle with a power meter: six drives round 8 km at some 25 km/h, three of them with 12 % more drag area. */
const BICYCLE: Vehicle = {
  massKg: 86,
  dragAreaM2: 0.46,
  rollingResistance: 0.005,
  powertrain: 'human',
  idleW: 0,
}
const ridden = (campaign: string) =>
  simulatedFiles({
    seed: 'bicycle',
    shape: 'loop',
    lengthM: 8000,
    runs: 4,
    vehicle: BICYCLE,
    campaign,
    road: { limitMps: 7 },
  })

/** Work at the pedals of each ride in a column of the table, with what one unit is in J. */
const table = (truths: ReturnType<typeof ridden>['truths'], column: string, unitJ: number): string =>
  `track,setup,${column}\n${truths.map(({ fuelEnergyJ }, i) => `run-${i}.gpx,${i % 2 ? 'b' : 'a'},${(fuelEnergyJ / unitJ).toFixed(3)}`).join('\n')}\n`

it.each([
  ['energy_kj', 1000],
  ['energy_wh', 3600],
  ['energy_kwh', 3.6e6],
])('rides with a power meter are claimed from the column %s', async (column, unitJ) => {
  const { files, truths } = ridden('vehicle:\n  class: bicycle\n')
  const report = await reportOf([...files, inputFile('runs.csv', table(truths, column, unitJ))])
  expect(report.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  expect(report.problems.map(({ code }) => code)).not.toContain('fuel-level')
  const [claim] = report.claims
  // Nothing was changed between a and b: the simulator's truth lies in the interval.
  expect(claim.adjusted_consumption_change_pct?.low95).toBeLessThan(0)
  expect(claim.adjusted_consumption_change_pct?.high95).toBeGreaterThan(0)
  // 86 kg at 25 km/h take 2 to 8 Wh/km, 0.2 to 0.8 kWh/100 km (Wilson, Bicycling Science, from memory).
  const per100Km = (truths[0].fuelEnergyJ / 3.6e6 / truths[0].distanceM) * 1e5
  expect(per100Km).toBeGreaterThan(0.2)
  expect(per100Km).toBeLessThan(0.8)
})

it('a bicycle that is taken for a car is told by the level of its energy, and left out of nothing', async () => {
  const { files, truths } = ridden('vehicle:\n  class: car\n  powertrain: electric\n')
  const report = await reportOf([...files, inputFile('runs.csv', table(truths, 'energy_wh', 3600))])
  expect(report.problems.map(({ code }) => code)).not.toContain('impossible-consumption')
  const told = report.problems.find(({ code }) => code === 'fuel-level')
  expect(told?.message).toMatch(/another class, such as (electric_bicycle|bicycle|velomobile)/)
  const [claim] = report.claims
  expect([...claim.runs, ...claim.baseline_runs].sort()).toEqual(report.runs.map(({ id }) => id).sort())
})

it('a bicycle of which nothing is stated is told by its energy or its motion, and taken for a light vehicle', async () => {
  const { files, truths } = ridden('title: rides\n')
  const withEnergy = await reportOf([...files, inputFile('runs.csv', table(truths, 'energy_wh', 3600))], { draws: 50 })
  const told = withEnergy.problems.find(({ code }) => code === 'vehicle-guessed')
  // Below 1 kWh/100 km (Wilson, Bicycling Science, from memory), where cars take 10 to 25.
  expect(told?.message).toMatch(/its drives take 0\.\d kWh\/100 km, which is no car's: it is taken for a light vehicle/)
  expect(withEnergy.problems.map(({ code }) => code)).not.toContain('fuel-level')
  const of = withEnergy.assumptions.find(({ name }) => name === 'class of the vehicle')
  expect(of?.value).toBe('electric_bicycle')
  expect(of?.uncertainty).not.toMatch(/van|truck/)
  for (const { name, value, uncertainty } of withEnergy.assumptions)
    expect(`${name}: ${value}, ${uncertainty}`).not.toMatch(/\d\.\d{6,}/)
  const litres = `track,setup,fuel_l\nrun-0.gpx,a,0.5\nrun-1.gpx,b,0.5\n`
  const burning = await reportOf([...files, inputFile('runs.csv', litres)], { draws: 50 })
  expect(burning.problems.map(({ code }) => code)).not.toContain('vehicle-guessed')
  expect(burning.assumptions.map(({ uncertainty }) => uncertainty)).toContain(
    '± 0.7 % a litre, ± 0.35 % a kilogram; drives of one day share it',
  )
})

it('an efficiency car’s watt hour a lap is read', async () => {
  const { files } = ridden(
    'vehicle:\n  class: efficiency_car\n  mass_kg: 90\n  drag_area_m2: 0.03\n  rolling_resistance: 0.0015\n',
  )
  const rows = `track,setup,energy_wh\n${[0, 1, 2, 3].map((i) => `run-${i}.gpx,${i % 2 ? 'b' : 'a'},${1 + 0.01 * i}`).join('\n')}\n`
  const report = await reportOf([...files, inputFile('runs.csv', rows)])
  const codes = report.problems.map(({ code }) => code)
  expect(codes.filter((code) => code.startsWith('campaign-') || code.startsWith('runs-'))).toEqual([])
})

it('a class that the figures contradict is told, and not used', async () => {
  const { files } = ridden('vehicle:\n  class: car\n  mass_kg: 90\n  drag_area_m2: 0.5\n  powertrain: human\n')
  const report = await reportOf(files, { draws: 50 })
  const told = report.problems.find(({ code }) => code === 'vehicle-class-doubtful')
  expect(told?.message).toMatch(/the class is car, but mass_kg 90 and drag_area_m2 0.5 are those of the class bicycle/)
})
