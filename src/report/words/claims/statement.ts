import { figure, joined, listing, name, type Sentence, say, span } from '../../../base/sentence.ts'
import { isByControl } from '../../by-control.ts'
import type { ReportClaim, ReportRun } from '../../contract.ts'
import { plural } from '../../words.ts'
import { type ConditionsFacts, conditionsWords } from '../drives/conditions.ts'
import { leftOutWords } from '../drives/left-out.ts'
import { usedInClaim } from '../used.ts'
import { moreOrLess, rangeWords } from './changes.ts'
import { type ClaimFacts, cautionWords, claimReason, fusedWords, HELD_BACK_WORDS } from './claim-reasons.ts'
import { controlWords, correctedBy } from './control.ts'
import { sideWords } from './sides.ts'

/** What a statement takes from a drive. */
export type StatementDrive = ConditionsFacts & Pick<ReportRun, 'start_time' | 'distance_m' | 'demand'>
/** The drives of a report by their ids. */
export type StatementDrives = ReadonlyMap<string, StatementDrive>

/** Conditions of more drives than this are not told one by one. */
const MOST_CONDITIONS = 4

interface Sides {
  setup: StatementDrive[]
  baseline: StatementDrive[]
}

/** One paragraph that can be published: the change, its interval, drives, conditions, what was corrected and what was not. */
export function statementWords(claim: ClaimFacts, drives: StatementDrives): Sentence {
  const of = (ids: readonly string[]): StatementDrive[] => ids.flatMap((id) => drives.get(id) ?? [])
  const sides = { setup: of(claim.runs), baseline: of(claim.baseline_runs) }
  const { adjusted_consumption_change_pct: adjusted, raw_consumption_change_pct: raw } = claim
  const known = adjusted !== null || raw !== null
  const sentences = [
    ...(adjusted ? changeSentences(claim, adjusted) : [unadjustedSentence(claim)]),
    ...(known ? [restsOn(claim, sides), howMeasured(claim), fusedWords(claim)] : []),
    adjusted && isByModel(claim) ? correctedFor(claim) : [],
    known && !isOfLog(claim) && sides.setup.length > 0 ? conditionsSentence(claim, sides) : [],
    leftOutSentence(claim),
    ...(adjusted ? claim.caution_codes.map((caution) => cautionWords(caution, claim)) : []),
    verdictSentence(claim),
  ].filter((sentence) => sentence.length > 0)
  return joined(sentences.flatMap((sentence, i) => (i === 0 ? [sentence] : [' ', sentence])))
}

const correctedFor = (claim: ClaimFacts): Sentence => [
  `Each drive was corrected, by a model of the unchanged vehicle, for wind, air density, temperature and its own recorded speed, stops and slopes; not for rain or a wet road, other traffic, tyre pressure${usedInClaim(claim) === 'fuel' ? ', fuel quality' : ''}, or anything else that a track and a weather report do not show.`,
]

function changeSentences(
  claim: ClaimFacts,
  adjusted: NonNullable<ClaimFacts['adjusted_consumption_change_pct']>,
): Sentence[] {
  const noun = usedInClaim(claim)
  const { raw_consumption_change_pct: raw, adjusted_distance_per_fuel_change_pct: distance } = claim
  return [
    joined([
      say`With ${name(claim.setup)}, compared with ${name(claim.baseline)}${placeOf(claim)}, the vehicle used ${moreOrLess(adjusted.estimate)} ${noun} for the same distance, ${correctedBy(claim)} (95 % interval ${rangeWords(adjusted)})`,
      distance
        ? `; that is ${moreOrLess(distance.estimate)} distance for the same ${noun} (${rangeWords(distance)}).`
        : '.',
    ]),
    raw
      ? [
          `As measured, before correction, the change of consumption was ${moreOrLess(raw.estimate)} (${rangeWords(raw)}).`,
        ]
      : [],
  ]
}

function unadjustedSentence(claim: ClaimFacts): Sentence {
  const { raw_consumption_change_pct: raw } = claim
  return raw
    ? say`As measured, and not corrected for any condition, the vehicle used ${moreOrLess(raw.estimate)} ${usedInClaim(claim)} for the same distance with ${name(claim.setup)} than with ${name(claim.baseline)}${placeOf(claim)} (95 % interval ${rangeWords(raw)}); wind and weather may account for all of it.`
    : say`Nothing can be said yet of ${name(claim.setup)} compared with ${name(claim.baseline)}${placeOf(claim)}.`
}

/** In the statement the figures have been said already. */
function verdictSentence(claim: ClaimFacts): Sentence {
  if (claim.verdict === 'supported') return ['Verdict: supported; the 95 % interval excludes zero.']
  if (claim.held_back !== null) return [`Verdict: unresolved; ${HELD_BACK_WORDS[claim.held_back]}.`]
  if (claim.verdict === 'unresolved') {
    return [
      'Verdict: unresolved; the 95 % interval contains zero, so these drives neither show a change nor rule one out.',
    ]
  }
  return say`Verdict: ${claim.verdict}. ${claimReason(claim)}`
}

const placeOf = ({ route, pooled }: ClaimFacts): Sentence =>
  pooled ? [' on all roads together'] : route === null ? [] : say` on ${name(route)}`

function drivesSentence({ setup, baseline, ...claim }: ClaimFacts, sides: Sides): Sentence {
  const all = [...sides.setup, ...sides.baseline]
  const days = all.map(({ start_time }) => start_time.slice(0, 10)).sort()
  const lengths = all.map(({ distance_m }) => distance_m)
  const [first, last] = [days[0], days[days.length - 1]]
  const when = first === last ? `on ${first}` : `between ${first} and ${last}`
  return say`This rests on ${sideWords(claim.runs, claim.stints?.setup ?? null)} with ${name(setup)} and ${claim.stints === null ? sides.baseline.length : sideWords(claim.baseline_runs, claim.stints.baseline)} with ${name(baseline)}, of ${rangeOf(lengths, 'distance', 0)} each, made ${when} (UTC).`
}

/** Whether it rests on a fuel log alone. */
const isOfLog = ({ missing }: ClaimFacts): boolean => missing?.code === 'no-tracks'

/** Whether the model has a part in the change. */
const isByModel = (claim: ClaimFacts): boolean =>
  !isByControl(claim) || claim.control?.with_model_consumption_change_pct !== null

function restsOn(claim: ClaimFacts, sides: Sides): Sentence {
  if (isOfLog(claim)) return logSentence(claim)
  const drives = sides.setup.length > 0 && sides.baseline.length > 0 ? drivesSentence(claim, sides) : []
  const control = claim.control ? controlWords(claim.control) : []
  return joined([drives, drives.length > 0 && control.length > 0 ? ' ' : null, control])
}

const logSentence = ({ setup, baseline, stints }: ClaimFacts): Sentence =>
  say`This rests on ${sideWords([], stints?.setup ?? null)} with ${name(setup)} and ${sideWords([], stints?.baseline ?? null)} with ${name(baseline)}, from a fuel log with the odometer.`

/** One value where both ends read the same, or a span. */
function rangeOf(
  values: readonly number[],
  quantity: 'distance' | 'temperature' | 'density' | 'wind',
  decimals: number,
): Sentence {
  const [low, high] = [Math.min(...values), Math.max(...values)]
  const scale = quantity === 'distance' ? 1000 : 1
  const same = (low / scale).toFixed(decimals) === (high / scale).toFixed(decimals)
  return same ? [figure(low, quantity, decimals)] : span(low, high, quantity, decimals)
}

function howMeasured({ measured_per_100_km: measured, control, fuel_measured: fuel }: ClaimFacts): Sentence {
  const unit = measured?.unit ?? control?.unit
  if (unit === 'kWh') return ['Energy was read from the charger.']
  if (unit === 'kg') return ['Fuel was weighed.']
  const temperature = fuel.at_15c ? 'volumes are corrected to 15 °C' : 'the fuel temperature is not known'
  return say`Fuel was measured by refilling at the pump, each fill taken to repeat to ${figure(fuel.fill_sd_l, 'volume', 2)} (one standard deviation); ${temperature}.`
}

const conditionsSentence = ({ setup, baseline }: ClaimFacts, sides: Sides): Sentence =>
  say`Conditions with ${name(setup)}: ${conditionsOf(sides.setup)}. Conditions with ${name(baseline)}: ${conditionsOf(sides.baseline)}.`

/** One drive's own line; of several drives the range of each figure, or their lines where figures are not known. */
function conditionsOf(drives: readonly StatementDrive[]): Sentence {
  const known = drives.filter(({ demand }) => demand.mean_j_per_m !== null)
  if (drives.length > 1 && known.length === drives.length) {
    const of = (value: (drive: StatementDrive) => number | null): number[] =>
      known.flatMap((drive) => value(drive) ?? [])
    const temperature = rangeOf(
      of(({ air }) => air.temperature_c),
      'temperature',
      0,
    )
    const density = rangeOf(
      of(({ air }) => air.density_kgm3),
      'density',
      3,
    )
    const wind = rangeOf(
      of((drive) => drive.wind.speed_mps),
      'wind',
      1,
    )
    return say`${temperature}, air ${density}, wind ${wind}`
  }
  const shown = drives.slice(0, MOST_CONDITIONS).flatMap((drive, i) => [i > 0 ? '; ' : '', conditionsWords(drive)])
  const rest = drives.length - MOST_CONDITIONS
  return joined([...shown, rest > 0 ? `; and ${plural(rest, 'more drive')}` : null])
}

function leftOutSentence({ left_out }: ClaimFacts): Sentence {
  if (left_out.length === 0) return []
  const told = left_out.slice(0, MOST_CONDITIONS).map(({ run, why }) => say`${name(run)} (${leftOutWords(why)})`)
  const rest = left_out.length - told.length
  return say`Excluded: ${listing(rest > 0 ? [...told, `${rest} more`] : told)}.`
}

/** What a claim takes from the rest of its report: its drives by id. */
export const drivesById = ({ runs }: { runs: readonly ReportRun[] }): StatementDrives =>
  new Map(runs.map((run) => [run.id, run]))

/** Drives left out of a claim, with the reasons: "a: …; b: …". */
export const leftOutList = ({ left_out }: Pick<ReportClaim, 'left_out'>): Sentence =>
  joined(left_out.flatMap(({ run, why }, i) => [i > 0 ? '; ' : '', say`${name(run)}: ${leftOutWords(why)}`]))
