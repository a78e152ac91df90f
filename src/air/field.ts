import { stepM } from '../track/geodesy.ts'
import { airDensityKgM3 } from './density.ts'
import { relativeHumidityFrom } from './humidity.ts'
import { interpolate, type PreparedStation, prepareStation, type Timed, type TimeReach } from './prepared.ts'
import { pressureAtElevation, standardPressurePa } from './pressure.ts'
import { reportedWeather } from './reported-weather.ts'
import type { StationSeries } from './series.ts'
import type { AirAlong, RunAir, StationUse } from './types.ts'

/**
 * How far an observation speaks, and how much it may differ from the air on the road. The sizes are common practice
 * in mesoscale comparisons of neighbouring stations (no source): what matters is that they grow with distance and time.
 */
export const REACH = { distanceM: 100_000, gapS: 5400, onRoadGapS: 1800, noteGapS: 21_600, forecastStepS: 43_200 }
/** A forecast's own doubt between its times is not a departure of the road from a station: beyond this it is added apart. */
export const FORECAST_GAP_S = 1800
const LAPSE_K_PER_M = 0.0065 // ICAO standard atmosphere
const ASSUMED_HUMIDITY = { value: 0.6, sd: 0.2 }
/** Day-to-day spread of sea-level pressure about the standard atmosphere in middle latitudes; common practice, no source. */
const ASSUMED_PRESSURE_SD_PA = 900

/** Stations made ready to be asked: winds as vectors, humidity as dew point, pressure as the station's own. */
export interface AirField {
  stations: PreparedStation[]
}

/** Where and when a vehicle was; columns of one length. */
export interface Path {
  time: Float64Array
  latitude: Float64Array
  longitude: Float64Array
  /** Metres above mean sea level, NaN where unknown. */
  elevationM: Float64Array
}

export function prepareField(series: StationSeries[]): AirField {
  return { stations: series.map(prepareStation) }
}

/** Variance of one wind component between a station and the road at 10 m, (m/s)². */
const windDepartureVariance = (distanceM: number, gapS: number): number =>
  0.3 ** 2 + 2.2e-5 * distanceM + 0.5 * (gapS / 3600)

/** Variance of the temperature between a station and the road, K². */
const temperatureDepartureVariance = (distanceM: number, gapS: number, climbM: number): number =>
  0.3 ** 2 + 8e-6 * distanceM + 0.4 * (gapS / 3600) + (0.003 * climbM) ** 2

/** What the stations within reach of one place and time say, each with its weight. */
interface Voice {
  station: PreparedStation
  distanceM: number
  gapS: number
  weight: number
}

/** The stations within reach that have the quantity, weighted by the inverse of their variance, and the mean; NaN of none. */
function blend(
  stations: { station: PreparedStation; distanceM: number }[],
  timed: (s: PreparedStation) => Timed,
  time: number,
  variance: (distanceM: number, gapS: number, s: PreparedStation) => number,
  adjust: (value: number, s: PreparedStation) => number,
): { value: number; voices: Voice[] } {
  const voices: Voice[] = []
  let total = 0
  let sum = 0
  for (const { station, distanceM } of stations) {
    const read = interpolate(timed(station), time, reachOf(station))
    if (!read) continue
    const weight = 1 / variance(distanceM, departureGapS(station, read.gapS), station)
    const value = adjust(read.value, station)
    if (!Number.isFinite(value)) continue
    total += weight
    sum += weight * value
    voices.push({ station, distanceM, gapS: read.gapS, weight })
  }
  for (const voice of voices) voice.weight /= total
  return { value: sum / total, voices }
}

function reachOf({ series: { station } }: PreparedStation): TimeReach {
  if (station.quality === 'forecast') return { gapS: REACH.gapS, stepS: REACH.forecastStepS }
  const gapS = station.quality === 'note' ? REACH.noteGapS : station.onRoad ? REACH.onRoadGapS : REACH.gapS
  return { gapS, stepS: 2 * gapS }
}

const departureGapS = ({ series: { station } }: PreparedStation, gapS: number): number =>
  station.quality === 'forecast' ? Math.min(gapS, FORECAST_GAP_S) : gapS

/**
 * The air along a run's path from all stations within reach.
 *
 * @param runId the run, for the driver's own notes that speak of it alone
 * @param path a node every minute or two: the air changes slowly
 */
export function airAlong(field: AirField, runId: string, path: Path): RunAir {
  const count = path.time.length
  const column = (): Float64Array => new Float64Array(count).fill(Number.NaN)
  const along: AirAlong = {
    time: path.time,
    temperatureK: column(),
    relativeHumidity: column(),
    pressurePa: column(),
    densityKgM3: column(),
    windEastMps: column(),
    windNorthMps: column(),
    undirectedMps: column(),
    windDepartureSdMps: column(),
    temperatureDepartureSdK: column(),
  }
  const candidates = field.stations.filter((s) => s.series.onlyForRun === null || s.series.onlyForRun === runId)
  const tally = new Map<PreparedStation, { weight: number; distanceM: number; gapS: number; nodes: number }>()
  const assumed = { pressure: false, humidity: false }
  for (let i = 0; i < count; i++) {
    const near = withinDistance(candidates, path.latitude[i], path.longitude[i])
    const voices = airAtNode(along, i, near, path, assumed)
    for (const v of voices) {
      const entry = tally.get(v.station) ?? { weight: 0, distanceM: 0, gapS: 0, nodes: 0 }
      entry.weight += v.weight / count
      entry.distanceM += v.distanceM
      entry.gapS = Math.max(entry.gapS, v.gapS)
      entry.nodes++
      tally.set(v.station, entry)
    }
  }
  const uses = [...tally].map(([station, t]) => ({ station, ...t, distanceM: t.distanceM / t.nodes }))
  const has = (values: Float64Array): boolean => values.every((v) => Number.isFinite(v))
  const missing: RunAir['missing'] = []
  if (!has(along.temperatureK)) missing.push('temperature')
  if (!has(along.windEastMps)) missing.push('wind')
  return {
    along,
    stations: uses.map(
      ({ station, weight, distanceM, gapS }): StationUse => ({
        id: station.series.station.id,
        weight,
        distanceM,
        gapS,
        quality: station.series.station.quality,
        errors: station.errors,
      }),
    ),
    assumed: {
      pressureSdPa: assumed.pressure ? ASSUMED_PRESSURE_SD_PA : 0,
      humiditySd: assumed.humidity ? ASSUMED_HUMIDITY.sd : 0,
    },
    missing,
    ...reportedWeather(
      uses.map(({ station }) => station.series),
      path.time[0],
      path.time[count - 1],
    ),
  }
}

function withinDistance(
  stations: PreparedStation[],
  latitude: number,
  longitude: number,
): { station: PreparedStation; distanceM: number }[] {
  const near: { station: PreparedStation; distanceM: number }[] = []
  for (const station of stations) {
    const place = station.series.station
    const distanceM = place.onRoad ? 0 : stepM(latitude, longitude, place.latitude, place.longitude)
    if (distanceM <= REACH.distanceM) near.push({ station, distanceM })
  }
  return near
}

/** Fills row `i` of `along`; returns the voices that made the wind or, failing that, the temperature. */
function airAtNode(
  along: AirAlong,
  i: number,
  near: { station: PreparedStation; distanceM: number }[],
  path: Path,
  assumed: { pressure: boolean; humidity: boolean },
): Voice[] {
  const time = path.time[i]
  const roadM = (s: PreparedStation): number =>
    Number.isFinite(path.elevationM[i]) ? path.elevationM[i] : s.series.station.elevationM
  const climbM = (s: PreparedStation): number => {
    const climb = roadM(s) - s.series.station.elevationM
    return Number.isFinite(climb) ? climb : 0
  }
  const temperatureVariance = (d: number, gap: number, s: PreparedStation): number =>
    temperatureDepartureVariance(d, gap, climbM(s)) + s.errors.temperatureK ** 2
  const temperature = blend(
    near,
    (s) => s.temperatureK,
    time,
    temperatureVariance,
    (v, s) => v - LAPSE_K_PER_M * climbM(s),
  )
  const dew = blend(
    near,
    (s) => s.dewPointK,
    time,
    temperatureVariance,
    (v) => v,
  )
  const pressure = blend(
    near,
    (s) => s.pressurePa,
    time,
    (d) => 50 ** 2 + (1e-3 * d) ** 2,
    (v, s) => pressureAtElevation(v, s.series.station.elevationM, roadM(s), temperature.value, ASSUMED_HUMIDITY.value),
  )
  const windVariance = (d: number, gap: number, s: PreparedStation): number =>
    windDepartureVariance(d, gap) + (s.errors.windSpeed * 4) ** 2
  const east = blend(
    near,
    (s) => s.windEastMps,
    time,
    windVariance,
    (v) => v,
  )
  const north = blend(
    near,
    (s) => s.windNorthMps,
    time,
    windVariance,
    (v) => v,
  )
  const undirected = blend(
    near,
    (s) => s.undirectedMps,
    time,
    windVariance,
    (v) => v,
  )

  along.temperatureK[i] = temperature.value
  along.windEastMps[i] = east.value
  along.windNorthMps[i] = north.value
  along.undirectedMps[i] = undirected.value
  along.windDepartureSdMps[i] = departureSd(east.voices, (v) =>
    windDepartureVariance(v.distanceM, departureGapS(v.station, v.gapS)),
  )
  along.temperatureDepartureSdK[i] = departureSd(temperature.voices, (v) =>
    temperatureDepartureVariance(v.distanceM, departureGapS(v.station, v.gapS), climbM(v.station)),
  )
  if (Number.isFinite(temperature.value)) {
    const humidity = relativeHumidityFrom(temperature.value, dew.value)
    if (!Number.isFinite(humidity)) assumed.humidity = true
    if (!Number.isFinite(pressure.value)) assumed.pressure = true
    along.relativeHumidity[i] = Number.isFinite(humidity) ? Math.min(1, humidity) : ASSUMED_HUMIDITY.value
    const elevationM = Number.isFinite(path.elevationM[i]) ? path.elevationM[i] : 0
    along.pressurePa[i] = Number.isFinite(pressure.value) ? pressure.value : standardPressurePa(elevationM)
    along.densityKgM3[i] = airDensityKgM3(temperature.value, along.pressurePa[i], along.relativeHumidity[i])
  }
  return east.voices.length > 0 ? east.voices : temperature.voices
}

/** Departures of different stations are taken as independent of each other. */
function departureSd(voices: Voice[], variance: (v: Voice) => number): number {
  if (voices.length === 0) return Number.NaN
  return Math.sqrt(voices.reduce((sum, v) => sum + v.weight ** 2 * variance(v), 0))
}
