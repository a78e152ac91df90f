import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { forecastOf } from '../../src/plan/forecast.ts'
import { rankedSlots } from '../../src/plan/windows.ts'
import { slotsOf } from '../../src/plan/windows-ahead.ts'
import { inputFile } from '../campaign/folder.ts'
import {
  type RoadShape,
  simulateRoad,
  simulateRun,
  simulateWeather,
  stationReports,
  type Vehicle,
  type Weather,
} from '../simulator/index.ts'
import { gaussMarkov, randomOf } from '../simulator/random.ts'
import { truthOf } from '../simulator/vehicle.ts'

const DAY_S = 86_400
const HOUR_S = 3600
const FIRST_DAY = Date.parse('2025-05-02T00:00:00Z') / 1000
/** An error of a forecast lasts for hours: systems arrive early or late. */
const ERROR_MEMORY_H = 8
/**
 * Standard deviations of a forecast for a place at no lead time and their growth per hour: one component of the wind, m/s,
 * temperature, K, pressure, Pa. About what the weather services' yearly verifications show for European stations (wind
 * speed 1.7 to 1.9 m/s and 2 m temperature 2 to 2.5 K at 60 to 72 h, sea-level pressure 1 hPa a day; from memory), with
 * the part that is the station's own left out; chosen apart from the tool's sizes, which are other numbers.
 */
const ERRORS = {
  wind: (h: number): number => 1.1 + 0.011 * h,
  temperature: (h: number): number => 1 + 0.014 * h,
  pressure: (h: number): number => 60 + 3.5 * h,
}

export interface World {
  seed: string
  shape: RoadShape
  lengthM: number
  vehicle: Vehicle
  /** What the experimenter states of the vehicle. */
  campaign: string
  /** Factor on the wind. */
  windScale: number
  /** Between the forecast's times; default 1. */
  stepH?: number
}

export interface PickedSlot {
  seed: string
  low90Pct: number
  high90Pct: number
  meanPct: number
  truePct: number
}

/** What a model would say for a place: the truth there with errors of the stated size, of which some hours are told. */
function forecastCsv(
  weather: Weather,
  place: { latitudeDeg: number; longitudeDeg: number },
  from: number,
  hours: number,
  stepH: number,
) {
  const random = randomOf(`${weather.seed}/forecast`)
  const errors = Array.from({ length: 4 }, () => gaussMarkov(random))
  const rows = Array.from({ length: hours + 1 }, (_, h) => {
    const time = from + h * HOUR_S
    const air = weather.at(time, place.latitudeDeg, place.longitudeDeg, 250)
    const [e, n, t, p] = errors.map((next) => next(1 / ERROR_MEMORY_H))
    const [u, v] = [air.windEastMps + ERRORS.wind(h) * e, air.windNorthMps + ERRORS.wind(h) * n]
    return [
      new Date(time * 1000).toISOString(),
      'model',
      place.latitudeDeg,
      place.longitudeDeg,
      250,
      10,
      (air.temperatureK - 273.15 + ERRORS.temperature(h) * t).toFixed(2),
      (100 * Math.min(1, air.relativeHumidity)).toFixed(0),
      ((air.pressurePa + ERRORS.pressure(h) * p) / 100).toFixed(1),
      Math.hypot(u, v).toFixed(2),
      (((Math.atan2(-u, -v) * 180) / Math.PI + 360) % 360).toFixed(0),
    ].join(',')
  })
  const header =
    'time,station,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg'
  return `${header}\n${rows.filter((_, h) => h % stepH === 0).join('\n')}\n`
}

/** One baseline run, a forecast for the two days after it, and the slots that the plan puts first with what is true of them. */
export async function pickedSlots(world: World, most: number): Promise<PickedSlot[]> {
  const { seed, shape, lengthM, vehicle, windScale } = world
  const random = randomOf(`${seed}/place`)
  const place = { latitudeDeg: 48 + random.normal(), longitudeDeg: 9 + 2 * random.normal() }
  const road = simulateRoad({ seed, shape, lengthM, ...place })
  const weather = simulateWeather({ seed, ...place, startTimeS: FIRST_DAY, days: 4, windScale })
  const startS = FIRST_DAY + 10 * HOUR_S
  const run = simulateRun({ road, weather, vehicle, startS, seed, sampleS: 2 })
  const middle = road.count >> 1
  const onRoad = { latitudeDeg: road.latitude[middle], longitudeDeg: road.longitude[middle] }
  const station = { id: 'S', ...onRoad, latitudeDeg: onRoad.latitudeDeg + 0.07, elevationM: 300, intervalMin: 30 }
  const files = [
    inputFile('campaign.yaml', world.campaign),
    inputFile('run.gpx', run.gpx),
    inputFile('station.csv', stationReports(weather, station, FIRST_DAY, FIRST_DAY + DAY_S).csv()),
  ]
  const state = await workingStateOf(files.map(mapFile), files, { draws: 100, seed: 1 })
  const from = FIRST_DAY + DAY_S
  const outlook = mapFile(inputFile('forecast.csv', forecastCsv(weather, onRoad, from, 60, world.stepH ?? 1)))
  const [reference] = state.records
  const { forecast } = await forecastOf([outlook], state, reference)
  const question = { reference, baseline: [reference], marginPct: 1, from, to: from + 2 * DAY_S, stepS: 3 * HOUR_S }
  return rankedSlots(slotsOf(question, forecast!, state))
    .slice(0, most)
    .map(({ startTime, difference }) => {
      const there = truthOf(road, run.motion, weather, vehicle, startTime, `${seed}/${startTime}`)
      return {
        seed,
        low90Pct: difference!.low90Pct,
        high90Pct: difference!.high90Pct,
        meanPct: difference!.meanPct,
        truePct: 100 * (there.demandJPerM / run.truth.demandJPerM - 1),
      }
    })
}

export const isWithin = (p: Pick<PickedSlot, 'low90Pct' | 'truePct' | 'high90Pct'>): boolean =>
  p.low90Pct <= p.truePct && p.truePct <= p.high90Pct
