import { hypotenuse, square } from '../base/arithmetic.ts'
import { stepM } from '../track/geodesy.ts'
import {
  ASSUMED_HUMIDITY,
  blend,
  CARRYING,
  climbM,
  departureGapS,
  FAR_REACH,
  growthWithWind,
  type Near,
  type Node,
  REACH,
  SEASON_SD,
  type StationWeight,
  temperatureVarianceFrom,
  windVarianceFrom,
} from './blend.ts'
import { airDensityKgM3 } from './density.ts'
import { disagreementOf } from './disagreement.ts'
import { relativeHumidityFrom } from './humidity.ts'
import { type PreparedStation, prepareStation } from './prepared.ts'
import { LAPSE_RATE, pressureAtElevation, standardPressurePa } from './pressure.ts'
import { reportedWeather } from './reported-weather.ts'
import type { StationSeries } from './series.ts'
import type { AirAlong, RunAir, StationUse } from './types.ts'

/** Day-to-day spread of sea-level pressure about the standard atmosphere in middle latitudes; common practice, no source. */
const ASSUMED_PRESSURE_SD_PA = 900

/** Stations made ready to be asked: winds as vectors, humidity as dew point, pressure as the station's own. */
export interface AirField {
  stations: PreparedStation[]
}

/** Where and when a vehicle was; columns of one length. */
export interface TimedPlaces {
  time: Float64Array
  latitude: Float64Array
  longitude: Float64Array
  /** Metres above mean sea level, NaN where unknown. */
  elevationM: Float64Array
}

export function prepareField(series: StationSeries[]): AirField {
  return { stations: series.map(prepareStation) }
}

/**
 * The air along a run's path from all stations within reach.
 *
 * @param runId the run, for the driver's own notes that speak of it alone
 * @param path a node every minute or two: the air changes slowly
 */
export function airAlong(field: AirField, runId: string, path: TimedPlaces): RunAir {
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
  const middle = count >> 1
  const disagreement = disagreementOf(candidates, {
    latitude: path.latitude[middle],
    longitude: path.longitude[middle],
    from: path.time[0],
    to: path.time[count - 1],
  })
  let far = 0
  for (let i = 0; i < count; i++) {
    const near = withinDistance(candidates, path.latitude[i], path.longitude[i])
    const node = { time: path.time[i], elevationM: path.elevationM[i], near, temperatureK: Number.NaN }
    const weights = airAtNode(along, i, node, assumed, disagreement)
    if (weights.length > 0 && weights.every(isFar)) far++
    for (const v of weights) {
      const entry = tally.get(v.station) ?? { weight: 0, distanceM: 0, gapS: 0, nodes: 0 }
      entry.weight += v.weight / count
      entry.distanceM += v.distanceM
      entry.gapS = Math.max(entry.gapS, v.gapS)
      entry.nodes++
      tally.set(v.station, entry)
    }
  }
  const uses = [...tally].map(([station, t]) => ({ station, ...t, distanceM: t.distanceM / t.nodes }))
  const missing: RunAir['missing'] = []
  const beyond = { temperature: shareMissing(along.temperatureK), wind: shareMissing(along.windEastMps) }
  if (beyond.temperature > MOST_BEYOND) missing.push('temperature')
  else if (beyond.temperature > 0) continueTemperature(along, path.elevationM)
  if (beyond.wind > MOST_BEYOND) missing.push('wind')
  else if (beyond.wind > 0) continueWind(along)
  return {
    along,
    farShare: far / count,
    beyondShare: missing.length > 0 ? 0 : Math.max(beyond.temperature, beyond.wind),
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

/** A drive whose air is not known for more than this part of it is not known. */
const MOST_BEYOND = 0.5

const shareMissing = (values: Float64Array): number =>
  values.reduce((count, value) => count + (Number.isFinite(value) ? 0 : 1), 0) / values.length

const isFar = ({ station, distanceM, gapS }: StationWeight): boolean => {
  const { onRoad, quality } = station.series.station
  if (quality === 'note' || quality === 'forecast') return false
  return distanceM > REACH.distanceM || gapS > (onRoad ? REACH.onRoadGapS : REACH.gapS)
}

/** For each place without a value, the place nearest to it in time that has one; -1 for those that have their own. */
function nearestKnown({ time }: AirAlong, values: Float64Array): Int32Array {
  const nearest = new Int32Array(values.length).fill(-1)
  const known = [...values.keys()].filter((i) => Number.isFinite(values[i]))
  for (const i of values.keys()) {
    if (Number.isFinite(values[i])) continue
    nearest[i] = known.reduce((best, j) => (Math.abs(time[j] - time[i]) < Math.abs(time[best] - time[i]) ? j : best))
  }
  return nearest
}

/** Where no station reaches, the temperature and the pressure of the nearest place that one reaches, with the season's spread. */
function continueTemperature(along: AirAlong, elevationM: Float64Array): void {
  nearestKnown(along, along.temperatureK).forEach((from, i) => {
    if (from < 0) return
    const climb = elevationM[i] - elevationM[from]
    const level = Number.isFinite(climb) ? climb : 0
    along.temperatureK[i] = along.temperatureK[from] - LAPSE_RATE * level
    along.temperatureDepartureSdK[i] = SEASON_SD.temperatureK
    along.relativeHumidity[i] = along.relativeHumidity[from]
    along.pressurePa[i] = pressureAtElevation(
      along.pressurePa[from],
      0,
      level,
      along.temperatureK[from],
      along.relativeHumidity[i],
    )
    along.densityKgM3[i] = airDensityKgM3(along.temperatureK[i], along.pressurePa[i], along.relativeHumidity[i])
  })
}

/** Where no station reaches, the wind of the nearest place that one reaches, with the season's spread. */
function continueWind(along: AirAlong): void {
  nearestKnown(along, along.windEastMps).forEach((from, i) => {
    if (from < 0) return
    along.windEastMps[i] = along.windEastMps[from]
    along.windNorthMps[i] = along.windNorthMps[from]
    along.undirectedMps[i] = along.undirectedMps[from]
    along.windDepartureSdMps[i] = SEASON_SD.windMps
  })
}

function withinDistance(stations: PreparedStation[], latitude: number, longitude: number): Near[] {
  const near: Near[] = []
  for (const station of stations) {
    const place = station.series.station
    const distanceM = place.onRoad ? 0 : stepM(latitude, longitude, place.latitude, place.longitude)
    if (distanceM <= FAR_REACH.distanceM) near.push({ station, distanceM })
  }
  return near
}

/** Fills row `i` of `along`; returns the weights that made the wind or, failing that, the temperature. */
function airAtNode(
  along: AirAlong,
  i: number,
  node: Node,
  assumed: { pressure: boolean; humidity: boolean },
  disagreement: number,
): StationWeight[] {
  const temperature = blend(node, 'temperatureK', CARRYING.temperature)
  node.temperatureK = temperature.value
  const east = blend(node, 'windEastMps', CARRYING.wind)
  along.temperatureK[i] = temperature.value
  along.windEastMps[i] = east.value
  along.windNorthMps[i] = blend(node, 'windNorthMps', CARRYING.wind).value
  along.undirectedMps[i] = blend(node, 'undirectedMps', CARRYING.wind).value
  const windMps = hypotenuse(east.value, along.windNorthMps[i]) + along.undirectedMps[i]
  along.windDepartureSdMps[i] = windDepartureSd(east.weights, windMps, disagreement)
  along.temperatureDepartureSdK[i] = temperatureDepartureSd(temperature.weights, node)
  if (Number.isFinite(temperature.value)) {
    const humidity = relativeHumidityFrom(temperature.value, blend(node, 'dewPointK', CARRYING.dewPoint).value)
    const pressurePa = blend(node, 'pressurePa', CARRYING.pressure).value
    if (!Number.isFinite(humidity)) assumed.humidity = true
    if (!Number.isFinite(pressurePa)) assumed.pressure = true
    along.relativeHumidity[i] = Number.isFinite(humidity) ? Math.min(1, humidity) : ASSUMED_HUMIDITY.value
    const elevationM = Number.isFinite(node.elevationM) ? node.elevationM : 0
    along.pressurePa[i] = Number.isFinite(pressurePa) ? pressurePa : standardPressurePa(elevationM)
    along.densityKgM3[i] = airDensityKgM3(temperature.value, along.pressurePa[i], along.relativeHumidity[i])
  }
  return east.weights.length > 0 ? east.weights : temperature.weights
}

/** Of what the surest station is off by, this part is the road's own: other stations do not average it away. Common practice, no source. */
const ROADS_OWN_SHARE = 0.5

/**
 * Standard deviation of one component of the wind's departure from the stations' mean. It grows with the wind: hills and
 * woods take a share of it.
 */
function windDepartureSd(weights: StationWeight[], windMps: number, disagreement: number): number {
  if (weights.length === 0) return Number.NaN
  let averaged = 0
  let surest = Number.POSITIVE_INFINITY
  for (const { weight, distanceM, gapS, station } of weights) {
    const variance = windVarianceFrom(station, distanceM, departureGapS(station, gapS))
    averaged += square(weight) * variance
    surest = Math.min(surest, variance)
  }
  const own = weights.length === 1 ? averaged : ROADS_OWN_SHARE * surest + (1 - ROADS_OWN_SHARE) * averaged
  return Math.sqrt(disagreement * own * growthWithWind(windMps))
}

function temperatureDepartureSd(weights: StationWeight[], node: Node): number {
  let variance = weights.length === 0 ? Number.NaN : 0
  for (const { weight, distanceM, gapS, station } of weights) {
    const gap = departureGapS(station, gapS)
    variance += square(weight) * temperatureVarianceFrom(station, distanceM, gap, climbM(station, node))
  }
  return Math.sqrt(variance)
}
