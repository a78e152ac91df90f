import { DISAGREE_BELOW, percentInterval } from './consistency.ts'
import type { Evidence, EvidenceEstimate } from './evidence.ts'
import { counted, figure, listed, rangeInWords, signedFigure } from './wording.ts'

/**
 * Half-width of a 95 % interval, in points of percent, beyond which a way of measuring says little of one change to a
 * vehicle: the effects sought are of 2 to 8 %. Common practice, no source.
 */
const LITTLE_BEYOND_PCT = 10

/** What a reader should know of one way of measuring, in a sentence or two. */
export function evidenceRemark(estimate: EvidenceEstimate): string {
  const { kind, consumptionChangePct: change, readingSdPct, scattersMore } = estimate
  const sentences = [
    `By the ${kind}, consumption changed by ${signed(change.estimate)} (95 % interval ${rangeInWords(change)}).`,
  ]
  if (kind === 'gauge mark') {
    sentences.push(
      `The mark was passed at ${distances(estimate.baselineReadings)} with the baseline and at ${distances(estimate.readings)} with the change.`,
    )
  }
  if (readingSdPct !== null) {
    sentences.push(
      scattersMore
        ? `Its readings scatter more than the ±${plain(readingSdPct)} % that one is taken to be worth, so their own scatter was used.`
        : `One reading is taken to be worth ±${plain(readingSdPct)} % (one standard deviation).`,
    )
  }
  if (saysLittle(estimate)) sentences.push(`So wide an interval says little: it ${leavesOpen(change)}.`)
  return sentences.join(' ')
}

export function saysLittle({ consumptionChangePct: { low95, high95 } }: EvidenceEstimate): boolean {
  return (high95 - low95) / 2 > LITTLE_BEYOND_PCT
}

function leavesOpen({ low95, high95 }: EvidenceEstimate['consumptionChangePct']): string {
  return low95 < 0 && high95 > 0 ? 'does not even tell a saving from a loss' : 'tells the direction but not the size'
}

/** Whether the ways of measuring agree, which stands apart, and by how much; null where there is nothing to hold together. */
export function consistencyRemark(evidence: Evidence): string | null {
  const { estimates, consistency } = evidence
  if (consistency === null) return null
  const { chiSquare, degreesOfFreedom, p } = consistency
  const names = listed(estimates.map(({ kind }) => kind))
  const test = `chi-square ${chiSquare.toFixed(1)} with ${counted(degreesOfFreedom, 'degree')} of freedom, p ${probability(p)}`
  if (p >= DISAGREE_BELOW) {
    const weak = estimates
      .filter((estimate) => estimate.kind !== 'pump' && saysLittle(estimate))
      .map(({ kind }) => kind)
    const but = weak.length > 0 ? ` Agreement with the ${listed(weak)} is worth little, as it says little.` : ''
    return `The ${names} agree within their uncertainties (${test}).${furthest(evidence)}${but}`
  }
  const apart = standsApart(evidence)
  if (apart === null) {
    const { estimate } = percentInterval(estimates[1].logChange - estimates[0].logChange, 0)
    return `The ${names} disagree (${test}): by the ${estimates[1].kind} the consumption after the change is ${signed(estimate)} against what the ${estimates[0].kind} says. From two alone it cannot be told which is out.`
  }
  return `The ${names} disagree (${test}). The ${apart.kind} stands apart: ${signed(apart.fromOthersPct)} against the others together, ${plain(Math.abs(apart.standardDeviations))} standard deviations.`
}

/** A distance from one estimate to all others. */
interface Apart {
  kind: EvidenceEstimate['kind']
  fromOthersPct: number
  standardDeviations: number
}

/** The estimate that disagrees most with all others; null where all agree, or where two alone leave open which is out. */
export function standsApart(evidence: Evidence): Apart | null {
  return evidence.consistency && evidence.consistency.p < DISAGREE_BELOW ? mostApart(evidence) : null
}

function mostApart({ estimates, consistency }: Evidence): Apart | null {
  if (consistency === null || estimates.length < 3) return null
  const sizes = consistency.normalisedResiduals.map(Math.abs)
  const i = sizes.indexOf(Math.max(...sizes))
  return {
    kind: estimates[i].kind,
    fromOthersPct: 100 * Math.expm1(consistency.fromOthers[i]),
    standardDeviations: consistency.normalisedResiduals[i],
  }
}

/** Says which is furthest where that is worth saying though all agree: one that says little can hide it in the test. */
function furthest(evidence: Evidence): string {
  const apart = mostApart(evidence)
  if (apart === null || Math.abs(apart.standardDeviations) < 2) return ''
  return ` Furthest from the others is the ${apart.kind}: ${signed(apart.fromOthersPct)}, ${plain(Math.abs(apart.standardDeviations))} standard deviations.`
}

/** The report's `evidence` list: one record for each way of measuring, and one for how they agree. */
export function evidenceRecords(evidence: Evidence): Record<string, unknown>[] {
  const { estimates, consistency, adjusted } = evidence
  const records = estimates.map(
    (estimate, i): Record<string, unknown> => ({
      kind: estimate.kind,
      consumption_change_pct: estimate.consumptionChangePct,
      adjusted,
      runs: estimate.runs,
      baseline_runs: estimate.baselineRuns,
      readings: estimate.readings,
      baseline_readings: estimate.baselineReadings,
      reading_sd_pct: estimate.readingSdPct,
      says_little: saysLittle(estimate),
      weight: consistency?.weights[i] ?? null,
      from_others_pct: consistency ? 100 * Math.expm1(consistency.fromOthers[i]) : null,
      from_others_sd: consistency?.normalisedResiduals[i] ?? null,
      remark: evidenceRemark(estimate),
    }),
  )
  if (consistency === null) return records
  const apart = standsApart(evidence)
  return [
    ...records,
    {
      kind: 'consistency',
      weighted_mean_pct: percentInterval(consistency.weightedMean, consistency.standardError),
      chi_square: consistency.chiSquare,
      degrees_of_freedom: consistency.degreesOfFreedom,
      p: consistency.p,
      agree: consistency.p >= DISAGREE_BELOW,
      stands_apart: apart && {
        kind: apart.kind,
        from_others_pct: apart.fromOthersPct,
        standard_deviations: apart.standardDeviations,
      },
      remark: consistencyRemark(evidence),
    },
  ]
}

function distances(readings: EvidenceEstimate['readings']): string {
  return listed(readings.map(({ value, unit }) => `${value.toFixed(0)} ${unit}`))
}

const signed = (percent: number): string => `${signedFigure(percent)} %`
const plain = (value: number): string => figure(value, value < 10 && value % 1 !== 0 ? 1 : 0)
const probability = (p: number): string => (p < 0.001 ? 'below 0.001' : p.toFixed(p < 0.1 ? 3 : 2))
