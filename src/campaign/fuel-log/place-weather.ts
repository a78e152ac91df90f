import { REACH } from '../../air/blend.ts'
import type { StationSeries } from '../../air/series.ts'
import type { Place } from '../../base/place.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import type { Campaign } from '../../read/campaign/settings.ts'
import { stepM } from '../../track/geodesy.ts'

/** The weather of a place over some days: means of what a station reported, and what fell. */
export interface WeatherOverSpan {
  station: string
  observations: number
  /** NaN where nothing was reported. */
  temperatureC: number
  windSpeedMps: number
  precipitationMm: number
}

/**
 * The station that speaks for a fuel log: the nearest one within reach of the stated place, of stations of a place that
 * nobody states the one with the most reports, if all lie within reach of each other.
 * @returns null where none does
 */
export function stationOfLog(stations: readonly StationSeries[], place: Campaign['place']): StationSeries | null {
  const placed = stations.filter(({ station, temperatureK }) => !station.onRoad && temperatureK.some(Number.isFinite))
  const awayM = ({ station }: StationSeries, from: Place): number =>
    stepM(from.latitude, from.longitude, station.latitude, station.longitude)
  if (place === null) {
    const most = placed.toSorted((a, b) => b.time.length - a.time.length).at(0)
    return most && placed.every((other) => awayM(other, most.station) <= REACH.distanceM) ? most : null
  }
  const nearest = placed.toSorted((a, b) => awayM(a, place) - awayM(b, place)).at(0)
  return nearest && awayM(nearest, place) <= REACH.distanceM ? nearest : null
}

/** What a station reported between two times, seconds since 1970; null where it reported nothing. */
export function weatherBetween(series: StationSeries, fromTime: number, toTime: number): WeatherOverSpan | null {
  const rows = [...series.time.keys()].filter((i) => series.time[i] >= fromTime && series.time[i] <= toTime)
  if (rows.length === 0) return null
  const known = (column: Float64Array): number[] => rows.map((i) => column[i]).filter(Number.isFinite)
  const sum = (values: number[]): number => (values.length === 0 ? Number.NaN : values.reduce((a, b) => a + b, 0))
  const mean = (values: number[]): number => sum(values) / values.length
  return {
    station: series.station.id,
    observations: rows.length,
    temperatureC: celsiusFromKelvin(mean(known(series.temperatureK))),
    windSpeedMps: mean(known(series.windSpeedMps)),
    precipitationMm: sum(known(series.precipitationMm)),
  }
}
