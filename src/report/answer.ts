import { signed } from '../base/figures.ts'
import { cleaned } from '../base/names.ts'
import { claimSentences } from './claim-words.ts'
import type { Report, ReportPair, ReportRun, Verdict } from './contract.ts'
import { nextSteps } from './next-steps.ts'
import { ends, FACTOR_WORDS, type Factor, largestFactor, listed, plural } from './words.ts'

/** The report in sentences, without markup: the same words for the terminal and for the page. */
export interface Answer {
  /** Can these runs be compared? */
  headline: string
  /** How many pairs can, and what differs most where they cannot. */
  sentences: string[]
  /** What each change did, a sentence or two per claim, in the report's order; empty without claims. */
  claims: string[]
  /** What to do next, most useful first. */
  nextSteps: string[]
}

/** Says in plain sentences whether the runs of a report can be compared, why not, and what to do next. */
export function answerOf(report: Report): Answer {
  return {
    headline: headlineOf(report),
    sentences: sentencesOf(report),
    claims: claimSentences(report),
    nextSteps: nextSteps(report),
  }
}

/** Whether two drives took one road in one direction, so that a comparison is at all a question. */
export const onOneRoad = ({ cause }: ReportPair): boolean => cause !== 'other-road' && cause !== 'opposite-direction'

/** How many of the pairs have each verdict. */
function verdictCounts(pairs: readonly ReportPair[]): Record<Verdict, number> {
  const counts: Record<Verdict, number> = { comparable: 0, adjustable: 0, 'not-comparable': 0, unknown: 0 }
  for (const pair of pairs) counts[pair.verdict]++
  return counts
}

/** The pairs whose runs have different setups, where both are stated. */
function pairsAcrossSetups(report: Report): ReportPair[] {
  const setups = new Map(report.runs.map((run: ReportRun) => [run.id, run.setup]))
  return report.pairs.filter(({ a, b }) => {
    const [first, second] = [setups.get(a) ?? null, setups.get(b) ?? null]
    return first !== null && second !== null && first !== second
  })
}

function headlineOf(report: Report): string {
  const { runs } = report
  const pairs = report.pairs.filter(onOneRoad)
  if (runs.length === 0) return 'No: no drive could be read, so there is nothing to compare.'
  if (runs.length === 1) return 'Not yet: one drive was read, and a comparison takes two.'
  const counts = verdictCounts(pairs)
  if (report.pairs.length === 0)
    return `Not yet: ${runs.length} drives were read, and no two of them could be set side by side.`
  if (pairs.length === 0) return `No: no two of the ${runs.length} drives took the same road in the same direction.`
  if (counts.comparable === pairs.length) {
    return pairs.length === 1
      ? 'Yes, the two drives can be compared as measured.'
      : `Yes: all ${plural(pairs.length, 'pair')} of drives can be compared as measured.`
  }
  if (counts.comparable > 0)
    return `Some of them: ${counts.comparable} of ${plural(pairs.length, 'pair')} of drives can be compared as measured.`
  if (counts.adjustable > 0)
    return `Only after adjusting: ${counts.adjustable} of ${plural(pairs.length, 'pair')} of drives, and none as measured.`
  if (counts['not-comparable'] === 0) return 'It cannot be told: something needed is missing for every pair.'
  return pairs.length === 1
    ? 'No, the two drives cannot be compared.'
    : `No: none of the ${plural(pairs.length, 'pair')} of drives can be compared.`
}

function sentencesOf(report: Report): string[] {
  const { settings } = report
  const pairs = report.pairs.filter(onOneRoad)
  const elsewhere = report.pairs.length - pairs.length
  const sentences: string[] = []
  if (elsewhere > 0) {
    sentences.push(
      `${plural(elsewhere, 'pair')} of drives on different roads or in opposite directions: these are never compared.`,
    )
  }
  if (pairs.length === 0) return sentences
  sentences.push(
    `Two drives of one road count as comparable when the conditions alone change what the unchanged vehicle needs by no more than ${settings.margin_pct} % (90 % interval).`,
    `Of ${plural(pairs.length, 'pair')} on one road, ${countsInWords(verdictCounts(pairs))}.`,
  )
  const across = pairsAcrossSetups(report).filter(onOneRoad)
  if (across.length > 0 && across.length < pairs.length) {
    sentences.push(
      `Of the ${plural(across.length, 'pair')} with different setups, ${countsInWords(verdictCounts(across))}.`,
    )
  }
  sentences.push(...differencesInWords(pairs, settings.margin_pct))
  if (report.pairs_note !== null) sentences.push(cleaned(report.pairs_note))
  return sentences
}

function countsInWords(counts: Record<Verdict, number>): string {
  const words: [number, string, string][] = [
    [counts.comparable, 'is comparable as measured', 'are comparable as measured'],
    [counts.adjustable, 'is comparable after adjusting', 'are comparable after adjusting'],
    [counts['not-comparable'], 'is not comparable', 'are not comparable'],
    [counts.unknown, 'cannot be judged', 'cannot be judged'],
  ]
  return listed(
    words.filter(([count]) => count > 0).map(([count, one, many]) => `${count} ${count === 1 ? one : many}`),
  )
}

/** For each condition that weighs most in some pair that does not pass: in how many, and the worst example. */
function differencesInWords(pairs: readonly ReportPair[], marginPct: number): string[] {
  const failing = pairs.filter(({ verdict }) => verdict === 'adjustable' || verdict === 'not-comparable')
  const byFigures = (pair: ReportPair): boolean =>
    pair.verdict === 'adjustable' || pair.cause === 'not-known-well-enough' || pair.cause === 'too-large'
  const beyond = (pair: ReportPair): boolean => Math.abs(pair.difference_pct?.mean ?? 0) > marginPct
  const groups = new Map<Factor, ReportPair[]>()
  for (const pair of failing.filter((each) => byFigures(each) && beyond(each))) {
    const factor = largestFactor(pair)
    if (factor !== null) groups.set(factor, [...(groups.get(factor) ?? []), pair])
  }
  const told = [...groups].sort(([, a], [, b]) => b.length - a.length).map(([factor, group]) => worstOf(factor, group))
  const vague = failing.filter((pair) => byFigures(pair) && !beyond(pair)).length
  if (vague > 0) {
    told.push(
      `In ${plural(vague, 'pair')} the best estimate is within the margin, but it is not known closely enough to say so.`,
    )
  }
  const others = failing.filter((pair) => !byFigures(pair))
  const reasons = [...new Set(others.map(({ reason }) => reason))]
  for (const reason of reasons.slice(0, MOST_REASONS)) {
    const count = others.filter((pair) => pair.reason === reason).length
    told.push(`${plural(count, 'pair')}: ${cleaned(reason.replace(/^Not comparable: /, ''))}`)
  }
  if (reasons.length > MOST_REASONS) told.push('The reasons of the other pairs stand beside them.')
  return told
}

const MOST_REASONS = 3

function worstOf(factor: Factor, group: readonly ReportPair[]): string {
  const share = (pair: ReportPair): number => pair.contributions_pct?.[factor] ?? 0
  const worst = group.reduce((most, pair) => (Math.abs(share(pair)) > Math.abs(share(most)) ? pair : most))
  const interval = worst.contributions_interval90_pct
    ? `, 90 % interval ${ends(worst.contributions_interval90_pct[factor])} %`
    : ''
  const { difference_pct: d } = worst
  const total = d ? `; of ${signed(d.mean, 1)} % in all, ${ends(d)} %` : ''
  const many = group.length === 1 ? 'In 1 pair that does not pass' : `In ${group.length} pairs that do not pass`
  const where = `${cleaned(worst.b)} against ${cleaned(worst.a)}`
  return `${many}, ${FACTOR_WORDS[factor]} differs most (${group.length === 1 ? '' : 'up to '}${signed(share(worst), 1)} % for ${where}${interval}${total}).`
}
