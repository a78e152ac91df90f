import { fixed, signed } from '../../../base/figures.ts'
import { figure, listing, name, type Sentence, say } from '../../../base/sentence.ts'
import { MEASUREMENT_SD } from '../../../claim/fuel/measure.ts'
import { MOST_ADJUSTABLE_PCT } from '../../../compare/verdict.ts'
import type { ReportClaim } from '../../contract.ts'
import { plural } from '../../words.ts'
import { changeWords, moreOrLess, rangeWords } from './changes.ts'
import { correctedBy } from './control.ts'

type Texts = 'reason' | 'cautions' | 'statement'
type Changed = 'left_out' | 'next_steps' | 'drift' | 'sense' | 'evidence' | 'control' | 'worth'
type Without<T, K extends PropertyKey> = T extends null ? null : Omit<T, K>

/** A claim's codes and figures, before anything is said of it. */
export type ClaimFacts = Omit<ReportClaim, Texts | Changed> & {
  left_out: Omit<ReportClaim['left_out'][number], 'reason'>[]
  next_steps: Omit<ReportClaim['next_steps'][number], 'sentence'>[]
  drift: Without<ReportClaim['drift'], 'sentence'>
  sense: Without<ReportClaim['sense'], 'sentence'>
  evidence: Without<ReportClaim['evidence'][number], 'remark'>[]
  control: Without<ReportClaim['control'], 'sentence'>
  worth: Without<ReportClaim['worth'], 'sentence'>
}

export const HELD_BACK_WORDS: Record<NonNullable<ClaimFacts['held_back']>, string> = {
  'large-correction': 'the correction is larger than the model is meant to carry',
  'scatter-grew': 'the correction makes repeats differ more, so it cannot be relied on',
  drift: 'the baseline drifted meanwhile by as much as the change or more',
  'wet-unknown': 'nobody says whether the roads were dry, and wet ones on one side would explain it',
  'vehicle-doubtful':
    'the drives move as no vehicle of the stated mass does, so the correction may be that of another vehicle',
  'evidence-apart': 'the ways of measuring the consumption disagree by as much, and nothing shows which is wrong',
}

/** Why a claim has its verdict, in one sentence. */
export function claimReason(claim: ClaimFacts): Sentence {
  const { adjusted_consumption_change_pct: adjusted, raw_consumption_change_pct: raw, missing } = claim
  if (adjusted === null)
    return say`Cannot be tested: ${missing === null ? 'something is missing' : missingWords(missing)}.`
  const range = rangeWords(adjusted)
  const corrected = correctedBy(claim)
  const Corrected = corrected.charAt(0).toUpperCase() + corrected.slice(1)
  if (claim.verdict === 'supported') {
    return [
      `${Corrected}, consumption changes by ${signed(adjusted.estimate, 1)} %; the 95 % interval, ${range}, excludes zero.`,
    ]
  }
  if (claim.held_back !== null) {
    return [
      `${Corrected}, consumption changes by ${signed(adjusted.estimate, 1)} % (95 % interval ${range}), but ${HELD_BACK_WORDS[claim.held_back]}.`,
    ]
  }
  if (claim.verdict === 'unresolved' || raw === null) {
    return [
      `${Corrected}, the 95 % interval of the change, ${range}, contains zero: these drives neither show a change nor rule one out.`,
    ]
  }
  const measured = `As measured, consumption is ${moreOrLess(raw.estimate)}`
  return [
    1 - adjusted.estimate / raw.estimate >= 0.5
      ? `${measured}, but ${corrected} ${signed(adjusted.estimate, 1)} % is left (95 % interval ${range}): conditions explain the difference.`
      : `${measured}, and ${corrected} still ${signed(adjusted.estimate, 1)} %, but conditions are not known well enough to rule out that they caused it (95 % interval ${range}).`,
  ]
}

/** What the figure rests on where it is more than the fuel, and what the fuel alone says; empty elsewhere. */
export function fusedWords({ by_fuel_alone_consumption_change_pct: byFuel, measured_by: ways }: ClaimFacts): Sentence {
  if (byFuel === null) return []
  const others = ways.filter((way) => way !== 'l' && way !== 'kg' && way !== 'kWh')
  const amount = ways.includes('kWh') ? 'energy charged' : 'fuel'
  return say`The figure rests on the ${amount} and the ${listing(others)}, which agree; by the ${amount} alone it is ${changeWords(byFuel)}.`
}

/** What a claim lacks, as the end of a sentence. */
export function missingWords({ code, setups }: NonNullable<ReportClaim['missing']>): Sentence {
  const all = listing(setups.map(name))
  const any = listing(setups.map(name), 'or')
  switch (code) {
    case 'not-driven':
      return say`no drive was made with ${any}`
    case 'all-left-out':
      return say`every drive with ${all} is excluded`
    case 'no-usable-fuel':
      return say`no drive with ${any} has a consumption that can be used`
    case 'baseline-elsewhere':
      return say`the baseline, ${all}, has no usable drive on this road`
    case 'no-conditions':
      return say`the wind or the temperature of the drives with ${all} is not known, so the change cannot be separated from the weather's`
    case 'no-control-pairs':
      return say`no run with ${all} was made beside the control vehicle`
    case 'few-control-pairs':
      return say`one pair of runs each with ${all} does not show how the ratio to the control vehicle scatters; drive two pairs or more with one of them`
    case 'no-tracks':
      return [
        'a fuel log says how much was used, and nothing of the roads, the speeds and the wind; the change cannot be separated from theirs. Record the drives of one road, with each setup',
      ]
  }
}

/** What weakens a claim, a sentence for one of its cautions. */
export function cautionWords({ code, setups }: ReportClaim['caution_codes'][number], claim: ClaimFacts): Sentence {
  switch (code) {
    case 'single-drive':
      return say`Only one drive with ${listing(setups.map(name))}: how much its drives differ among themselves was not seen; the interval holds an allowance for it.`
    case 'single-stint':
      return say`There is a single stint with ${listing(setups.map(name))}, which is a single measurement whatever the number of its laps: how much stints differ among themselves was not seen; the interval holds an allowance for it.`
    case 'one-session':
      return say`All drives with ${listing(setups.map(name))} were made in one go: what differs from one fitting or day to the next was not seen; the interval holds an allowance for it.`
    case 'scatter-grew':
      return claim.scatter === null
        ? []
        : [
            `The correction makes drives with the same setup differ more, not less: they scatter by ${fixed(claim.scatter.raw_sd_pct, 1)} % as measured and by ${fixed(claim.scatter.adjusted_sd_pct, 1)} % corrected. The likely causes are a noisy recording, the wrong vehicle class, or wrong units: find out which before you rely on the corrected figures.`,
          ]
    case 'large-correction':
      return [
        `Conditions account for ${moreOrLess(claim.conditions_change_pct?.estimate ?? 0)} consumption, beyond the ${MOST_ADJUSTABLE_PCT} % that the model is meant to correct for: repeat the drives under more equal conditions.`,
      ]
    case 'fuel-temperature-partly-read':
      return ['The fuel temperature was read in some drives only; the others were taken at the mean of those.']
    case 'no-drift-correction':
      return ['A correction for drift was asked for, but takes two baseline drives an hour or more apart.']
    case 'not-interleaved':
      return say`All drives with one of ${name(claim.setup)} and ${name(claim.baseline)} were made before all drives with the other: a drift meanwhile cannot be told from the change. Drive the baseline before and after the change, or by turns.`
    case 'battery-not-known':
      return [
        'How full the battery was before and after is not known for all of these drives: fuel may have gone into it, or been saved by it. Write soc_before_pct and soc_after_pct, and battery_capacity_kwh under vehicle: in campaign.yaml.',
      ]
    case 'drift':
      return claim.drift === null ? [] : driftWords(claim.drift)
  }
}

/** The trend in time of the baseline's drives. */
export function driftWords({
  runs,
  span_hours,
  change_over_span_pct: change,
  corrected,
  resolved,
}: NonNullable<ClaimFacts['drift']>): Sentence {
  const span = span_hours < 48 ? `${fixed(span_hours, 1)} hours` : `${fixed(span_hours / 24, 0)} days`
  const found = `Over ${span}, the consumption of ${plural(runs.length, 'baseline drive')} changed by ${changeWords(change)}`
  if (corrected) return [`${found}: the claim is corrected for this drift.`]
  return [resolved ? `${found}: a drift, which is not removed.` : `${found}: no drift is shown.`]
}

/** How a drift is taken out: for the page, and not for the statement, which is published without the command. */
export const driftAdvice = ({ corrected, resolved }: NonNullable<ClaimFacts['drift']>): Sentence =>
  resolved && !corrected ? [' The option --correct-drift takes a steady drift out.'] : []

/** Whether drag can make such a change on this road. */
export function senseWords(
  sense: NonNullable<ClaimFacts['sense']>,
  implied: ReportClaim['implied_drag_area_change_pct'],
): Sentence {
  const road = `Drag is about ${fixed(100 * sense.drag_share, 0)} % of the energy demand on this road`
  const most = `Even with no drag at all, consumption would fall by no more than ${fixed(-sense.most_saving_bound_pct, 0)} %`
  if (sense.verdict === 'beyond') return [`${road}. ${most}: drag cannot be the cause of this change.`]
  if (sense.verdict === 'estimate beyond' || implied === null) {
    return [`${road}. ${most}: the change as estimated is more than drag can give, though its interval leaves room.`]
  }
  return [
    `${road}, so drag alone would have to change by ${signed(implied.estimate, 1)} % of the drag area (95 % interval ${rangeWords(implied)}).`,
  ]
}

/** What a claim is worth in a year. */
export function worthWords({ yearly_distance_km, fuel, fuel_unit }: NonNullable<ClaimFacts['worth']>): Sentence {
  const amount = (value: number): Sentence =>
    fuel_unit === 'l' ? [{ ...figure(value, 'volume', 0), bare: true }] : [fixed(value, 0)]
  const unit: Sentence = fuel_unit === 'l' ? [{ unit: 'volume' }] : [fuel_unit]
  return say`Over ${figure(1000 * yearly_distance_km, 'distance', 0)} a year, all driven as on this road, ${amount(fuel.estimate)} ${unit} would be saved (95 % interval ${amount(fuel.low95)} to ${amount(fuel.high95)} ${unit}).`
}

/** A step that would narrow a claim's interval, and by how much. */
export function nextStepWords(
  { step, width_before_pct, width_after_pct }: ClaimFacts['next_steps'][number],
  claim: Pick<ReportClaim, 'setup' | 'baseline'>,
): Sentence {
  const widths = `from ${fixed(width_before_pct, 1)} to ${fixed(width_after_pct, 1)} percentage points`
  return say`${doesWords(step, claim)} would narrow the 95 % interval ${widths}.`
}

/** "One more drive each with bars and with ladders": a step without what it brings. */
export function doesWords(
  step: ReportClaim['next_steps'][number]['step'],
  { setup, baseline }: Pick<ReportClaim, 'setup' | 'baseline'>,
): Sentence {
  switch (step) {
    case 'more-runs':
      return say`One more drive each with ${name(setup)} and with ${name(baseline)}`
    case 'weigh-the-fuel':
      return say`The same drives with the fuel weighed (each weighing good to ${figure(MEASUREMENT_SD.weighingKg, 'mass', 2)}) instead of read at the pump`
    case 'longer-route':
      return ['The same drives on a road twice as long']
    default:
      return ['An anemometer by the road, which halves the variance of the conditions,']
  }
}
