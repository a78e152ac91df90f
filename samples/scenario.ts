import {
  delivery,
  fillLitres,
  type SimulatedRun,
  simulateRoad,
  simulateRun,
  simulateWeather,
  stationReports,
  type Vehicle,
  type WeatherKnot,
  withDrag,
} from '../test/simulator/index.ts'
import { roughFiles } from './rough.ts'

/**
 * The invented campaign `ladder-van`: what do the roof bars and the ladders of a roofer's van cost on a country loop?
 * Nothing in it was measured. The truth, known here and nowhere in the folder: bars add 5 % to the drag area, ladders 13 %.
 */
const FOLDER = 'ladder-van'
const START = { latitudeDeg: 41.8812, longitudeDeg: -5.0431, elevationM: 748 }
const DRAG_PCT: Record<string, number> = { ladders: 18, bars: 5, bare: 0 }
const VAN: Vehicle = { ...delivery, massKg: 2380, dragAreaM2: 1.42, idleW: 8500 }

/** Sky and wind at the road on one day, UTC hours; the weather between two days is nobody's concern. */
interface Day {
  date: string
  fromHour: number
  toHour: number
  /** At the first and at the last hour. */
  temperatureC: [number, number]
  dewPointC: number
  windSpeedMps: [number, number]
  windFromDeg: [number, number]
  seaLevelPressureHpa: number
  rainMmPerHour: number
}

const DAYS: Day[] = [
  // An overcast, quiet morning: two runs with the ladders on, nearly the same air.
  day('2026-04-14', [4, 12], [7.4, 8.6], 4.5, [1.2, 1.4], [40, 60], 1024.0),
  // Two days of the same kind for the bare roof and for the bars alone.
  day('2026-04-15', [4, 12], [8.8, 10.2], 5.5, [1.5, 1.8], [70, 60], 1023.0),
  day('2026-04-16', [4, 12], [8.2, 9.8], 5, [1.3, 1.6], [50, 80], 1022.0),
  // A warm, still afternoon: thinner air and softer tyres, well known because there is little wind.
  day('2026-04-17', [12, 19], [15.2, 14.4], 6, [1.3, 1.1], [110, 100], 1018.0),
  // A front: wind that nobody can average away.
  day('2026-04-21', [7, 15], [11, 13], 6, [7.5, 9.5], [250, 280], 1006.0),
  // Light rain all morning.
  day('2026-04-23', [4, 12], [8.0, 8.8], 7.4, [1.5, 1.8], [300, 310], 1012.0, 1.2),
]

function day(
  date: string,
  [fromHour, toHour]: [number, number],
  temperatureC: [number, number],
  dewPointC: number,
  windSpeedMps: [number, number],
  windFromDeg: [number, number],
  seaLevelPressureHpa: number,
  rainMmPerHour = 0,
): Day {
  return {
    date,
    fromHour,
    toHour,
    temperatureC,
    dewPointC,
    windSpeedMps,
    windFromDeg,
    seaLevelPressureHpa,
    rainMmPerHour,
  }
}

/** One run; its date and setup are the first and the last word of its file's name. */
interface Drive {
  file: string
  startUtc: string
  sampleS: number
  /** Another number is another mood of the driver, other traffic, gusts and GPS errors. */
  take: number
  note: string
}

const DRIVES: Drive[] = [
  { file: '2026-04-14-a-ladders', startUtc: '05:50', sampleS: 1, take: 2, note: 'overcast, hardly any wind' },
  { file: '2026-04-14-b-ladders', startUtc: '07:45', sampleS: 1, take: 1, note: 'same as before' },
  { file: '2026-04-15-a-bare', startUtc: '06:05', sampleS: 2, take: 5, note: 'roof cleared the evening before' },
  { file: '2026-04-15-b-bare', startUtc: '08:00', sampleS: 2, take: 7, note: '' },
  { file: '2026-04-16-bars', startUtc: '06:20', sampleS: 2, take: 1, note: 'bars only, other logger' },
  { file: '2026-04-17-ladders', startUtc: '14:10', sampleS: 2, take: 8, note: 'warm and still, ladders back on' },
  { file: '2026-04-21-bare', startUtc: '09:30', sampleS: 2, take: 5, note: 'gusty, dust over the fields' },
  { file: '2026-04-23-ladders', startUtc: '06:00', sampleS: 2, take: 1, note: 'rain, spray behind lorries' },
]

/** Another name is other luck at the pump. */
const PUMP = 'pump 3'

const dateOf = (each: Drive) => each.file.slice(0, 10)
const setupOf = (each: Drive) => each.file.slice(each.file.lastIndexOf('-') + 1)
const seedOf = (each: Drive) => `${each.file}/${each.take}`

/** Path under `samples/` → text of every generated file. */
export function sampleFiles(): Map<string, string> {
  const files = new Map<string, string>()
  const runs = DRIVES.map((each) => ({ drive: each, run: runOf(each) }))
  for (const { drive: each, run } of runs) files.set(`${FOLDER}/tracks/${each.file}.gpx`, run.gpx)
  files.set(`${FOLDER}/runs.csv`, runsCsv(runs))
  for (const [path, text] of weatherFiles()) files.set(`${FOLDER}/weather/${path}`, text)
  for (const [path, text] of roughFiles()) files.set(path, text)
  return files
}

const road = simulateRoad({ seed: FOLDER, shape: 'loop', lengthM: 104e3, ...START, gradeSd: 0.009, exposure: 0.55 })

const secondsAt = (iso: string) => Date.parse(iso) / 1000
const hourOf = (each: Day, hour: number) => secondsAt(`${each.date}T00:00:00Z`) + hour * 3600

const weather = simulateWeather({
  seed: `${FOLDER} 4`,
  ...START,
  referenceElevationM: START.elevationM,
  knots: DAYS.flatMap((each) => [knot(each, 0), knot(each, 1)]),
  mesoscale: 0.7,
})

function knot(each: Day, end: 0 | 1): WeatherKnot {
  return {
    timeS: hourOf(each, end === 0 ? each.fromHour : each.toHour),
    windSpeedMps: each.windSpeedMps[end],
    windFromDeg: each.windFromDeg[end],
    temperatureC: each.temperatureC[end],
    dewPointC: each.dewPointC,
    seaLevelPressureHpa: each.seaLevelPressureHpa,
    rainMmPerHour: each.rainMmPerHour,
  }
}

function runOf(each: Drive): SimulatedRun {
  return simulateRun({
    road,
    weather,
    vehicle: withDrag(VAN, DRAG_PCT[setupOf(each)]),
    startS: secondsAt(`${dateOf(each)}T${each.startUtc}Z`),
    seed: seedOf(each),
    sampleS: each.sampleS,
    name: each.file,
    creator: each.sampleS === 1 ? 'invented logger A' : 'invented logger B',
    driver: { pace: 0.97, unrest: 0.8 },
  })
}

function runsCsv(runs: { drive: Drive; run: SimulatedRun }[]): string {
  const header =
    'track,setup,fuel_l,fuel_temperature_c,trip_computer_l_per_100km,odometer_km,payload_kg,tyre_pressure_kpa,fill_group,note'
  const rows = runs.map(({ drive: each, run }, i) => {
    // Fills of one date are a chain: full after the first run is full before the second.
    const previous = runs[i - 1]?.drive
    const before = previous && dateOf(previous) === dateOf(each) ? previous.file : `before ${dateOf(each)}`
    const { truth } = run
    const fuelL = fillLitres(VAN, truth, {
      before: `${PUMP}/${before}`,
      after: `${PUMP}/${each.file}`,
      repeatabilityLitres: 0.05,
    })
    const display = (truth.fuelEnergyJ / 35.8e6 / truth.distanceM) * 1e5 * 0.965
    return [
      `${each.file}.gpx`,
      setupOf(each),
      fuelL.toFixed(2),
      (truth.meanTemperatureC + 3).toFixed(0),
      display.toFixed(1),
      ((truth.distanceM / 1000) * 1.012).toFixed(1),
      320,
      380,
      dateOf(each),
      each.note && `"${each.note}"`,
    ].join(',')
  })
  return [header, ...rows].join('\n').concat('\n')
}

/**
 * An aerodrome 20 km off the loop reports each hour in code; the mast at a cooperative's silo, in the middle of the loop, with
 * a sensor in its access road, writes a table.
 */
function weatherFiles(): [string, string][] {
  const aerodrome = { id: 'LEVD', latitudeDeg: 41.7061, longitudeDeg: -4.8519, elevationM: 846, intervalMin: 60 }
  const silo = { id: 'silo', latitudeDeg: 41.8985, longitudeDeg: -4.8507, elevationM: 741, intervalMin: 10 }
  const spans = DAYS.map((each) => [hourOf(each, each.fromHour), hourOf(each, each.toHour)])
  const metar = spans.map(([from, to]) => stationReports(weather, aerodrome, from, to).metar(false)).join('')
  const tables = spans.map(([from, to]) =>
    stationReports(weather, silo, from, to).csv({ positions: false, roadWet: true }),
  )
  const table =
    tables[0] +
    tables
      .slice(1)
      .map((text) => text.slice(text.indexOf('\n') + 1))
      .join('')
  return [
    ['aerodrome-april-2026.txt', metar],
    ['silo-mast.csv', table],
  ]
}
