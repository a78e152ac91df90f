import { smallCar, simulateRoad, simulateRun, simulateWeather, stationReports } from '../test/simulator/index.ts'
import { gpxText, recordFixes } from '../test/simulator/device.ts'

const DAY_S = 86_400
const FIRST_DAY_S = Date.parse('2025-03-03T00:00:00Z') / 1000
/** So many drives are simulated in full; the others are the same drives on other days, seen by other receivers. */
const DRIVES = 12
const RUNS_A_DAY = 8
const PLACE = { latitudeDeg: 47.6, longitudeDeg: 8.4 }

export interface FleetSettings {
  seed: string
  runs: number
  /** About so many fixes a run, one a second. */
  points: number
}

/** The files of an invented fleet's season on one road: every run is a recording of its own. The same bytes every time. */
export function* fleetFiles({ seed, runs, points }: FleetSettings): Generator<[path: string, text: string]> {
  const days = Math.ceil(runs / RUNS_A_DAY) + 1
  const weather = simulateWeather({ seed, ...PLACE, startTimeS: FIRST_DAY_S, days })
  const road = simulateRoad({ seed, shape: 'loop', lengthM: metresFor(points), ...PLACE })
  const station = { id: 'S1', ...PLACE, latitudeDeg: PLACE.latitudeDeg + 0.06, elevationM: 420, intervalMin: 30 }
  yield ['campaign.yaml', 'title: A fleet, invented\nvehicle:\n  class: small_car\n']
  yield ['weather/station.csv', stationReports(weather, station, FIRST_DAY_S, FIRST_DAY_S + days * DAY_S).csv()]
  const drives = Array.from({ length: Math.min(DRIVES, runs) }, (_, i) =>
    simulateRun({ road, weather, vehicle: smallCar, startS: startOf(i), seed: `${seed}/${i}` }),
  )
  for (let i = 0; i < runs; i++) {
    const { motion } = drives[i % drives.length]
    const fixes = recordFixes(road, motion, startOf(i), { seed: `${seed}/receiver/${i}` })
    yield [`tracks/run-${String(i).padStart(4, '0')}.gpx`, gpxText(fixes, `run ${i}`)]
  }
}

const startOf = (run: number): number => FIRST_DAY_S + Math.floor(run / RUNS_A_DAY) * DAY_S + (run % RUNS_A_DAY) * 2.5 * 3600

/** The simulated driver averages some 76 km/h on its road. */
const metresFor = (points: number): number => points * 21.2
