import type { Report, ReportPair } from '../contract.ts'
import { differenceVerdict } from './difference-verdict.ts'
import { withUses } from './drive-uses.ts'

type Judged = Pick<ReportPair, 'a' | 'b' | 'difference_pct' | 'score' | 'verdict' | 'cause'>

/**
 * A report as it would be at another margin: the verdicts of its pairs by the rule of every report, and the uses of its
 * drives that follow from them. Figures, claims and the texts of pairs stay as they are.
 *
 * @param marginPct percent, above zero
 * @param scoreOf the probability within that margin of a pair that has one; left as it was without it
 */
export function reportAtMargin(
  report: Report,
  marginPct: number,
  scoreOf: (pair: Judged) => number | null = ({ score }) => score,
): Report {
  const pairs = report.pairs.map((pair) => judgedAt(pair, marginPct))
  const differences = new Map(report.runs.map(({ id, use }) => [id, use.difference_pct]))
  return {
    ...report,
    settings: { ...report.settings, margin_pct: marginPct },
    pairs,
    stint_pairs: report.stint_pairs.map((pair) => {
      const judged = judgedAt(pair, marginPct)
      return judged.score === null ? judged : { ...judged, score: scoreOf(judged) ?? judged.score }
    }),
    runs: withUses(report.runs, { claims: report.claims, differences, pairs, marginPct }),
  }
}

/** What no difference decides, such as a wet road, is the same at any margin. */
function judgedAt<T extends Judged>(pair: T, marginPct: number): T {
  if (pair.score === null || pair.difference_pct === null) return pair
  return { ...pair, ...differenceVerdict(pair.difference_pct, marginPct) }
}
