import { hypotenuse, square } from '../base/arithmetic.ts'
import { mean } from '../base/statistics.ts'
import { stepM } from '../track/geodesy.ts'
import {
  ASSUMED_HUMIDITY,
  blend,
  CARRYING,
  climbM,
  departureGapS,
  FAR_REACH,
  type Near,
  type Node,
  REACH,
  type StationWeight,
  temperatureVarianceFrom,
} from './blend.ts'
import { continued } from './continued.ts'
import { airDensityKgM3 } from './density.ts'
import { disagreementOf } from './disagreement.ts'
import { relativeHumidityFrom } from './humidity.ts'
import { type PreparedStation, prepareStation } from './prepared.ts'
import { standardPressurePa } from './pressure.ts'
import { reportedWeather } from './reported-weather.ts'
import type { StationSeries } from './series.ts'
import type { AirAlong, RunAir, StationUse } from './types.ts'
import { windDepartureSd } from './wind-departure.ts'

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
  const along = unknownAlong(path.time)
  const { tally, assumed, farShare } = fillNodes(along, field, runId, path)
  const { missing, beyondShare } = continued(along, path.elevationM)
  return {
    along,
    farShare,
    beyondShare,
    stations: [...tally].map(stationUse),
    assumed: {
      pressureSdPa: assumed.pressure ? ASSUMED_PRESSURE_SD_PA : 0,
      humiditySd: assumed.humidity ? ASSUMED_HUMIDITY.sd : 0,
    },
    missing,
    ...reportedWeather(
      [...tally.keys()].map((station) => station.series),
      path.time[0],
      path.time[path.time.length - 1],
      mean(along.relativeHumidity),
    ),
  }
}

function unknownAlong(time: Float64Array): AirAlong {
  const column = (): Float64Array => new Float64Array(time.length).fill(Number.NaN)
  return {
    time,
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
}

/** What a station gave to the nodes: sums, and the largest gap. */
interface Share {
  weight: number
  distanceM: number
  gapS: number
  nodes: number
}

interface FilledNodes {
  tally: Map<PreparedStation, Share>
  /** Whether a node had to do without. */
  assumed: { pressure: boolean; humidity: boolean }
  /** Part of the nodes that have stations beyond their usual reach alone. */
  farShare: number
}

/** Fills `along` node by node from the stations within reach. */
function fillNodes(along: AirAlong, field: AirField, runId: string, path: TimedPlaces): FilledNodes {
  const count = path.time.length
  const candidates = field.stations.filter((s) => s.series.onlyForRun === null || s.series.onlyForRun === runId)
  const tally: FilledNodes['tally'] = new Map()
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
    for (const { station, weight, distanceM, gapS } of weights) {
      const share = tally.get(station) ?? { weight: 0, distanceM: 0, gapS: 0, nodes: 0 }
      share.weight += weight / count
      share.distanceM += distanceM
      share.gapS = Math.max(share.gapS, gapS)
      share.nodes++
      tally.set(station, share)
    }
  }
  return { tally, assumed, farShare: far / count }
}

const stationUse = ([{ series, errors }, { weight, distanceM, gapS, nodes }]: [
  PreparedStation,
  Share,
]): StationUse => ({
  id: series.station.id,
  weight,
  distanceM: distanceM / nodes,
  gapS,
  quality: series.station.quality,
  errors,
})

const isFar = ({ station, distanceM, gapS }: StationWeight): boolean => {
  const { onRoad, quality } = station.series.station
  if (quality === 'note' || quality === 'forecast') return false
  return distanceM > REACH.distanceM || gapS > (onRoad ? REACH.onRoadGapS : REACH.gapS)
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

function temperatureDepartureSd(weights: StationWeight[], node: Node): number {
  let variance = weights.length === 0 ? Number.NaN : 0
  for (const { weight, distanceM, gapS, station } of weights) {
    const gap = departureGapS(station, gapS)
    variance += square(weight) * temperatureVarianceFrom(station, distanceM, gap, climbM(station, node))
  }
  return Math.sqrt(variance)
}
