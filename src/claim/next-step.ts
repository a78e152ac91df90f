import { square } from '../base/arithmetic.ts'
import { present } from '../base/present.ts'
import { standardDeviation } from '../base/statistics.ts'
import type { Estimator } from './context.ts'
import type { RunConsumption } from './fuel/consumption.ts'
import { MEASUREMENT_SD } from './fuel/measure.ts'
import { type ErrorSource, effectOf, intervalsOf, type LogEffect, type Scales, widened } from './model/effects.ts'
import { type Scatter, taughtBy } from './model/scatter.ts'
import type { ClaimSettings, KnownSource } from './types.ts'

/** What could be done to narrow a claim's interval, and what it would bring. */
export interface NextStep {
  step: 'more-runs' | 'weigh-the-fuel' | 'longer-route' | 'nearer-anemometer'
  /** Width of the 95 % interval of the change of consumption, percentage points, now and after. */
  widthBeforePct: number
  widthAfterPct: number
}

/** Errors that every run has of its own, so that one more thins them. */
const OWN = ['fills', 'fuel_temperature', 'fuel_batch', 'distance', 'conditions'] as const

/** Which sources of a claim's uncertainty each step makes smaller. */
export const STEP_SHRINKS = {
  'more-runs': [...OWN, 'repeatability', 'other_readings'],
  'weigh-the-fuel': ['fills', 'pump_meter', 'fuel_temperature'],
  'longer-route': ['fills'],
  'nearer-anemometer': ['conditions'],
} as const satisfies Record<NextStep['step'], readonly ErrorSource[]>

/** A factor for each source that a step shrinks, and for no other. */
type ScalesOf<Step extends NextStep['step']> = Record<(typeof STEP_SHRINKS)[Step][number], number>

/** Litres that the scale's kilogram stands for; near enough for petrol and diesel. */
const LITRES_PER_KG = 1.28

/** The two sides of a claim. */
export interface Sides {
  setup: RunConsumption[]
  baseline: RunConsumption[]
}

/**
 * Every step with the interval that it would leave, the most useful first. Each is computed from the claim's own variances,
 * with the errors that the step touches made smaller and the estimate kept: two more runs thin the errors that are
 * their own and teach the repeatability; a scale has two weighings and no volume; a route twice as long halves the
 * fills' share; an anemometer by the road halves the variance of the conditions.
 */
export function nextSteps(
  effect: LogEffect,
  sides: Sides,
  { scatter }: Estimator,
  settings: ClaimSettings,
): NextStep[] {
  const width = (scales: Scales, of = effect): number => {
    const { low95, high95 } = intervalsOf(of, scales).consumptionChangePct
    return high95 - low95
  }
  const before = width({})
  const unit = sides.setup[0].unit
  const fillSd = settings.fillRepeatabilityLitres ?? MEASUREMENT_SD.fillLitres
  const more = withMoreRuns(effect, sides, scatter)
  const candidates: { step: NextStep['step']; after: number }[] = [
    {
      step: 'more-runs',
      after: width(more.scales, more.effect),
    },
    {
      step: 'nearer-anemometer',
      after: width({ conditions: Math.SQRT1_2 } satisfies ScalesOf<'nearer-anemometer'>),
    },
  ]
  if (unit !== 'kWh')
    candidates.push({
      step: 'longer-route',
      after: width({ fills: 0.5 } satisfies ScalesOf<'longer-route'>),
    })
  if (unit === 'l') {
    const fills = fillSd > 0 ? Math.min(1, (MEASUREMENT_SD.weighingKg * LITRES_PER_KG) / fillSd) : 1
    candidates.push({
      step: 'weigh-the-fuel',
      after: width({ fills, pump_meter: 0, fuel_temperature: 0 } satisfies ScalesOf<'weigh-the-fuel'>),
    })
  }
  return candidates
    .map(({ step, after }) => ({
      step,
      widthBeforePct: before,
      widthAfterPct: Math.min(before, after),
    }))
    .sort((a, b) => a.widthAfterPct - b.widthAfterPct)
}

function withMoreRuns(effect: LogEffect, sides: Sides, scatter: Scatter): { scales: Scales; effect: LogEffect } {
  const scales: Scales = {}
  for (const source of OWN) scales[source] = thinned(effect.known[source], source, sides)
  const [n, m] = [sides.setup.length, sides.baseline.length]
  const fewer = Math.sqrt((1 / (n + 1) + 1 / (m + 1)) / (1 / n + 1 / m))
  scales.repeatability = fewer
  scales.other_readings = fewer
  return { scales, effect: widened(effectOf(effect.terms, taught(scatter, sides)), effect.widenedBy) }
}

/** Factor on a source's error when each side has one more run like its others. */
function thinned(variance: number, source: KnownSource | 'conditions', { setup, baseline }: Sides): number {
  if (variance === 0) return 1
  const perRun = variance / (1 / setup.length + 1 / baseline.length)
  const gain = [setup, baseline].reduce((sum, side) => {
    const n = side.length
    const own = source === 'conditions' ? (withinVariance(side) ?? perRun) : ownVariance(side, source)
    return sum + own * (1 / n - 1 / (n + 1))
  }, 0)
  // In a chain of fills only its two ends count, so that a longer chain thins them by this much, and no source more.
  const fewest = Math.min(setup.length, baseline.length)
  const least = square(fewest / (fewest + 1))
  return Math.sqrt(Math.max(least, 1 - gain / variance))
}

function ownVariance(side: RunConsumption[], source: KnownSource): number {
  const of = ({ errors }: RunConsumption): number =>
    errors.reduce((sum, error) => sum + (error.source === source ? square(error.sd) : 0), 0)
  return side.reduce((sum, c) => sum + of(c), 0) / side.length
}

/** Variance of a run's conditions about the mean of its side; null for a single run. */
function withinVariance(side: RunConsumption[]): number | null {
  if (side.length < 2) return null
  const columns = side.map((c) => present(c.conditions))
  const centre = columns[0].map((_, k) => columns.reduce((sum, c) => sum + c[k], 0) / columns.length)
  const squares = columns.reduce((sum, c) => sum + square(standardDeviation(c.map((v, k) => v - centre[k]))), 0)
  return squares / (side.length - 1)
}

/** The scatter after two more runs that scatter as those so far are believed to. */
function taught(scatter: Scatter, { setup, baseline }: Sides): Scatter {
  const all = [...setup, ...baseline]
  const known = all.reduce((sum, { errors }) => sum + errors.reduce((s, { sd }) => s + square(sd), 0), 0) / all.length
  const usual = known + square(scatter.centre.repeatability)
  return taughtBy(scatter, ({ repeatability }) => {
    const variance = known + square(repeatability)
    return -(Math.log(variance) + usual / variance)
  })
}
