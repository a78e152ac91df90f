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

/** How the numbers of the two columns of a position are written. */
export type AngleScale = 'degrees' | 'degrees and minutes' | 'ten-millionths of a degree'

/** 180° 60′ as degrees and minutes without anything between them: what is larger counts ten-millionths. */
const MOST_WITH_MINUTES = 18_060

/**
 * Told from the middle values of both columns, zeros left out, so that single rows of garbage decide nothing. Degrees and
 * minutes stand without anything between them (`3411.288`, as in NMEA 0183) where neither degrees nor degrees in exchanged
 * columns, nor longitudes from 0 to 360, reach so far.
 */
export function angleScale(latitude: Float64Array, longitude: Float64Array): AngleScale {
  const [north, east] = [middleSize(latitude), middleSize(longitude)]
  if (Math.max(north, east) > MOST_WITH_MINUTES) return 'ten-millionths of a degree'
  return north > 180 || east > 360 || (north > 90 && east > 180) ? 'degrees and minutes' : 'degrees'
}

/** Whether most latitudes are what only longitudes can be, and the other way round; both in degrees. */
export const areExchanged = (latitude: Float64Array, longitude: Float64Array): boolean =>
  middleSize(latitude) > 90 && middleSize(latitude) <= 180 && middleSize(longitude) <= 90

function middleSize(values: Float64Array): number {
  const sizes = values.filter((value) => value !== 0 && !Number.isNaN(value)).map(Math.abs)
  return sizes.length === 0 ? 0 : sizes.sort()[sizes.length >> 1]
}

/** Brings an angle of a scale to degrees; longitudes from 180 to 360 are those west of Greenwich. */
export function inDegrees(value: number, scale: AngleScale): number {
  if (scale === 'degrees') return value > 180 && value <= 360 ? value - 360 : value
  if (scale === 'ten-millionths of a degree') return value / 1e7
  const size = Math.abs(value)
  const degrees = Math.floor(size / 100)
  const minutes = size - 100 * degrees
  return minutes < 60 ? Math.sign(value) * (degrees + minutes / 60) : Number.NaN
}
