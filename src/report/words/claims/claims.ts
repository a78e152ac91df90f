import { signed } from '../../../base/figures.ts'
import { joined, name, type Sentence, say } from '../../../base/sentence.ts'
import { isByControl } from '../../by-control.ts'
import type { Report, ReportClaim } from '../../contract.ts'
import { plural } from '../../words.ts'
import { usedInClaim } from '../used.ts'
import { changeWords, rangeWords } from './changes.ts'
import {
  cautionWords,
  claimReason,
  driftWords,
  fusedWords,
  HELD_BACK_WORDS,
  nextStepWords,
  senseWords,
} from './claim-reasons.ts'
import { controlSides, correctedBy, disagreementWords } from './control.ts'
import { evidenceWords } from './evidence.ts'
import { sideWords } from './sides.ts'

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
    return say`${start}: ${claim.verdict}. ${claimReason(claim)}${measured}`
  }
  const figures = joined([
    start,
    `, ${correctedBy(claim)}: ${signed(change.estimate, 1)} % consumption (95 % interval ${rangeWords(change)})`,
    distance ? `, which is ${signed(distance.estimate, 1)} % distance for the same ${usedInClaim(claim)}` : null,
  ])
  if (claim.verdict === 'supported') {
    return say`${figures}; supported, ${drivesWords(claim)}.${raw ? ` As measured: ${signed(raw.estimate, 1)} %.` : null}${spaced(fusedWords(claim))}`
  }
  if (claim.verdict === 'unresolved') {
    const why = claim.held_back === null ? CLAIM_VERDICT_WORDS.unresolved.means : HELD_BACK_WORDS[claim.held_back]
    return say`${figures}; unresolved: ${why}.`
  }
  return say`${figures}; ${claim.verdict}. ${claimReason(claim)}`
}

const spaced = (sentence: Sentence): Sentence => (sentence.length > 0 ? [' ', ...sentence] : [])

/** "rack" compared with "bare", and on which vehicle where that has a name. */
export function comparedWords({
  setup,
  baseline,
  control,
}: Pick<ReportClaim, 'setup' | 'baseline' | 'control'>): Sentence {
  const vehicle = control?.test_vehicle ?? null
  return say`"${name(setup)}" compared with "${name(baseline)}"${vehicle === null ? null : say` on ${name(vehicle)}`}`
}

const placeWords = ({ route, pooled }: ReportClaim): Sentence =>
  pooled ? [' on all roads together'] : route === null ? [] : say` on ${name(route)}`

/** "1 drive against 3", "2 stints (12 drives) against 2 stints (12 drives)" or "3 pairs against 7". */
export function drivesWords(claim: ReportClaim): string {
  const { control, stints, runs, baseline_runs } = claim
  if (control && isByControl(claim)) return controlSides(control)
  if (stints === null) return `${plural(runs.length, 'drive')} against ${baseline_runs.length}`
  return `${sideWords(runs, stints.setup)} against ${sideWords(baseline_runs, stints.baseline)}`
}

/** The road of a claim, for a cell. */
export const roadOfClaim = ({ route, pooled }: ReportClaim): string => (pooled ? 'all roads' : (route ?? '–'))

/** What speaks against a claim or asks for care: evidence that disagrees, physics, a trend in time. */
export function doubtsOf(claim: ReportClaim): Sentence[] {
  const { evidence, sense, drift, control, caution_codes } = claim
  const remarks = evidenceWords(claim)
  return [
    ...remarks.filter((_, i) => isDisagreement(evidence[i])),
    ...(control?.agree === false ? [disagreementWords(control)] : []),
    ...(sense && sense.verdict !== 'possible' ? [senseWords(sense, claim.implied_drag_area_change_pct)] : []),
    ...(drift?.resolved && !caution_codes.some(({ code }) => code === 'drift') ? [driftWords(drift)] : []),
    ...caution_codes.map((caution) => cautionWords(caution, claim)),
  ]
}

const isDisagreement = (record: ReportClaim['evidence'][number]): boolean =>
  record.kind === 'consistency' && !record.agree

/** The step that narrows a claim's interval most; null where none is known. */
export function bestStep(claim: ReportClaim): Sentence | null {
  const [best] = claim.next_steps
  return best === undefined ? null : nextStepWords(best, claim)
}
