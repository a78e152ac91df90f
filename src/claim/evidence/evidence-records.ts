import { DISAGREE_BELOW, percentInterval } from './consistency.ts'
import type { Evidence, EvidenceEstimate } from './evidence.ts'

/**
 * Half-width of a 95 % interval, in points of percent, beyond which a way of measuring says little of one change to a
 * vehicle: the effects sought are of 2 to 8 %. Common practice, no source.
 */
const LITTLE_BEYOND_PCT = 10

/** Whether an estimate's interval is too wide to say much. */
export function saysLittle({ consumptionChangePct: { low95, high95 } }: EvidenceEstimate): boolean {
  return (high95 - low95) / 2 > LITTLE_BEYOND_PCT
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

const told = (apart: Apart | null) =>
  apart && { kind: apart.kind, from_others_pct: apart.fromOthersPct, standard_deviations: apart.standardDeviations }

/** The estimate that lies furthest from all others; null where there are fewer than three. */
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

/** Evidence as the report's figures, with its keys: one record for each way of measuring, and one for how they agree. */
export function evidenceRecords(evidence: Evidence) {
  const { estimates, consistency, adjusted, pumpWidening, fusedWidening } = evidence
  const records = estimates.map((estimate, i) => ({
    kind: estimate.kind,
    consumption_change_pct: estimate.consumptionChangePct,
    adjusted,
    runs: estimate.runs,
    baseline_runs: estimate.baselineRuns,
    readings: estimate.readings,
    baseline_readings: estimate.baselineReadings,
    reading_sd_pct: estimate.readingSdPct,
    readings_scatter_more: estimate.scattersMore,
    says_little: saysLittle(estimate),
    weight: consistency?.weights[i] ?? null,
    from_others_pct: consistency ? 100 * Math.expm1(consistency.fromOthers[i]) : null,
    from_others_sd: consistency?.normalisedResiduals[i] ?? null,
  }))
  if (consistency === null) return records
  const apart = standsApart(evidence)
  return [
    ...records,
    {
      kind: 'consistency' as const,
      weighted_mean_pct: percentInterval(consistency.weightedMean, consistency.standardError),
      chi_square: consistency.chiSquare,
      degrees_of_freedom: consistency.degreesOfFreedom,
      p: consistency.p,
      agree: consistency.p >= DISAGREE_BELOW,
      stands_apart: told(apart),
      furthest: told(mostApart(evidence)),
      pump_widened_by: adjusted && pumpWidening > 1 ? pumpWidening : null,
      fused_widened_by: adjusted && fusedWidening > 1 ? fusedWidening : null,
    },
  ]
}
