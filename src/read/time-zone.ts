import { DateTime } from 'luxon'
import { nearestWord } from './table/nearest-word.ts'

/** True for an IANA zone's name, and for a fixed offset as `zoneOf` gives it. */
export function isTimeZone(name: string): boolean {
  if (FIXED.test(name)) return true
  if (!/^[A-Za-z]/.test(name)) return false
  try {
    new Intl.DateTimeFormat('en', { timeZone: name })
    return true
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

/** A fixed offset in the form that luxon takes for one. */
const FIXED = /^UTC[+-]\d{1,2}(:\d\d)?$/
const OFFSET = /^(?:utc|gmt)?\s*([+\u2212-])\s*(\d{1,2})(?::?(\d\d))?(?:\s+all\s+year)?$/i
const STANDARD = /^(.+?)\s+(?:standard|winter)(?:\s+time)?(?:\s+all\s+year)?$/i
const ALL_YEAR = /\s+all\s+year$/i
/** The zones go from 12 hours behind UTC to 14 ahead. @source IANA time zone database */
const [MOST_BEHIND_MIN, MOST_AHEAD_MIN] = [-12 * 60, 14 * 60]

/**
 * The zone that a setting means: an IANA name; an offset (`UTC-8`, `-08:00`, `+0530`), which holds in summer as well;
 * `America/Toronto standard time`, whose clocks are not set forward in summer, as in the tables of many weather services.
 * @param written a text, or the number that YAML makes of `-8` and `+0530`
 * @returns an IANA name or `UTC-8`, `UTC+5:30`; null for anything else
 */
export function zoneOf(written: string | number): string | null {
  const text = typeof written === 'number' ? offsetText(written) : written.trim()
  const offset = OFFSET.exec(text)
  if (offset) return fixed((offset[1] === '+' ? 1 : -1) * (60 * Number(offset[2]) + Number(offset[3] ?? 0)))
  const standard = STANDARD.exec(text)?.[1]
  if (standard !== undefined && isTimeZone(standard)) return fixed(standardOffsetMin(standard))
  const name = text.replace(ALL_YEAR, '')
  if (!isTimeZone(name)) return null
  return name === text ? name : fixed(standardOffsetMin(name))
}

/** YAML reads `+0530` as 530 and `-8` as -8. */
function offsetText(number: number): string {
  const digits = String(Math.abs(number))
  return `${number < 0 ? '-' : '+'}${digits.length > 2 ? digits.padStart(4, '0') : digits}`
}

function fixed(minutes: number): string | null {
  if (!(minutes >= MOST_BEHIND_MIN && minutes <= MOST_AHEAD_MIN)) return null
  const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60]
  if (minutes === 0) return 'UTC'
  return `UTC${minutes < 0 ? '-' : '+'}${hours}${rest === 0 ? '' : `:${String(rest).padStart(2, '0')}`}`
}

/** Of a zone's two offsets of a year the one nearer to the west. */
const standardOffsetMin = (zone: string): number =>
  Math.min(...[1, 7].map((month) => DateTime.fromObject({ year: 2020, month }, { zone }).offset))

/** What people write → the zone meant: cities in their own languages, cities of a zone, abbreviations. Common practice, no source. */
const MEANT: Record<string, string> = {
  'Europe/Vienna': 'wien vienne viena',
  'Europe/Berlin': 'munich münchen frankfurt hamburg köln cologne stuttgart cet cest mez mesz',
  'Europe/Zurich': 'zürich zuerich bern basel genf geneva genève',
  'Europe/Rome': 'roma rom milan milano mailand',
  'Europe/Prague': 'praha prag',
  'Europe/Warsaw': 'warszawa warschau',
  'Europe/Lisbon': 'lisboa lissabon',
  'Europe/Brussels': 'bruxelles brüssel brussel',
  'Europe/Copenhagen': 'københavn kopenhagen',
  'Europe/Athens': 'athen athina',
  'Europe/Bucharest': 'bukarest bucurești',
  'Europe/Belgrade': 'beograd belgrad',
  'Europe/Madrid': 'barcelona sevilla valencia',
  'Europe/Paris': 'lyon marseille',
  'Europe/London': 'manchester edinburgh birmingham bst',
  'America/Los_Angeles': 'san_francisco seattle san_diego pst pdt pt pacific',
  'America/Denver': 'salt_lake_city mst mdt mt mountain',
  'America/Chicago': 'dallas houston austin minneapolis cst cdt ct central',
  'America/New_York': 'boston washington miami atlanta philadelphia est edt et eastern',
  'America/Toronto': 'ottawa montreal',
  'Asia/Kolkata': 'mumbai delhi new_delhi bangalore ist',
  'Australia/Sydney': 'canberra aest aedt',
}

/** The zone that somebody may have meant by a name that is none; null where none is near. */
export function zoneMeant(written: string): string | null {
  const city = written
    .slice(written.lastIndexOf('/') + 1)
    .trim()
    .toLowerCase()
    .replace(/\s+/g, '_')
  const meant = Object.entries(MEANT).find(([, words]) => words.split(' ').includes(city))
  if (meant) return meant[0]
  const zones = Intl.supportedValuesOf('timeZone')
  return zones.find((zone) => zone.toLowerCase().endsWith(`/${city}`)) ?? nearestWord(written, zones)
}
