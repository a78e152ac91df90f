import { signed } from '../base/figures.ts'
import { cleaned } from '../base/names.ts'
import { rangeInWords } from '../claim/wording.ts'
import type { Report, ReportClaim } from './contract.ts'
import { plural } from './words.ts'

/** How a claim's verdict is written: a sign that needs no colour, and what it means. */
export const CLAIM_VERDICT_WORDS: Record<ReportClaim['verdict'], { sign: string; means: string }> = {
  supported: { sign: '●', means: 'the 95 % interval of the change at like conditions excludes zero' },
  unresolved: { sign: '○', means: 'these runs neither show a change nor rule one out' },
  'explained by conditions': { sign: '◌', means: 'the conditions explain the difference, or may' },
  'not testable': { sign: '?', means: 'something needed is missing' },
}

export type Interval95 = NonNullable<ReportClaim['adjusted_consumption_change_pct']>

/** "−6.0 % (95 % interval −9.1 to −2.9 %)". */
export const changeInWords = (change: Interval95): string =>
  `${signed(change.estimate, 1)} % (95 % interval ${rangeInWords(change)})`

/** "−6.0 (−9.1 to −2.9)", for the cells of a table whose head says percent; a dash where there is none. */
export const changeInBrief = (change: Interval95 | null): string =>
  change ? `${signed(change.estimate, 1)} (${rangeInWords(change).replace(/ %$/, '')})` : '–'

/** Each claim in a sentence or two, in the order of the report; without markup, names made fit to be shown. */
export function claimSentences({ claims }: Pick<Report, 'claims'>): string[] {
  const severalRoads = onSeveralRoads(claims)
  return claims.map((claim) => claimSentence(claim, severalRoads))
}

/** Whether claims must be told apart by their roads. */
export const onSeveralRoads = (claims: readonly ReportClaim[]): boolean =>
  new Set(claims.flatMap(({ route, pooled }) => (pooled ? 'all' : (route ?? [])))).size > 1

function claimSentence(claim: ReportClaim, severalRoads: boolean): string {
  const change = claim.adjusted_consumption_change_pct
  const distance = claim.adjusted_distance_per_fuel_change_pct
  const raw = claim.raw_consumption_change_pct
  const start = `With ${cleaned(claim.setup)} in place of ${cleaned(claim.baseline)}${severalRoads ? placeOf(claim) : ''}`
  if (change === null) {
    const measured = raw ? ` As measured, with nothing adjusted: ${changeInWords(raw)}.` : ''
    return `${start}: ${claim.verdict}. ${cleaned(claim.reason.replace(/^Cannot be tested: (.)/, (_, first) => first.toUpperCase()))}${measured}`
  }
  const more = distance ? `, which is ${signed(distance.estimate, 1)} % distance for the same fuel` : ''
  const figures = `${start}, at like conditions: ${signed(change.estimate, 1)} % consumption (95 % interval ${rangeInWords(change)})${more}`
  if (claim.verdict === 'supported') {
    return `${figures}; supported, by ${runsInWords(claim)}.${raw ? ` As measured it was ${signed(raw.estimate, 1)} %.` : ''}`
  }
  if (claim.verdict === 'unresolved') return `${figures}; unresolved: ${CLAIM_VERDICT_WORDS.unresolved.means}.`
  return `${figures}; ${claim.verdict}. ${cleaned(claim.reason)}`
}

const placeOf = ({ route, pooled }: ReportClaim): string =>
  pooled ? ', all roads together' : route === null ? '' : ` on ${cleaned(route)}`

/** "1 run against 3". */
export const runsInWords = ({ runs, baseline_runs }: ReportClaim): string =>
  `${plural(runs.length, 'run')} against ${baseline_runs.length}`

/** The road of a claim, for a cell. */
export const roadOfClaim = ({ route, pooled }: ReportClaim): string => (pooled ? 'all roads' : cleaned(route ?? '–'))

/** What speaks against a claim or asks for care: evidence that disagrees, physics, a trend in time. */
export function doubtsOf(claim: ReportClaim): string[] {
  const doubts = claim.evidence
    .filter((record) => record.kind === 'consistency' && record.agree === false)
    .flatMap(({ remark }) => (typeof remark === 'string' ? remark : []))
  if (claim.sense && claim.sense.verdict !== 'possible') doubts.push(claim.sense.sentence)
  if (claim.drift?.resolved && !claim.cautions.includes(claim.drift.sentence)) doubts.push(claim.drift.sentence)
  return [...doubts, ...claim.cautions].map(cleaned)
}

/** The step that narrows a claim's interval most; null where none is known. */
export function bestStep({ next_steps }: ReportClaim): string | null {
  return next_steps.length > 0 ? cleaned(next_steps[0].sentence) : null
}

/** What the parts did, as far as the runs tell them apart: a sentence for each part, and one for each group. */
export function partSentences({ parts, part_groups }: Pick<Report, 'parts' | 'part_groups'>): string[] {
  const single = parts
    .filter(({ inseparable_from }) => inseparable_from.length === 0)
    .map(({ part, consumption_change_pct: change }) =>
      change
        ? `${cleaned(part)}: ${signed(change.estimate, 1)} % consumption (95 % interval ${rangeInWords(change)}).`
        : `${cleaned(part)}: not known.`,
    )
  const groups = part_groups.map((group) => {
    const together = group.parts.map(cleaned).join(' and ')
    const change = group.combined_change_pct
    const figures = change
      ? `: ${signed(change.estimate, 1)} % consumption together (95 % interval ${rangeInWords(change)})`
      : ''
    const tell = group.separating_run === null ? '' : ` To tell: ${cleaned(group.separating_run)}.`
    return `${together}${figures}; these runs do not tell them apart.${tell}`
  })
  return [...single, ...groups]
}
