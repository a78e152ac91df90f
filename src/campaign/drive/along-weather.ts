import { REACH } from '../../air/blend.ts'
import type { AirField } from '../../air/field.ts'
import type { PreparedStation, Timed } from '../../air/prepared.ts'
import type { RunAir } from '../../air/types.ts'
import { windFromVector } from '../../air/wind.ts'
import { hypotenuse, rootSumOfSquares } from '../../base/arithmetic.ts'
import { celsiusFromKelvin, degrees } from '../../base/units.ts'
import type { WeatherMet } from '../../report/along-data.ts'
import type { Run } from '../load/runs.ts'

const MOST_NODES = 60
const MOST_OBSERVATIONS = 120

/** The weather of one run over time, with what was observed from an hour and a half before to as long after it. */
export function weatherMet(run: Run, runAir: RunAir, { stations }: AirField): WeatherMet | null {
  if (runAir.missing.length === 2) return null
  const { along } = runAir
  const [startTime, endTime] = [run.summary.startTime, run.summary.endTime]
  const nodes = nodesOf(along.time.length)
  const pick = (of: (i: number) => number): Float64Array => Float64Array.from(nodes, of)
  const windOf = (i: number) => windFromVector(along.windEastMps[i], along.windNorthMps[i])
  const speed = (i: number): number => windOf(i).speedMps + along.undirectedMps[i]
  const known = new Map(runAir.stations.map(({ id, distanceM }) => [id, distanceM]))
  const errors = errorsOf(runAir.stations)
  return {
    startTime,
    endTime,
    time: pick((i) => along.time[i]),
    temperatureC: pick((i) => celsiusFromKelvin(along.temperatureK[i])),
    temperatureSdC: pick((i) => hypotenuse(along.temperatureDepartureSdK[i], errors.temperatureK)),
    windMps: pick(speed),
    windSdMps: pick((i) => hypotenuse(along.windDepartureSdMps[i], errors.windSpeed * speed(i))),
    fromDeg: pick((i) => (along.undirectedMps[i] > windOf(i).speedMps ? Number.NaN : windOf(i).fromDeg)),
    fromSdDeg: pick((i) =>
      hypotenuse(errors.windFromDeg, degrees(Math.atan2(along.windDepartureSdMps[i], windOf(i).speedMps))),
    ),
    observations: stations
      .filter(({ series }) => known.has(series.station.id) && [null, run.id].includes(series.onlyForRun))
      .map((station) => ({
        distanceM: known.get(station.series.station.id) ?? Number.NaN,
        ...observed(station, startTime - REACH.gapS, endTime + REACH.gapS),
      })),
  }
}

function nodesOf(count: number): number[] {
  const wanted = Math.min(count, MOST_NODES)
  return Array.from({ length: wanted }, (_, i) => Math.round((i * (count - 1)) / Math.max(1, wanted - 1)))
}

/** Standard deviations of the blend from the stations' lasting errors, which are independent of each other. */
function errorsOf(stations: RunAir['stations']) {
  const together = (of: (errors: (typeof stations)[number]['errors']) => number): number =>
    rootSumOfSquares(stations.map(({ weight, errors }) => weight * of(errors)))
  return {
    temperatureK: together((e) => e.temperatureK),
    windSpeed: together((e) => e.windSpeed),
    windFromDeg: together((e) => e.windFromDeg),
  }
}

/** One station's observations between two instants; of very many, evenly chosen ones. */
function observed(
  station: PreparedStation,
  from: number,
  to: number,
): Omit<WeatherMet['observations'][number], 'distanceM'> {
  const { temperatureK, windEastMps, windNorthMps, undirectedMps, series } = station
  const times = [...new Set([...temperatureK.time, ...windEastMps.time])]
    .filter((time) => time >= from && time <= to)
    .sort((a, b) => a - b)
  const every = Math.ceil(times.length / MOST_OBSERVATIONS)
  const kept = times.filter((_, i) => i % every === 0)
  const at = ({ time, value }: Timed): Map<number, number> => new Map(time.map((t, i) => [t, value[i]]))
  const [temperature, east, north, undirected] = [temperatureK, windEastMps, windNorthMps, undirectedMps].map(at)
  const of = (values: Map<number, number>, time: number): number => values.get(time) ?? Number.NaN
  const wind = (time: number) => windFromVector(of(east, time), of(north, time))
  return {
    station: series.station.id,
    latitude: series.station.onRoad ? Number.NaN : series.station.latitude,
    longitude: series.station.onRoad ? Number.NaN : series.station.longitude,
    time: Float64Array.from(kept),
    temperatureC: Float64Array.from(kept, (t) => celsiusFromKelvin(of(temperature, t))),
    windMps: Float64Array.from(kept, (t) => wind(t).speedMps + of(undirected, t)),
    fromDeg: Float64Array.from(kept, (t) => wind(t).fromDeg),
  }
}
