import { isWeatherField, quantityOf } from '../../table/quantities.ts'
import { readTable } from '../../table/table.ts'
import { logHeader } from './columns.ts'
import { angleOf } from './position.ts'

function isWeatherName(name: string): boolean {
  const quantity = quantityOf(name)
  return (
    (quantity !== null && isWeatherField(quantity.field)) || /^(air_)?(temp|pressure|humidity|rain|metar)/.test(name)
  )
}

/** A table of stations moves as seldom as its stations change; a log's positions change in this share of rows. */
const LEAST_MOVING_ROWS = 2
const ROWS = 400

const isOfAnotherTable = (name: string): boolean =>
  /^(station|track|setup|full|partial|price|pump|litres|liters|liter|litros|gallons)$|^(wind|dew_?point|relative_humidity)/.test(
    name,
  )

/**
 * Whether a text is a log of a drive: a table with columns of times, latitudes and longitudes whose positions change from
 * row to row, and no column of stations or fills. A log that begins while the vehicle stands is told by the quantities of a vehicle.
 * @param head its first characters, without blanks before them
 */
export function isLogTable(head: string): boolean {
  if (/^[<{[]/.test(head)) return false
  const { value: table } = readTable(head)
  if (!table) return false
  const { columns } = logHeader(table.header)
  const { latitude, longitude, time, epoch, date, elapsed } = columns
  if (!latitude || !longitude || !(time ?? epoch ?? date ?? elapsed)) return false
  if (table.header.some(isOfAnotherTable)) return false
  const vehicle = Object.keys(columns).some((field) =>
    /^(speed|fuel|mass|battery|power|energy|state|odometer|engine)/.test(field),
  )
  if (vehicle) return true
  // Weather at places, be they of stations or of a car: a table of observations.
  if (table.header.some(isWeatherName)) return false
  let [moving, last] = [0, '']
  for (const { cells } of table.rows.slice(0, ROWS)) {
    const [north, east] = [cells[latitude.place], cells[longitude.place]]
    if (Number.isNaN(angleOf(north.replace(',', '.')))) continue
    if (last !== '' && last !== `${north} ${east}`) moving++
    last = `${north} ${east}`
  }
  return moving >= LEAST_MOVING_ROWS
}

/**
 * Whether a text is a log of a vehicle's speed without places: a table with columns of times and of a speed in a stated
 * unit, and nothing that another table has.
 * @param head its first characters, without blanks before them
 */
export function isSpeedLogTable(head: string): boolean {
  if (/^[<{[]/.test(head)) return false
  const { value: table } = readTable(head)
  if (!table) return false
  const { speedMps, time, epoch, elapsed } = logHeader(table.header).columns
  const isTimed = (time ?? epoch ?? elapsed) !== undefined
  return isTimed && speedMps?.unit !== undefined && speedMps.unit !== null && !table.header.some(isOfAnotherTable)
}
