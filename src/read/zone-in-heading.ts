import { zoneOf } from './time-zone.ts'

/** A heading without the zone that it names, and that zone. */
export interface ZonedHeading {
  base: string
  /** IANA name or `UTC+1`; `local`: a clock on the spot, of no zone that the heading names; null: nothing is said. */
  zone: string | null
}

export const LOCAL = 'local'

/**
 * Abbreviations that stand for one offset, taken at their word in any season. Common practice, no source. CST, IST and BST
 * are not among them: they have several meanings.
 */
const NAMED_OFFSETS: Record<string, string> = {
  CET: 'UTC+1',
  MEZ: 'UTC+1',
  CEST: 'UTC+2',
  MESZ: 'UTC+2',
  WET: 'UTC',
  WEST: 'UTC+1',
  EET: 'UTC+2',
  EEST: 'UTC+3',
  EST: 'UTC-5',
  EDT: 'UTC-4',
  CDT: 'UTC-5',
  MST: 'UTC-7',
  MDT: 'UTC-6',
  PST: 'UTC-8',
  PDT: 'UTC-7',
  Z: 'UTC',
  ZULU: 'UTC',
  GMT: 'UTC',
  UTC: 'UTC',
}
const ON_THE_SPOT = /^(?:local|lokal|locale|ortszeit)$/i

const WORDS = `${Object.keys(NAMED_OFFSETS)
  .filter((word) => word !== 'Z')
  .join('|')}|local|lokal|locale`
const OFFSET = '(?:UTC|GMT)[ _]?[+\\-\\u2212_]?\\d{1,2}(?::?\\d\\d)?'
const IN_BRACKETS = /^(.*?)[\s_]*[([]([^)\]]+)[)\]]\s*$/
const BEHIND = new RegExp(`^(.+?)[\\s_,-]+(${OFFSET}|${WORDS})$`, 'i')
const BEFORE = new RegExp(`^(${OFFSET}|${WORDS})[\\s_-]+(.+)$`, 'i')

/**
 * The zone that a column's heading names: `time (UTC)`, `Time [CET]`, `time (Europe/Berlin)`, `UTC time`, `time UTC+2`,
 * `local time`. Case and underscores for blanks do not matter.
 */
export function zonedHeading(heading: string): ZonedHeading {
  const written = heading.trim()
  if (ON_THE_SPOT.test(written)) return { base: /ortszeit/i.test(written) ? 'zeit' : written, zone: LOCAL }
  const bracketed = IN_BRACKETS.exec(written)
  const [base, word] = bracketed
    ? [bracketed[1], bracketed[2]]
    : (BEHIND.exec(written)?.slice(1) ?? BEFORE.exec(written)?.slice(1).reverse() ?? [written, ''])
  const zone = word === '' ? null : zoneNamed(word.trim())
  return zone === null || base === '' ? { base: written, zone: null } : { base, zone }
}

function zoneNamed(word: string): string | null {
  if (ON_THE_SPOT.test(word)) return LOCAL
  const named = NAMED_OFFSETS[word.toUpperCase()]
  if (named !== undefined) return named
  // In the form of `columnName` a hyphen is an underscore.
  const offset = /^(utc|gmt)_(\d.*)$/i.exec(word)
  return zoneOf(offset ? `${offset[1]}-${offset[2]}` : word.replaceAll('_', ' ')) ?? zoneOf(word)
}

/** The zone of the first of several headings that names one; null where none does, or says no more than `local`. */
export function zoneOfHeadings(headings: readonly (string | undefined)[]): string | null {
  for (const heading of headings) {
    const zone = heading === undefined ? null : zonedHeading(heading).zone
    if (zone !== null && zone !== LOCAL) return zone
  }
  return null
}
