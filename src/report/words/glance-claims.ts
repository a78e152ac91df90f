import { endBeside, fixed, signed } from '../../base/figures.ts'
import { listing, name, type Sentence, say } from '../../base/sentence.ts'
import type { Report, ReportClaim } from '../contract.ts'
import type { Helped, Reservation } from '../glance-answers.ts'
import { plural } from '../words.ts'
import type { Interval95 } from './claims/changes.ts'
import { drivesWords } from './claims/claims.ts'
import { driveCounts } from './claims/sides.ts'
import { type Used, usedInClaim } from './used.ts'

/** What a claim says, for a line or a picture of its own. */
export interface ClaimAtAGlance {
  /** "bars", on its road where there are several. */
  name: Sentence
  /** "6.0 % less fuel (2.9 to 9.1 %)"; empty where nothing was measured. */
  change: Sentence
  /** "1 drive against 3". */
  drives: string
  /** "yes, but it rests on one drive". */
  verdict: Sentence
}

export function claimAtAGlance(helped: Helped, { claims, runs }: Pick<Report, 'claims' | 'runs'>): ClaimAtAGlance {
  const { claim, level, reservations } = helped
  const several = new Set(claims.map(({ route }) => route)).size > 1
  const road = several && claim.route !== null ? say`, ${name(claim.route)}` : null
  const change = claim.adjusted_consumption_change_pct ?? claim.raw_consumption_change_pct
  const measured = claim.adjusted_consumption_change_pct === null ? ', not corrected' : ''
  const verdict =
    level === 'reserved' ? say`shown, but it ${reservationWords(reservations[0], claim)}` : [LEVEL_WORDS[level]]
  return {
    name: say`${name(claim.setup)}${vehicleOf(claim, claims)}${road}`,
    change: change === null ? [] : [`${changeAtAGlance(change, usedInClaim(claim))}${measured}`],
    drives: drivesAtAGlance(claim, runs),
    verdict,
  }
}

/** The drives that are compared; where there are none, those that were made. */
function drivesAtAGlance(claim: ReportClaim, runs: Report['runs']): string {
  if (claim.control || claim.stints) return drivesWords(claim)
  const { setup, baseline } = driveCounts(claim, runs)
  return `${plural(setup, 'drive')} against ${baseline}`
}

/** " on truck 2", where a control vehicle drove beside several test vehicles. */
function vehicleOf({ control }: ReportClaim, claims: readonly ReportClaim[]): Sentence | null {
  const vehicles = new Set(claims.flatMap((claim) => claim.control?.test_vehicle ?? []))
  const own = control?.test_vehicle ?? null
  return own !== null && vehicles.size > 1 ? say` on ${name(own)}` : null
}

const LEVEL_WORDS: Record<Exclude<Helped['level'], 'reserved'>, string> = {
  shown: 'shown',
  'not-shown': 'not shown yet',
  'not-known': 'cannot be told',
}

/** "6.0 % less fuel (2.9 to 9.1 %)", or where zero lies within, "2.1 % less fuel (6.0 % less to 2.0 % more)". */
export function changeAtAGlance({ estimate, low95, high95 }: Interval95, what: Used = 'fuel'): string {
  const size = (value: number): string => endBeside(0, Math.abs(value)).replace('+', '')
  const start = sizeWords({ estimate, low95, high95 }, what)
  if (low95 < 0 && high95 > 0) return `${start} (${size(low95)} % less to ${size(high95)} % more)`
  const [from, to] = low95 < 0 ? [high95, low95] : [low95, high95]
  return `${start} (${size(from)} to ${size(to)} %)`
}

/** "6.0 % less fuel". */
export const sizeWords = ({ estimate }: Interval95, what: Used): string =>
  `${fixed(Math.abs(estimate), 1)} % ${estimate < 0 ? 'less' : 'more'} ${what}`

/** What a claim suffers from, as the end of a sentence about it. */
export function reservationWords({ code, setups }: Helped['reservations'][number], claim: ReportClaim): Sentence {
  const other = setups.filter((setup) => setup !== claim.setup)
  const withOther: Sentence = other.length > 0 ? say` with ${listing(other.map((setup) => say`"${name(setup)}"`))}` : []
  switch (code) {
    case 'single-drive':
      return say`rests on one drive${withOther}`
    case 'single-stint':
      return say`rests on one stint${withOther}`
    case 'drift':
      return [
        `was measured while the baseline drifted by ${signed(claim.drift?.change_over_span_pct.estimate ?? null, 1)} %`,
      ]
    default:
      return [RESERVATIONS[code]]
  }
}

const RESERVATIONS: Record<Exclude<Reservation, 'single-drive' | 'single-stint' | 'drift'>, string> = {
  'data-doubtful': 'rests on values that are probably wrong',
  'evidence-apart': 'rests on readings that disagree',
  'control-apart': 'goes by the control vehicle, with which the model disagrees',
  'no-usable-pair': 'rests on the correction alone: no two drives are comparable',
  'battery-not-known': 'ignores the battery’s charge, which is not known',
  'not-interleaved': 'cannot be told from a drift: one setup was driven wholly before the other',
  'one-session': 'rests on drives made in one go',
  'drag-exceeded': 'is more than drag alone can give',
  'no-drift-correction': 'could not be corrected for drift',
  'fuel-temperature-partly-read': 'has fuel temperatures of some drives only',
  'large-correction': 'needs a very large correction',
  'scatter-grew': 'has repeats that differ more once corrected',
}
