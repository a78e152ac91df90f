import { signed } from '../../base/figures.ts'
import { joined, listing, name, type Sentence, say } from '../../base/sentence.ts'
import type { Report, ReportClaim } from '../contract.ts'
import { plural } from '../words.ts'
import { changeWords, type Interval95, rangeWords } from './changes.ts'

/** How a claim's verdict is written: a sign that needs no colour, and what it means. */
export const CLAIM_VERDICT_WORDS: Record<ReportClaim['verdict'], { sign: string; means: string }> = {
  supported: { sign: '●', means: 'corrected to equal conditions, the 95 % interval of the change excludes zero' },
  unresolved: { sign: '○', means: 'these drives neither show a change nor rule one out' },
  'explained by conditions': { sign: '◌', means: 'conditions explain the difference, or may' },
  'not testable': { sign: '?', means: 'something needed is missing' },
}

/** Each claim in a sentence or two, in the order of the report. */
export function claimSentences({ claims }: Pick<Report, 'claims'>): Sentence[] {
  const severalRoads = onSeveralRoads(claims)
  return claims.map((claim) => claimSentence(claim, severalRoads))
}

/** Whether claims must be told apart by their roads. */
export const onSeveralRoads = (claims: readonly ReportClaim[]): boolean =>
  new Set(claims.flatMap(({ route, pooled }) => (pooled ? 'all' : (route ?? [])))).size > 1

function claimSentence(claim: ReportClaim, severalRoads: boolean): Sentence {
  const change = claim.adjusted_consumption_change_pct
  const distance = claim.adjusted_distance_per_fuel_change_pct
  const raw = claim.raw_consumption_change_pct
  const start = say`${comparedWords(claim)}${severalRoads ? placeWords(claim) : null}`
  if (change === null) {
    const measured = raw ? ` As measured, without correction: ${changeWords(raw)}.` : null
    return say`${start}: ${claim.verdict}. ${name(claim.reason)}${measured}`
  }
  const figures = joined([
    start,
    `, corrected to equal conditions: ${signed(change.estimate, 1)} % consumption (95 % interval ${rangeWords(change)})`,
    distance ? `, which is ${signed(distance.estimate, 1)} % distance for the same fuel` : null,
  ])
  if (claim.verdict === 'supported') {
    return say`${figures}; supported, ${drivesWords(claim)}.${raw ? ` As measured: ${signed(raw.estimate, 1)} %.` : null}`
  }
  if (claim.verdict === 'unresolved') return say`${figures}; unresolved: ${CLAIM_VERDICT_WORDS.unresolved.means}.`
  return say`${figures}; ${claim.verdict}. ${name(claim.reason)}`
}

/** "rack" compared with "bare". */
export const comparedWords = ({ setup, baseline }: Pick<ReportClaim, 'setup' | 'baseline'>): Sentence =>
  say`"${name(setup)}" compared with "${name(baseline)}"`

const placeWords = ({ route, pooled }: ReportClaim): Sentence =>
  pooled ? [' on all roads together'] : route === null ? [] : say` on ${name(route)}`

/** "1 drive against 3". */
export const drivesWords = ({ runs, baseline_runs }: ReportClaim): string =>
  `${plural(runs.length, 'drive')} against ${baseline_runs.length}`

/** The road of a claim, for a cell. */
export const roadOfClaim = ({ route, pooled }: ReportClaim): string => (pooled ? 'all roads' : (route ?? '–'))

/** What speaks against a claim or asks for care: evidence that disagrees, physics, a trend in time. */
export function doubtsOf(claim: ReportClaim): Sentence[] {
  const doubts = claim.evidence
    .filter((record) => record.kind === 'consistency' && record.agree === false)
    .flatMap(({ remark }) => (typeof remark === 'string' ? remark : []))
  if (claim.sense && claim.sense.verdict !== 'possible') doubts.push(claim.sense.sentence)
  if (claim.drift?.resolved && !claim.cautions.includes(claim.drift.sentence)) doubts.push(claim.drift.sentence)
  return [...doubts, ...claim.cautions].map((text) => [name(text)])
}

/** The step that narrows a claim's interval most; null where none is known. */
export function bestStep({ next_steps }: ReportClaim): Sentence | null {
  return next_steps.length > 0 ? [name(next_steps[0].sentence)] : null
}

/** What the parts did, as far as the drives tell them apart: a sentence for each part, and one for each group. */
export function partSentences({ parts, part_groups }: Pick<Report, 'parts' | 'part_groups'>): Sentence[] {
  const consumption = (change: Interval95, together = ''): string =>
    `${signed(change.estimate, 1)} % consumption${together} (95 % interval ${rangeWords(change)})`
  const single = parts
    .filter(({ inseparable_from }) => inseparable_from.length === 0)
    .map(({ part, consumption_change_pct: change }) =>
      change ? say`${name(part)}: ${consumption(change)}.` : say`${name(part)}: not known.`,
    )
  const groups = part_groups.map((group) => {
    const change = group.combined_change_pct
    return joined([
      listing(group.parts.map(name)),
      change ? `: ${consumption(change, ' together')}` : null,
      '; these drives do not separate them.',
      group.separating_run === null ? null : say` To separate them: ${name(group.separating_run)}.`,
    ])
  })
  return [...single, ...groups]
}

/** Whether the claims hold, for the head of the answer. */
export function claimsHeadline(claims: readonly ReportClaim[]): Sentence {
  const supported = claims.filter(({ verdict }) => verdict === 'supported')
  const reserved = supported.some((claim) => doubtsOf(claim).length > 0)
  const yes = reserved ? 'Yes, with reservations' : 'Yes'
  if (supported.length === claims.length) {
    if (claims.length === 1) return [`${yes}: the change is supported.`]
    return [`${yes}: ${claims.length === 2 ? 'both claims' : `all ${claims.length} claims`} are supported.`]
  }
  if (supported.length > 0) {
    const are = supported.length === 1 ? 'is' : 'are'
    return [
      `In part${reserved ? ', with reservations' : ''}: ${supported.length} of ${claims.length} claims ${are} supported.`,
    ]
  }
  if (claims.length > 1) return ['Not shown: none of the claims is supported.']
  return [
    claims[0].verdict === 'unresolved'
      ? 'Not shown yet: the claim is unresolved.'
      : `Not shown: the claim is ${claims[0].verdict}.`,
  ]
}
