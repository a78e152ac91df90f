import { expect, it } from 'vitest'
import { concatenated } from '../simulator/day.ts'
import { gpxText, recordFixes } from '../simulator/device.ts'
import { drive, type TrueMotion } from '../simulator/driver.ts'
import { simulateRoad, simulateWeather, stationReports, type Vehicle } from '../simulator/index.ts'
import { truthOf } from '../simulator/vehicle.ts'
import { inputFile, reportOf } from './folder.ts'

/** A light car on laps of 2 km with its energy measured lap by lap, its tyres pumped up in every second stint. */
const CAR: Vehicle = {
  massKg: 195,
  dragAreaM2: 0.25,
  rollingResistance: 0.0045,
  powertrain: 'electric',
  idleW: 8,
  recovers: 0,
}
const PUMPED: Vehicle = { ...CAR, rollingResistance: 0.88 * CAR.rollingResistance }
const [LAP_M, LAPS, STINTS] = [2000, 6, 4]
const START = Date.parse('2025-06-03T08:00:00Z') / 1000
const SAID = 'vehicle:\n  powertrain: electric\n  mass_kg: 190\n  drag_area_m2: 0.24\n  rolling_resistance: 0.0045\n'

/** The part of a motion between two places of the road. */
function between(motion: TrueMotion, fromM: number, toM: number): TrueMotion & { beginS: number } {
  const from = motion.distanceM.findIndex((m) => m >= fromM)
  const found = motion.distanceM.findIndex((m) => m >= toM)
  const to = found < 0 ? motion.count : found
  return {
    dtS: motion.dtS,
    count: to - from,
    distanceM: motion.distanceM.slice(from, to),
    speedMps: motion.speedMps.slice(from, to),
    beginS: from * motion.dtS,
  }
}

it('laps of a light car, begun and ended on the move, show what pumped-up tyres save', async () => {
  const place = { latitudeDeg: 48, longitudeDeg: 9 }
  const lap = simulateRoad({ seed: 'light', shape: 'loop', lengthM: LAP_M, ...place, limitMps: 9, gradeSd: 0.004 })
  const road = { ...concatenated(Array.from({ length: LAPS }, () => lap)), junctions: [] }
  const weather = simulateWeather({ seed: 'light', ...place, startTimeS: START - 86_400, days: 4 })
  const rows: string[] = []
  const logs = { bare: [] as number[], pumped: [] as number[] }
  const files = [inputFile('campaign.yaml', `${SAID}baseline: bare\n`)]
  for (let stint = 0; stint < STINTS; stint++) {
    const setup = stint % 2 === 0 ? 'bare' : 'pumped'
    const startS = START + stint * 5400
    const motion = drive(road, { seed: `light/${stint}`, unrest: 0.3 })
    const fixes = recordFixes(road, motion, startS, { seed: `light/${stint}`, sampleS: 0.5 })
    files.push(inputFile(`s${stint}.gpx`, gpxText(fixes, 'stint')))
    for (let n = 0; n < LAPS; n++) {
      const part = between(motion, n * lap.lengthM, (n + 1) * lap.lengthM)
      const vehicle = setup === 'bare' ? CAR : PUMPED
      const truth = truthOf(road, part, weather, vehicle, startS + part.beginS, `light/${stint}/${n}`)
      const unchanged = truthOf(road, part, weather, CAR, startS + part.beginS, `light/${stint}/${n}`)
      logs[setup].push(Math.log(truth.fuelEnergyJ / unchanged.fuelEnergyJ))
      const clock = new Date(startS * 1000).toISOString().slice(11, 16).replace(':', '')
      rows.push(`s${stint}.gpx@${clock}.${n + 1},${setup},${(truth.fuelEnergyJ / 3600).toFixed(3)}`)
    }
  }
  const station = { id: 'S1', latitudeDeg: 48.07, longitudeDeg: 9, elevationM: 300, intervalMin: 30 }
  const air = stationReports(weather, station, START - 86_400, START + 2 * 86_400).csv({})
  const table = inputFile('runs.csv', `track,setup,energy_wh\n${rows.join('\n')}\n`)
  const report = await reportOf([...files, table, inputFile('weather.csv', air)])
  const [claim] = report.claims
  expect(claim.runs.length + claim.baseline_runs.length).toBe(STINTS * LAPS)
  const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length
  const truePct = 100 * Math.expm1(mean(logs.pumped) - mean(logs.bare))
  const { low95, high95, estimate } = claim.adjusted_consumption_change_pct!
  expect(low95).toBeLessThan(truePct)
  expect(high95).toBeGreaterThan(truePct)
  expect(estimate).toBeLessThan(0)
  // The first lap of a stint pulls away from a stand: the energy of the ends is taken out, and repeats differ less.
  expect(claim.scatter!.adjusted_sd_pct).toBeLessThan(0.6 * claim.scatter!.raw_sd_pct)
})
