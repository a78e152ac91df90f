import { signed } from '../base/figures.ts'
import type { ReportPair, Verdict } from './contract.ts'

/** Heads a report of which neither title nor folder is known. */
export const UNTITLED = 'Drives compared'

/** How a verdict is written: a sign that needs no colour, a word, and what it means. */
export const VERDICT_WORDS: Record<Verdict, { sign: string; word: string; means: string }> = {
  comparable: { sign: '=', word: 'comparable', means: 'compare as measured' },
  adjustable: {
    sign: '\u2248',
    word: 'adjustable',
    means: 'compare after taking out the difference made by the conditions',
  },
  'not-comparable': {
    sign: '\u2260',
    word: 'not comparable',
    means: 'surely different, or another road: do not compare',
  },
  undecided: { sign: '\u00b1', word: 'undecided', means: 'the difference is not known closely enough to tell' },
  unknown: { sign: '?', word: 'unknown', means: 'something needed is missing' },
}

export type Factor = keyof NonNullable<ReportPair['contributions_pct']>

export const FACTOR_WORDS: Record<Factor, string> = {
  air_density: 'air density',
  wind: 'wind',
  rolling_temperature: 'tyre temperature',
  speed: 'speed or stops',
  route: 'path or elevation',
}

export const FACTORS = Object.keys(FACTOR_WORDS) as Factor[]

/** A condition's share of a pair's difference, percent. */
export interface Share {
  mean: number
  low90: number
  high90: number
}

/** What each condition makes of a pair's difference; null where nothing is known of it. */
export function sharesOf({
  contributions_pct: means,
  contributions_interval90_pct: intervals,
}: ReportPair): Record<Factor, Share> | null {
  if (means === null || intervals === null) return null
  return Object.fromEntries(FACTORS.map((factor) => [factor, { mean: means[factor], ...intervals[factor] }])) as Record<
    Factor,
    Share
  >
}

/** The condition with the largest share of a pair's difference; null where there are no shares. */
export function largestFactor(pair: ReportPair): Factor | null {
  const shares = sharesOf(pair)
  if (shares === null) return null
  return FACTORS.reduce((best, factor) => (Math.abs(shares[factor].mean) > Math.abs(shares[best].mean) ? factor : best))
}

/** The condition whose share of a pair's difference is known least; null where there are no shares. */
export function vaguestFactor(pair: ReportPair): Factor | null {
  const shares = sharesOf(pair)
  if (shares === null) return null
  const width = (factor: Factor): number => shares[factor].high90 - shares[factor].low90
  return FACTORS.reduce((best, factor) => (width(factor) > width(best) ? factor : best))
}

/** "−0.2 to +1.4": the ends of an interval. */
export const ends = ({ low90, high90 }: { low90: number; high90: number }, decimals = 1): string =>
  `${signed(low90, decimals)} to ${signed(high90, decimals)}`

/** A text with a capital letter first. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

export { plural } from '../base/figures.ts'

/** "a", "a and b", "a, b and c". */
export function listed(items: readonly string[]): string {
  return items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`
}

/** "1 h 05 min" or "12 min". */
export function hoursAndMinutes(seconds: number): string {
  const minutes = Math.round(seconds / 60)
  const hours = Math.floor(minutes / 60)
  return hours > 0 ? `${hours} h ${String(minutes % 60).padStart(2, '0')} min` : `${minutes} min`
}
