import { percentSize } from '../../../base/sentence.ts'
import type { ReportPair, Verdict } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { listed, plural, VERDICT_WORDS } from '../../words.ts'

/** The pair of two drives by their ids, whichever comes first; null where nothing is known of it. */
export type PairBetween = (a: string, b: string) => ReportPair | null

/** Looks pairs up among those that the report tells of. */
export function pairsByIds(pairs: readonly ReportPair[]): PairBetween {
  const found = new Map(pairs.map((pair) => [`${pair.a}\n${pair.b}`, pair]))
  return (a, b) => found.get(`${a}\n${b}`) ?? found.get(`${b}\n${a}`) ?? null
}

/** A verdict with its sign; the sign alone is never the only carrier. */
export function verdictTag(verdict: Verdict): Markup {
  const { sign, word } = VERDICT_WORDS[verdict]
  return html`<span class="verdict ${verdict}"><span aria-hidden="true">${sign}</span> ${word}</span>`
}

/** How a cell of the matrix is coloured and hatched. */
export const cellKind = (verdict: Verdict): string => `cell ${verdict}`

/** What a cell for several pairs tells: the verdict that most of them have, the share that have it, and how many have which. */
export function blockTold(verdicts: readonly Verdict[]): { most: Verdict; share: string; words: string } {
  const counts = new Map<Verdict, number>()
  for (const verdict of verdicts) counts.set(verdict, (counts.get(verdict) ?? 0) + 1)
  // Of equally many the better verdict comes first, in whatever order the pairs stand.
  const order = Object.keys(VERDICT_WORDS)
  const byCount = [...counts].sort(([v, a], [w, b]) => b - a || order.indexOf(v) - order.indexOf(w))
  const [most, count] = byCount[0]
  return {
    most,
    share: percentSize((100 * count) / verdicts.length),
    words: `${plural(verdicts.length, 'pair')}: ${listed(byCount.map(([verdict, n]) => `${n} ${VERDICT_WORDS[verdict].word}`))}`,
  }
}

/** Figures of pairs in a cell are told to a millionth of a percent, to base 36: a verdict must not turn by their rounding. */
const PER_PERCENT = 1e6
const BASE = 36

/** The differences of a cell's pairs for the script, which judges them anew: mean and 90 % interval of each. */
export const differencesText = (differences: readonly NonNullable<ReportPair['difference_pct']>[]): string =>
  differences
    .flatMap(({ mean, low90, high90 }) =>
      [mean, low90, high90].map((value) => Math.round(PER_PERCENT * value).toString(BASE)),
    )
    .join(' ')

export function differencesIn(text: string): NonNullable<ReportPair['difference_pct']>[] {
  const values = text.split(' ').map((value) => Number.parseInt(value, BASE) / PER_PERCENT)
  return Array.from({ length: Math.floor(values.length / 3) }, (_, i) => ({
    mean: values[3 * i],
    low90: values[3 * i + 1],
    high90: values[3 * i + 2],
  }))
}
