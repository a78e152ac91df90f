import { signed } from '../../../base/figures.ts'
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

/** "−7.4 to −2.1", with as many decimals as it takes to see whether zero lies within. */
export function rangeInBrief({ low95, high95 }: Interval95): string {
  const decimals = Math.max(decimalsFor(low95), decimalsFor(high95))
  return `${signed(low95, decimals)} to ${signed(high95, decimals)}`
}

const decimalsFor = (value: number): number =>
  value === 0 ? 1 : ([1, 2].find((decimals) => Number(Math.abs(value).toFixed(decimals)) > 0) ?? 3)

/** "4.8 % less" or "2.1 % more"; "no more and no less" where it rounds to nothing. */
export function moreOrLess(pct: number, decimals = 1): string {
  const size = Math.abs(pct).toFixed(decimals)
  if (Number(size) === 0) return 'no more and no less'
  return `${size} % ${pct < 0 ? 'less' : 'more'}`
}
