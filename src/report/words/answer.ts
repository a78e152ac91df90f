import { signed } from '../../base/figures.ts'
import { joined, listing, name, percentSpan, type Sentence, say } from '../../base/sentence.ts'
import { sum } from '../../base/statistics.ts'
import type { Report, ReportPair, ReportRun, Verdict } from '../contract.ts'
import { onOneRoad } from '../one-road.ts'
import { FACTOR_WORDS, type Factor, largestFactor, plural } from '../words.ts'
import { claimSentences } from './claims/claims.ts'
import { nextSteps } from './claims/next-steps.ts'
import { reasonsTogether } from './pairs.ts'

/** The report in sentences: the same words for the terminal, for Markdown and for the page. */
export interface Answer {
  /** Can these drives be compared? */
  headline: Sentence
  /** How many pairs can, and what differs most where they cannot. */
  sentences: Sentence[]
  /** What each change did, a sentence or two per claim, in the report's order; empty without claims. */
  claims: Sentence[]
  /** What to do next, most useful first. */
  nextSteps: Sentence[]
}

/** Says in plain sentences whether the drives of a report can be compared, why not, and what to do next. */
export function answerOf(report: Report): Answer {
  return {
    headline: headlineOf(report),
    sentences: Object.values(pairSentences(report)).flat(),
    claims: claimSentences(report),
    nextSteps: nextSteps(report),
  }
}

type Counts = Record<Verdict, number>

/** How many of the pairs have each verdict. */
export function verdictCounts(pairs: readonly Pick<ReportPair, 'verdict'>[]): Counts {
  const counts: Counts = { comparable: 0, adjustable: 0, 'not-comparable': 0, undecided: 0, unknown: 0 }
  for (const pair of pairs) counts[pair.verdict]++
  return counts
}

/** The pairs whose drives have different setups, where both are stated. */
function pairsAcrossSetups(report: Report): ReportPair[] {
  const setups = new Map(report.runs.map((run: ReportRun) => [run.id, run.setup]))
  return report.pairs.filter(({ a, b }) => {
    const [first, second] = [setups.get(a) ?? null, setups.get(b) ?? null]
    return first !== null && second !== null && first !== second
  })
}

/** Can these drives be compared? */
export function headlineOf({ runs, pairs: all, consumption, claims }: Report): Sentence {
  const pairs = all.filter(onOneRoad)
  if (runs.length === 0 && consumption.length > 0) {
    return ['A fuel log without tracks: it says what was used, and no drives can be compared.']
  }
  if (runs.length === 0 && claims.some(({ control }) => control !== null)) {
    return ['Fuel beside a control vehicle, without tracks: the ratio of the two answers, and no drives are compared.']
  }
  if (runs.length === 0) return ['No drive could be read, so there is nothing to compare.']
  if (runs.length === 1) return ['One drive was read; a comparison takes two.']
  if (all.length === 0) {
    return runs.every(({ demand }) => demand.mean_j_per_m === null)
      ? [`None of the ${runs.length} drives can be compared: the wind or the temperature is not known for any of them.`]
      : [`${runs.length} drives were read, but no two of them could be compared.`]
  }
  if (pairs.length === 0) return [`No two of the ${runs.length} drives took the same road in the same direction.`]
  return [verdictsHeadline(pairs)]
}

const ONE_PAIR_WORDS: Record<Verdict, string> = {
  comparable: 'Yes: the two drives can be compared as measured.',
  adjustable: 'Yes: the two drives can be compared after correction.',
  'not-comparable': 'No: the two drives cannot be compared.',
  undecided: 'Undecided: how much the conditions differ is not known closely enough.',
  unknown: 'Cannot be judged: something needed is missing.',
}

/** Whether pairs of drives on one road can be compared. */
export const verdictsHeadline = (pairs: readonly Pick<ReportPair, 'verdict'>[]): string =>
  pairs.length === 1 ? ONE_PAIR_WORDS[pairs[0].verdict] : pairsHeadline(verdictCounts(pairs), pairs.length)

function pairsHeadline({ comparable, adjustable, 'not-comparable': not, undecided }: Counts, count: number): string {
  const usable = comparable + adjustable
  if (comparable === count) return `Yes: all ${count} pairs of drives can be compared as measured.`
  if (usable > 0) {
    const how =
      adjustable === 0
        ? 'as measured'
        : comparable === 0
          ? 'after correction'
          : `${comparable} as measured, ${adjustable} after correction`
    return `${usable} of ${count} pairs can be used: ${how}.`
  }
  if (undecided > 0) {
    return `Undecided: ${undecided === count ? `for all ${count}` : `for ${undecided} of ${count}`} pairs of drives the conditions are not known closely enough${not > 0 ? '; none can be used' : ''}.`
  }
  if (not === 0) return 'Cannot be judged: something needed is missing for every pair.'
  return `No: none of the ${count} pairs of drives can be compared.`
}

/** What is said of a report's pairs. */
interface PairSentences {
  /** Which are never compared. */
  apart: Sentence[]
  /** How many are comparable at the margin. */
  counts: Sentence[]
  /** What differs most in the others. */
  differences: Sentence[]
}

/** What is said of a report's pairs, in the order in which it is told. */
export function pairSentences(report: Report): PairSentences {
  const { margin_pct } = report.settings
  const pairs = report.pairs.filter(onOneRoad)
  const elsewhere = report.pairs.length - pairs.length
  const apart: Sentence[] =
    elsewhere === 0
      ? []
      : [
          [
            `${plural(elsewhere, 'pair')} of drives ${elsewhere === 1 ? 'is' : 'are'} on different roads or in opposite directions: these are never compared.`,
          ],
        ]
  if (pairs.length === 0) return { apart, counts: [], differences: [] }
  const across = pairsAcrossSetups(report).filter(onOneRoad)
  const differences = differencesInWords(pairs, margin_pct)
  if (report.pairs_note !== null) differences.push([name(report.pairs_note)])
  return { apart, counts: countSentences(verdictCounts(pairs), verdictCounts(across), margin_pct), differences }
}

/**
 * How many pairs have which verdict at a margin.
 * @param across the counts of the pairs with different setups
 */
export function countSentences(all: Counts, across: Counts, marginPct: number): Sentence[] {
  const [count, acrossCount] = [all, across].map((counts) => sum(Object.values(counts)))
  const sentences: Sentence[] = [
    [
      `Two drives of one road are comparable when conditions change the predicted energy demand of the unchanged vehicle by no more than ${marginPct} % (90 % interval).`,
    ],
    [`${countsInWords(all, count, 'on one road')}.`],
  ]
  if (acrossCount > 0 && acrossCount < count) {
    sentences.push([`${countsInWords(across, acrossCount, 'with different setups')}.`])
  }
  return sentences
}

/** "Of 28 pairs on one road, 10 are comparable as measured and 18 are undecided", or "All 3 pairs on one road are undecided". */
function countsInWords(counts: Counts, total: number, which: string): string {
  const words: [number, string, string][] = [
    [counts.comparable, 'is comparable as measured', 'are comparable as measured'],
    [counts.adjustable, 'is comparable after correction', 'are comparable after correction'],
    [counts.undecided, 'is undecided', 'are undecided'],
    [counts['not-comparable'], 'is not comparable', 'are not comparable'],
    [counts.unknown, 'cannot be judged', 'cannot be judged'],
  ]
  const told = words.filter(([count]) => count > 0).map(([count, one, many]) => `${count} ${count === 1 ? one : many}`)
  if (told.length > 1) return `Of ${total} pairs ${which}, ${listing(told).join('')}`
  // One verdict for all, without its count.
  const verdict = told.join('').replace(/^\d+ /, '')
  return total === 1 ? `The one pair ${which} ${verdict}` : `All ${total} pairs ${which} ${verdict}`
}

/** For each condition that weighs most in some pair that does not pass: in how many, and the worst example. */
function differencesInWords(pairs: readonly ReportPair[], marginPct: number): Sentence[] {
  const failing = pairs.filter(({ verdict }) => verdict !== 'comparable' && verdict !== 'unknown')
  const byFigures = ({ verdict, cause }: ReportPair): boolean =>
    verdict === 'adjustable' || verdict === 'undecided' || cause === 'surely-different' || cause === 'too-large'
  const beyond = (pair: ReportPair): boolean => Math.abs(pair.difference_pct?.mean ?? 0) > marginPct
  const groups = groupedBy(
    failing.filter((each) => byFigures(each) && beyond(each)),
    largestFactor,
  )
  const told = [...groups]
    .sort(([, a], [, b]) => b.length - a.length)
    .flatMap(([factor, group]) => (factor === null ? [] : [worstOf(factor, group)]))
  const vague = failing.filter((pair) => byFigures(pair) && !beyond(pair)).length
  if (vague > 0) {
    told.push([`In ${plural(vague, 'pair')} the best estimate is within ±${marginPct} %, but too uncertain to say so.`])
  }
  const others = groupedBy(
    failing.filter((pair) => !byFigures(pair)),
    ({ cause, outside_model }) => `${cause} ${outside_model}`,
  )
  const reasons = [...others.values()].map((group) => reasonsTogether(group, (n) => plural(n, 'pair')))
  return [...told, ...reasons.filter((reason) => reason !== null)]
}

function groupedBy<T, K>(items: readonly T[], keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>()
  for (const item of items) {
    const key = keyOf(item)
    groups.set(key, [...(groups.get(key) ?? []), item])
  }
  return groups
}

/** "Wind is the largest difference in 2 of the pairs that do not pass: up to +13.0 % …". */
function worstOf(factor: Factor, group: readonly ReportPair[]): Sentence {
  const share = (pair: ReportPair): number => pair.contributions_pct?.[factor] ?? 0
  const worst = group.reduce((most, pair) => (Math.abs(share(pair)) > Math.abs(share(most)) ? pair : most))
  const interval = worst.contributions_interval90_pct?.[factor]
  const { difference_pct: d } = worst
  const what = `${FACTOR_WORDS[factor].charAt(0).toUpperCase()}${FACTOR_WORDS[factor].slice(1)}`
  return joined([
    `${what} is the largest difference in ${plural(group.length, 'pair')} not comparable as measured: `,
    `${group.length === 1 ? '' : 'up to '}${signed(share(worst), 1)} %`,
    interval ? ` (90 % interval ${percentSpan(interval.low90, interval.high90)})` : null,
    say` for ${name(worst.b)} against ${name(worst.a)}`,
    d ? `, of ${signed(d.mean, 1)} % (${percentSpan(d.low90, d.high90)}) from all conditions` : null,
    '.',
  ])
}
