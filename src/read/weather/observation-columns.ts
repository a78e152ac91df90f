import type { Problem } from '../../base/problem.ts'
import { isWeatherField, type Quantity, type QuantityField, quantityOf, unitsFor } from '../table/quantities.ts'
import type { Table } from '../table/table.ts'

/** Which column of a weather table holds what; -1 where there is none. */
export interface ObservationColumns {
  time: number
  /** A date apart from the time of day. */
  date: number
  station: number
  metar: number
  presentWeather: number
  roadWet: number
  quantities: { index: number; name: string; quantity: Quantity }[]
  /** The name of the time column says UTC. */
  timeIsUtc: boolean
}

const TIME_NAMES = [
  'time',
  'valid',
  'timestamp',
  'datetime',
  'date_time',
  'time_utc',
  'datetime_utc',
  'timestamp_utc',
  'utc',
]
const OTHER_NAMES = {
  station: ['station', 'station_id'],
  metar: ['metar'],
  presentWeather: ['wxcodes', 'present_weather'],
}
const UTC_NAME = /^utc$|_utc$|\((etc\/)?utc\)$/

/** Fields of runs.csv and others which a weather table has no use for are left to the note about unknown columns. */
const isUsed = (field: QuantityField): boolean => isWeatherField(field) || PLACE_FIELDS.includes(field)
const PLACE_FIELDS: readonly QuantityField[] = ['latitudeDeg', 'longitudeDeg', 'elevationM', 'anemometerHeightM']

/** Finds the columns of a weather table and says which it does not know. */
export function observationColumns({ header, headerLine }: Table): {
  columns: ObservationColumns
  problems: Problem[]
} {
  // `valid(UTC)` is a form of `valid`.
  const bare = header.map((name) => name.replace(/_?\(.*\)$/, ''))
  const at = (names: string[]) => bare.findIndex((name) => names.includes(name))
  const timeOnly = at(TIME_NAMES)
  const date = at(['date'])
  const time = timeOnly >= 0 ? timeOnly : date
  const columns: ObservationColumns = {
    time,
    date: date === time ? -1 : date,
    station: at(OTHER_NAMES.station),
    metar: at(OTHER_NAMES.metar),
    presentWeather: at(OTHER_NAMES.presentWeather),
    roadWet: at(['road_wet']),
    quantities: [],
    timeIsUtc: time >= 0 && UTC_NAME.test(header[time]),
  }
  const named = new Set([time, date, columns.station, columns.metar, columns.presentWeather, columns.roadWet])
  const unknown: string[] = []
  const problems: Problem[] = []
  for (const [index, name] of header.entries()) {
    if (named.has(index) || name === '' || header.indexOf(name) !== index) continue
    const quantity = quantityOf(name)
    if (quantity && isUsed(quantity.field)) columns.quantities.push({ index, name, quantity })
    else {
      const problem = unitProblem(name, headerLine)
      if (problem) problems.push(problem)
      else unknown.push(name)
    }
  }
  if (unknown.length > 0) {
    const message = `columns that are not known and not used: ${unknown.slice(0, 30).join(', ')}${unknown.length > 30 ? `, and ${unknown.length - 30} more` : ''}`
    problems.push({ code: 'weather-column-unknown', severity: 'note', message, line: headerLine })
  }
  return { columns, problems }
}

/** A column whose quantity is clear and whose unit, or kind of pressure, is not. */
function unitProblem(name: string, line: number): Problem | null {
  if (/^(barometric_|atmospheric_)?(pressure|barometer|baro)(_|$)/.test(name)) {
    const message = `the column "${name}" does not say which pressure it is; it is not used`
    const hint = 'Name it station_pressure_hpa (at the station itself), sea_level_pressure_hpa or altimeter_hpa (QNH).'
    return { code: 'weather-unit-unknown', severity: 'warning', message, line, hint }
  }
  const units = unitsFor(name)
  if (!units) return null
  const message = `the column "${name}" has a unit that is not known, or none; it is not used`
  const hint = `Let its name end in its unit, one of ${units.map((unit) => `_${unit}`).join(', ')}.`
  return { code: 'weather-unit-unknown', severity: 'warning', message, line, hint }
}
