import type { Place } from '../../../base/place.ts'
/** What one sentence says of the epoch that it belongs to; NaN and null where it says nothing. */
export interface Said {
  talker: string
  formatter: Formatter
  /** Seconds since midnight UTC. */
  secondOfDay: number
  /** Days since 1970. */
  day: number
  /** Degrees; NaN of a sentence that says itself that it is void. */
  latitude: number
  longitude: number
  /** m above mean sea level. */
  elevation: number
  /** m/s over ground. */
  speedMps: number
}

export const FORMATTERS = ['RMC', 'GGA', 'GNS', 'GLL', 'VTG', 'ZDA'] as const
export type Formatter = (typeof FORMATTERS)[number]

const MPS_PER_KNOT = 1852 / 3600
const DAY_S = 86_400

/** What became of a line. `other`: a sentence that is not read. */
export type Line = { said: Said } | { fault: 'checksum' | 'cut' } | 'other' | 'no sentence'

/**
 * Reads one line of NMEA 0183, whatever stands before the `$`.
 * @param wantsChecksum whether a sentence without one is taken as cut
 * @source NMEA 0183 version 4.1 as described by E. S. Raymond, "NMEA Revealed", https://gpsd.gitlab.io/gpsd/NMEA.html
 */
export function readSentence(line: string, wantsChecksum: boolean): Line {
  const at = line.indexOf('$')
  if (at < 0) return 'no sentence'
  const star = line.indexOf('*', at)
  const body = line.slice(at + 1, star < 0 ? undefined : star).trimEnd()
  const fields = body.split(',')
  const [address] = fields
  const formatter = FORMATTERS.find((one) => address.length === 5 && address.endsWith(one))
  if (star < 0 && wantsChecksum) return { fault: 'cut' }
  if (star >= 0) {
    const written = /^[0-9A-F]{2}/i.exec(line.slice(star + 1, star + 3))
    if (!written) return { fault: 'cut' }
    if (Number.parseInt(written[0], 16) !== checksum(body)) return { fault: 'checksum' }
  }
  if (!formatter) return 'other'
  return { said: { ...NOTHING, ...READ[formatter](fields), talker: address.slice(0, 2), formatter } }
}

/** The exclusive or of all characters between `$` and `*`. */
export function checksum(body: string): number {
  let sum = 0
  for (let i = 0; i < body.length; i++) sum ^= body.charCodeAt(i)
  return sum
}

const NOTHING = {
  secondOfDay: Number.NaN,
  day: Number.NaN,
  latitude: Number.NaN,
  longitude: Number.NaN,
  elevation: Number.NaN,
  speedMps: Number.NaN,
}

const READ: Record<Formatter, (fields: string[]) => Partial<Said>> = {
  RMC: ([, time, status, lat, ns, lon, ew, knots, , date]) => ({
    secondOfDay: clock(time),
    day: shortDate(date),
    ...(status === 'V' ? {} : { ...place(lat, ns, lon, ew), speedMps: number(knots) * MPS_PER_KNOT }),
  }),
  GGA: ([, time, lat, ns, lon, ew, quality, , , altitude]) => ({
    secondOfDay: clock(time),
    ...(quality === '0' ? {} : { ...place(lat, ns, lon, ew), elevation: number(altitude) }),
  }),
  GNS: ([, time, lat, ns, lon, ew, mode, , , altitude]) => ({
    secondOfDay: clock(time),
    ...(/^N*$/.test(mode ?? '') ? {} : { ...place(lat, ns, lon, ew), elevation: number(altitude) }),
  }),
  GLL: ([, lat, ns, lon, ew, time, status]) => ({
    secondOfDay: clock(time),
    ...(status === 'V' ? {} : place(lat, ns, lon, ew)),
  }),
  VTG: ([, , , , , knots, , kmh]) => ({
    speedMps: Number.isNaN(number(knots)) ? number(kmh) / 3.6 : number(knots) * MPS_PER_KNOT,
  }),
  ZDA: ([, time, day, month, year]) => ({
    secondOfDay: clock(time),
    day: dayOf(number(year), number(month), number(day)),
  }),
}

const number = (field: string | undefined): number =>
  field !== undefined && /^[+-]?\d+(\.\d*)?$/.test(field) ? Number(field) : Number.NaN

/** `hhmmss.ss` */
function clock(field: string | undefined): number {
  const found = /^(\d\d)(\d\d)(\d\d(?:\.\d*)?)$/.exec(field ?? '')
  if (!found) return Number.NaN
  const [hour, minute, second] = [Number(found[1]), Number(found[2]), Number(found[3])]
  return hour < 24 && minute < 60 && second < 61 ? hour * 3600 + minute * 60 + second : Number.NaN
}

/** `ddmmyy`; two digits of a year are 1980 to 2079: satellite time begins in 1980. */
function shortDate(field: string | undefined): number {
  const found = /^(\d\d)(\d\d)(\d\d)$/.exec(field ?? '')
  if (!found) return Number.NaN
  const year = Number(found[3])
  return dayOf(year + (year < 80 ? 2000 : 1900), Number(found[2]), Number(found[1]))
}

/** Days since 1970; NaN for no day. */
function dayOf(year: number, month: number, day: number): number {
  const time = Date.UTC(year, month - 1, day)
  const date = new Date(time)
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day ? time / 1000 / DAY_S : Number.NaN
}

function place(lat: string, ns: string, lon: string, ew: string): Place {
  return { latitude: angle(lat, ns, 'NS'), longitude: angle(lon, ew, 'EW') }
}

/** `ddmm.mmmm` or `dddmm.mmmm` with its letter. */
function angle(field: string | undefined, letter: string | undefined, letters: string): number {
  const value = number(field)
  const side = letter ? letters.indexOf(letter.toUpperCase()) : -1
  const degrees = Math.floor(value / 100)
  const minutes = value - 100 * degrees
  if (side < 0 || !(minutes < 60)) return Number.NaN
  return (side === 0 ? 1 : -1) * (degrees + minutes / 60)
}
