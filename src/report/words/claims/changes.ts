import { endBeside, signed } from '../../../base/figures.ts'
import type { ReportClaim } from '../../contract.ts'

/** A change in percent with its 95 % interval. */
export type Interval95 = NonNullable<ReportClaim['adjusted_consumption_change_pct']>

/** "−6.0 % (95 % interval −9.1 to −2.9 %)". */
export const changeWords = (change: Interval95): string =>
  `${signed(change.estimate, 1)} % (95 % interval ${rangeWords(change)})`

/** "−6.0 (−9.1 to −2.9)", for the cells of a table whose head says percent; a dash where there is none. */
export const changeInBrief = (change: Interval95 | null): string =>
  change ? `${signed(change.estimate, 1)} (${rangeInBrief(change)})` : '–'

/** "−7.4 to −2.1 %". */
export const rangeWords = (change: Interval95): string => `${rangeInBrief(change)} %`

/** "−7.4 to −2.1": whether zero lies within shows. */
export const rangeInBrief = ({ low95, high95 }: Interval95): string =>
  `${endBeside(0, low95)} to ${endBeside(0, high95)}`

/** "4.8 % less" or "2.1 % more"; "no more and no less" where it rounds to nothing. */
export function moreOrLess(pct: number, decimals = 1): string {
  const size = Math.abs(pct).toFixed(decimals)
  if (Number(size) === 0) return 'no more and no less'
  return `${size} % ${pct < 0 ? 'less' : 'more'}`
}
