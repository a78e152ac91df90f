import { fixed, signed } from '../../../base/figures.ts'
import { figure, joined, listing, type Sentence, say } from '../../../base/sentence.ts'
import { plural } from '../../words.ts'
import { changeWords } from './changes.ts'
import type { ClaimFacts } from './claim-reasons.ts'

type EvidenceRecord = ClaimFacts['evidence'][number]
/** What one way of measuring says of a change. */
export type Estimate = Extract<
  EvidenceRecord,
  { kind: 'pump' | 'trip computer' | 'logged fuel' | 'logged energy' | 'gauge mark' }
>
/** How the ways of measuring agree. */
export type Agreement = Extract<EvidenceRecord, { kind: 'consistency' }>

type Unit = NonNullable<ClaimFacts['measured_per_100_km']>['unit']
const AMOUNT_READ_AT: Record<Unit, string> = { l: 'pump', kg: 'scale', kWh: 'charger' }

/** A way of measuring as it is told: the amount that went in was read at the pump, on a scale or at the charger. */
export const wayWords = (kind: Estimate['kind'], unit: Unit | undefined): string =>
  kind === 'pump' ? AMOUNT_READ_AT[unit ?? 'l'] : kind

type Told = Pick<ClaimFacts, 'evidence' | 'measured_per_100_km'>

/** What a reader should know of each of the evidence, in a sentence or two. */
export function evidenceWords({ evidence, measured_per_100_km: measured }: Told): Sentence[] {
  const way = (kind: Estimate['kind']): string => wayWords(kind, measured?.unit)
  const estimates = evidence.filter((record): record is Estimate => record.kind !== 'consistency')
  return evidence.map((record) =>
    record.kind === 'consistency' ? agreementWords(record, estimates, way) : estimateWords(record, way),
  )
}

type WayWords = (kind: Estimate['kind']) => string

function estimateWords(estimate: Estimate, way: WayWords): Sentence {
  const { kind, consumption_change_pct: change, reading_sd_pct: sd } = estimate
  return joined([
    `By the ${way(kind)}, consumption changed by ${changeWords(change)}.`,
    kind === 'gauge mark'
      ? say` The mark was passed at ${distances(estimate.baseline_readings)} with the baseline and at ${distances(estimate.readings)} with the change.`
      : null,
    sd === null
      ? null
      : estimate.readings_scatter_more
        ? ` Its readings scatter more than the ±${plain(sd)} % expected of one, so their own scatter was used.`
        : ` One reading is taken as good to ±${plain(sd)} % (one standard deviation).`,
    estimate.says_little ? ` So wide an interval says little: it ${openWords(change)}.` : null,
  ])
}

const openWords = ({ low95, high95 }: Estimate['consumption_change_pct']): string =>
  low95 < 0 && high95 > 0 ? 'does not even separate a saving from a loss' : 'gives the direction but not the size'

const distances = (readings: Estimate['readings']): Sentence =>
  listing(readings.map(({ value }) => figure(1000 * value, 'distance', 0)))

/** Whether the ways of measuring agree, which stands apart, and by how much. */
function agreementWords(agreement: Agreement, estimates: readonly Estimate[], way: WayWords): Sentence {
  const { chi_square, degrees_of_freedom, p } = agreement
  const names = listing(estimates.map(({ kind }) => way(kind))).join('')
  const test = `chi-square ${chi_square.toFixed(1)} with ${plural(degrees_of_freedom, 'degree')} of freedom, p ${probability(p)}`
  if (agreement.agree) {
    const weak = estimates.filter(({ kind, says_little }) => kind !== 'pump' && says_little).map(({ kind }) => kind)
    const but =
      weak.length > 0
        ? ` Agreement with the ${listing(weak).join('')} means little, because ${weak.length === 1 ? 'it says' : 'they say'} little.`
        : ''
    const { fused_widened_by: factor } = agreement
    const barely =
      factor === null
        ? ''
        : ` Chance alone makes them differ so much in fewer than 5 campaigns of 100, so the claim's interval is ${fixed(factor, 1)} times as wide as by their own errors.`
    return [
      `The ${names} agree ${factor === null ? 'within their uncertainties' : 'only barely'} (${test}).${barely}${furthestWords(agreement, way)}${but}`,
    ]
  }
  const { stands_apart: apart } = agreement
  if (apart === null) {
    const [first, second] = estimates
    const ratio = (100 + second.consumption_change_pct.estimate) / (100 + first.consumption_change_pct.estimate)
    return [
      `The ${names} disagree (${test}): by the ${way(second.kind)}, the consumption after the change is ${signedPct(100 * (ratio - 1))} against that by the ${way(first.kind)}. Two alone do not show which is wrong.${widenedWords(agreement, way)}`,
    ]
  }
  return [
    `The ${names} disagree (${test}). The ${way(apart.kind)} stands apart: ${signedPct(apart.from_others_pct)} against the others together, ${plain(Math.abs(apart.standard_deviations))} standard deviations.${widenedWords(agreement, way)}`,
  ]
}

const widenedWords = ({ pump_widened_by: factor }: Agreement, way: WayWords): string =>
  factor === null
    ? ''
    : ` So the claim goes by the ${way('pump')} alone, and its interval is ${fixed(factor, 1)} times as wide as by its own errors.`

/** Says which is furthest where that is worth saying though all agree: one that says little can hide it in the test. */
function furthestWords({ furthest }: Agreement, way: WayWords): string {
  if (furthest === null || Math.abs(furthest.standard_deviations) < 2) return ''
  return ` Furthest from the others is the ${way(furthest.kind)}: ${signedPct(furthest.from_others_pct)}, ${plain(Math.abs(furthest.standard_deviations))} standard deviations.`
}

const signedPct = (percent: number): string => `${signed(percent, 1)} %`
const plain = (value: number): string => fixed(value, value < 10 && value % 1 !== 0 ? 1 : 0)
const probability = (p: number): string => (p < 0.001 ? 'below 0.001' : p.toFixed(p < 0.1 ? 3 : 2))
