import type { ReportPair, Verdict } from '../contract.ts'
import { html, type Markup } from '../markup.ts'
import { VERDICT_WORDS } from '../words.ts'

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
