const DECIMAL = /^[+-]?\d+(?:\.\d+)?$/
const PARTS =
  /^([NSEW])?\s*([+-])?\s*(\d{1,3})(?:\s*[°d:]\s*|\s+)(\d{1,2}(?:\.\d+)?)(?:\s*['′m:]\s*|\s+|$)(?:(\d{1,2}(?:\.\d+)?)\s*(?:["″s]|''|′′)?)?\s*([NSEW])?$/i
const LETTERED = /^([NSEW])?\s*([+-]?\d+(?:\.\d+)?)\s*°?\s*([NSEW])?$/i

/**
 * An angle as loggers write it, degrees, south and west negative: `34.1881`, `N 34.1881`, `34 11.28809` (degrees and
 * minutes), `34°11'17.3"N`, `-117 25.75793`. A plain number of any size is given back as it is: see `angleScale`.
 * @returns NaN for anything else, and for 60 minutes or seconds and more
 */
export function angleOf(cell: string): number {
  const text = cell.trim()
  if (DECIMAL.test(text)) return Number(text)
  const lettered = LETTERED.exec(text)
  if (lettered) return signed(Number(lettered[2]), lettered[1] ?? lettered[3])
  const parts = PARTS.exec(text)
  if (!parts) return Number.NaN
  const [, before, sign, degrees, minutes, seconds = '0', behind] = parts
  if (Number(minutes) >= 60 || Number(seconds) >= 60) return Number.NaN
  const size = Number(degrees) + Number(minutes) / 60 + Number(seconds) / 3600
  return signed(sign === '-' ? -size : size, before ?? behind)
}

const signed = (value: number, letter: string | undefined): number =>
  letter !== undefined && /[sw]/i.test(letter) ? -Math.abs(value) : value

/** How the numbers of a whole column of angles are written. */
export type AngleScale = 'degrees' | 'degrees and minutes' | 'ten-millionths of a degree'

/**
 * Told from the largest number of the column: what no angle reaches is degrees and minutes without anything between them
 * (`3411.288`, as in NMEA 0183), or whole ten-millionths.
 */
export function angleScale(values: Float64Array, most: number): AngleScale {
  let largest = 0
  let whole = true
  for (const value of values) {
    if (Number.isNaN(value)) continue
    largest = Math.max(largest, Math.abs(value))
    whole &&= Number.isInteger(value)
  }
  if (largest <= most) return 'degrees'
  return whole && largest > 1e6 ? 'ten-millionths of a degree' : 'degrees and minutes'
}

/** Brings an angle of a scale to degrees. */
export function inDegrees(value: number, scale: AngleScale): number {
  if (scale === 'degrees') return value
  if (scale === 'ten-millionths of a degree') return value / 1e7
  const size = Math.abs(value)
  const degrees = Math.floor(size / 100)
  const minutes = size - 100 * degrees
  return minutes < 60 ? Math.sign(value) * (degrees + minutes / 60) : Number.NaN
}
