import { square } from '../base/arithmetic.ts'
import { present } from '../base/present.ts'
import { REPEATABILITY_PRIOR, repeatabilityOf } from '../claim/model/repeatability.ts'
import type { RunErrors } from './measuring.ts'
import { mixtureQuantile } from './mixture.ts'
import { drivingOrders } from './order.ts'
import { detectableEffect, type EffectTest, LEVEL, powerOf } from './power.ts'

/** What is believed of the run-to-run departures beyond all known errors, standard deviation of ln(fuel per distance). */
export interface RepeatabilityBelief {
  sd: number
  /** Weight that the claims will give to what they know before these runs: the prior's, and a folder's earlier repeats. */
  degreesOfFreedom: number
  /** Standard deviation that this weight stands for; differs from `sd` where the user states another. */
  priorSd: number
}

export const usualRepeatability = (statedSd: number | null = null): RepeatabilityBelief => ({
  sd: statedSd ?? REPEATABILITY_PRIOR.sd * PRIOR_RMS,
  degreesOfFreedom: REPEATABILITY_PRIOR.degreesOfFreedom,
  priorSd: REPEATABILITY_PRIOR.sd,
})

/** Root mean square of a scaled inverse chi-square over its scale, √(ν/(ν − 2)): 1 % for the claims' prior. */
const PRIOR_RMS = Math.sqrt(REPEATABILITY_PRIOR.degreesOfFreedom / (REPEATABILITY_PRIOR.degreesOfFreedom - 2))

export type BudgetSource = keyof RunErrors['own'] | 'repeatability' | 'other_readings'

/** Drives with the change and without it. */
export interface Drives {
  change: number
  baseline: number
}

/** One campaign as it may be driven: runs of the baseline and of the change on one route. */
export interface Design {
  /** Of the change; of the baseline as well where both have as many. */
  runsPerSetup: number
  baselineRuns: number
  routeM: number
  /** Standard deviation of the difference in ln from each source. */
  budget: Record<BudgetSource, number>
  /** Of the difference in ln, all sources together. */
  standardError: number
  /** Half-width of the 95 % interval to be expected, ln. */
  halfWidth: number
  test: EffectTest
  power: number
  /** Found with 80 and 90 % probability, as a size in ln. */
  detectable80: number
  detectable90: number
}

/**
 * The test that a claim will be. Known errors are normal; the repeatability is learnt from the repeats with the claims' own
 * prior and likelihood, at the scatter to be expected.
 * @param effectLog ln(setup / baseline) sought
 */
export function designOf(
  drives: Drives,
  routeM: number,
  errors: RunErrors,
  belief: RepeatabilityBelief,
  options: { chained: boolean; effectLog: number },
): Design {
  const [order] = drivingOrders(drives.change, options.chained, drives.baseline)
  const thinned = 1 / drives.change + 1 / drives.baseline
  const { own } = errors
  const byFuel = {
    fills: order.fillVariance * square(errors.level) + thinned * square(own.fills),
    pump_meter: thinned * square(own.pump_meter),
    fuel_temperature: thinned * square(own.fuel_temperature),
  }
  const ofFuel = byFuel.fills + byFuel.pump_meter + byFuel.fuel_temperature
  const ofReading = thinned * square(errors.readAsWell)
  // Two ways to one difference: each counts by the inverse of its variance.
  const weight = Number.isFinite(ofReading) ? ofReading / (ofFuel + ofReading) : 1
  const variances = {
    fills: square(weight) * byFuel.fills,
    pump_meter: square(weight) * byFuel.pump_meter,
    fuel_temperature: square(weight) * byFuel.fuel_temperature,
    other_readings: weight < 1 ? square(1 - weight) * ofReading : 0,
    fuel_batch: thinned * square(own.fuel_batch),
    distance: thinned * square(own.distance),
    conditions: thinned * square(own.conditions),
  }
  const known = Object.values(variances).reduce((sum, variance) => sum + variance, 0)
  const test = testOf(drives, known, belief)
  return {
    runsPerSetup: drives.change,
    baselineRuns: drives.baseline,
    routeM,
    budget: {
      fills: Math.sqrt(variances.fills),
      pump_meter: Math.sqrt(variances.pump_meter),
      fuel_temperature: Math.sqrt(variances.fuel_temperature),
      other_readings: Math.sqrt(variances.other_readings),
      fuel_batch: Math.sqrt(variances.fuel_batch),
      distance: Math.sqrt(variances.distance),
      conditions: Math.sqrt(variances.conditions),
      repeatability: Math.sqrt(thinned) * belief.sd,
    },
    standardError: test.standardError,
    halfWidth: test.standardError * present(test.critical),
    test,
    power: powerOf(options.effectLog, test),
    detectable80: detectableEffect(0.8, test),
    detectable90: detectableEffect(0.9, test),
  }
}

/** Draws of the repeatability for one design, and the change of the repeats' scatter that tells how the half-width follows it. */
const BELIEF = { draws: 160, seed: 1 }
const NUDGE = 1.2

function testOf({ change, baseline }: Drives, known: number, belief: RepeatabilityBelief): EffectTest {
  const thinned = 1 / change + 1 / baseline
  const repeats = change + baseline - 2
  const knownPerRun = known / thinned
  const scatter = knownPerRun + square(belief.sd)
  const halfWidth = (factor: number): number => {
    const squared = factor * repeats * scatter
    const residuals = repeats > 0 ? [{ squared, degreesOfFreedom: repeats, knownVariance: knownPerRun }] : []
    const prior = { sd: belief.priorSd, degreesOfFreedom: belief.degreesOfFreedom }
    const { draws } = repeatabilityOf(residuals, 'plan', BELIEF, prior)
    return mixtureQuantile(
      1 - LEVEL / 2,
      draws.map((sd) => Math.sqrt(known + thinned * sd * sd)),
    )
  }
  const standardError = Math.sqrt(known + thinned * square(belief.sd))
  const expected = halfWidth(1)
  // The repeats' scatter has a relative variance of 2/ν; the half-width follows it as far as it is learnt from it.
  const slope = repeats > 0 ? Math.log(halfWidth(NUDGE) / halfWidth(1 / NUDGE)) / Math.log(NUDGE) : 0
  const degreesOfFreedom = slope > 0 ? repeats / square(2 * slope) : Number.POSITIVE_INFINITY
  return { standardError, degreesOfFreedom, critical: expected / standardError }
}
