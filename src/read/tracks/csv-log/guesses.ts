import type { Problem } from '../../../base/problem.ts'
import { upperMedian } from '../../../base/statistics.ts'
import { radians } from '../../../base/units.ts'
import type { Convert } from '../../table/units.ts'
import type { LogColumn } from './columns.ts'
import { logConversion } from './units.ts'

/** A unit that fits a column whose name has none. */
export interface GuessedUnit {
  unit: string
  convert: Convert
  /** Why, for the note. */
  because: string
  /** Whether the file itself bears it out; else it is a custom. */
  shown: boolean
}

/** Rows of a log, as far as units are told from them: seconds, degrees. */
export interface PlacedRows {
  time: Float64Array
  latitude: Float64Array
  longitude: Float64Array
}

/** How near the sums must come, ln: knots and miles per hour differ by 0.14. */
const FITS = 0.07
const METRES_PER_DEGREE = 111_195
/** Positions are taken this far apart in time: in shorter steps their scatter adds way. */
const STRIDE_S = 20
const LONGEST_STEP_S = 120

/** The speed's unit in which its sum over time gives the way between the positions; null where none does. */
export function speedUnit(values: Float64Array, rows: PlacedRows): GuessedUnit | null {
  let [wayM, sum] = [0, 0]
  let [from, inStride] = [0, 0]
  for (let i = 1; i < values.length; i++) {
    const dt = rows.time[i] - rows.time[i - 1]
    inStride += dt > 0 ? ((values[i] + values[i - 1]) / 2) * dt : Number.NaN
    const strideS = rows.time[i] - rows.time[from]
    if (strideS < STRIDE_S) continue
    const step = wayBetween(rows, from, i)
    if (strideS <= LONGEST_STEP_S && Number.isFinite(step) && Number.isFinite(inStride)) {
      wayM += step
      sum += inStride
    }
    from = i
    inStride = 0
  }
  return nearest('speed', ['m/s', 'km/h', 'mph', 'knots'], wayM, sum)
}

/** The distance's unit in which an odometer's run gives the way between the positions; null where none does. */
export function odometerUnit(values: Float64Array, rows: PlacedRows): GuessedUnit | null {
  const known = values.filter((value) => !Number.isNaN(value))
  let wayM = 0
  let from = 0
  for (let i = 1; i < rows.time.length; i++) {
    if (rows.time[i] - rows.time[from] < STRIDE_S) continue
    const step = wayBetween(rows, from, i)
    if (Number.isFinite(step)) wayM += step
    from = i
  }
  return known.length < 2 ? null : nearest('distance', ['km', 'mi', 'm'], wayM, known[known.length - 1] - known[0])
}

function wayBetween({ latitude, longitude }: PlacedRows, a: number, b: number): number {
  const north = latitude[b] - latitude[a]
  const east = (longitude[b] - longitude[a]) * Math.cos(radians(latitude[a]))
  return METRES_PER_DEGREE * Math.sqrt(north * north + east * east)
}

function nearest(dimension: 'speed' | 'distance', units: string[], wayM: number, sum: number): GuessedUnit | null {
  if (!(wayM > 500 && sum > 0)) return null
  for (const unit of units) {
    const convert = logConversion(dimension, unit)
    if (!convert || Math.abs(Math.log(wayM / (sum * convert(1)))) > FITS) continue
    const km = (m: number): string => (m / 1000).toFixed(1)
    return {
      unit,
      convert,
      because: `the positions cover ${km(wayM)} km and this gives ${km(convert(sum))} km`,
      shown: true,
    }
  }
  return null
}

const guess = (dimension: Parameters<typeof logConversion>[0], unit: string, because: string): GuessedUnit => ({
  unit,
  convert: logConversion(dimension, unit) ?? ((value) => value),
  because,
  shown: false,
})

/** Why of a unit that goes without saying: volts, amperes, revolutions a minute, and g/s of an engine's air (SAE J1979). */
const ONLY_UNIT = ''

/** Units of columns whose names have none and which the positions cannot tell; null: the column is not used. */
export function usualUnit(column: LogColumn, values: Float64Array, imperial: boolean): GuessedUnit | null {
  const known = values.filter((value) => !Number.isNaN(value))
  const middle = known.length === 0 ? Number.NaN : upperMedian(known)
  const most = known.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0)
  switch (column.field) {
    case 'elevation':
      // Receivers give metres with decimals; whole numbers in a log in miles are what a display in feet shows.
      return imperial && known.every(Number.isInteger)
        ? guess('height', 'ft', 'they are whole numbers, and other columns of the log are in miles or Fahrenheit')
        : guess('height', 'm', 'most logs write metres')
    case 'ambientTemperatureK':
      if (middle > 50) return guess('temperature', 'f', `its middle value is ${middle}, which no air has in °C`)
      return imperial
        ? guess('temperature', 'f', 'other columns of the log are in miles or Fahrenheit')
        : guess('temperature', 'c', 'most logs write °C')
    case 'stateOfCharge':
      return chargeUnit(most)
    case 'batteryVoltageV':
      return guess('voltage', 'v', ONLY_UNIT)
    case 'batteryCurrentA':
      return guess('current', 'a', ONLY_UNIT)
    case 'massAirFlowKgps':
      return guess('massRate', 'g/s', ONLY_UNIT)
    case 'engineSpeedRpm':
      return guess('rotation', 'rpm', ONLY_UNIT)
    case 'powerW':
      return most < 1000
        ? guess('power', 'kw', `its largest value is ${most}, too little to drive on in W`)
        : guess('power', 'w', `its largest value is ${most}, more than a car has in kW`)
    default:
      return null
  }
}

/** A share, percent, or percent times a power of ten: the smallest that makes no value more than full. */
function chargeUnit(most: number): GuessedUnit | null {
  if (!(most > 0)) return null
  let scale = most <= 1 ? 1 : 100
  while (most / scale > 1.05) scale *= 10
  const unit = scale === 1 ? 'a share of 1' : scale === 100 ? '%' : `1/${scale / 100} of a percent`
  const because = `its largest value is ${most}, and no battery is more than full`
  return { unit, convert: (value) => value / scale, because, shown: true }
}

export const guessNote = (name: string, { unit, because, shown }: GuessedUnit): Problem => ({
  code: 'log-unit-guessed',
  severity: shown ? 'note' : 'warning',
  message: `the column "${name}" names no unit; it is read in ${unit}: ${because}`,
  ...(!shown && { hint: `Write the unit into its name to be sure, such as "${name} (${unit})".` }),
})
