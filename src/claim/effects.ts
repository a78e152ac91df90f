import { square } from '../base/arithmetic.ts'
import { present } from '../base/present.ts'
import { spreadOf } from '../base/spread.ts'
import { mean, standardDeviation, sum } from '../base/statistics.ts'
import type { RunConsumption, RunErrorSource } from './consumption.ts'
import type { Repeatability, Residual } from './repeatability.ts'
import type { Interval95 } from './types.ts'

/** Raw: as measured. Adjusted: at the reference conditions of the route. */
export type Kind = 'raw' | 'adjusted'

/** Where the uncertainty of an effect comes from. */
export const ERROR_SOURCES = [
  'fills',
  'pump_meter',
  'fuel_temperature',
  'distance',
  'conditions',
  'repeatability',
  'between_routes',
] as const
export type ErrorSource = (typeof ERROR_SOURCES)[number]

/** A difference between setups in ln(fuel per distance), with K draws of each of its errors. */
export interface LogEffect {
  estimate: number
  /** By source, each with mean 0; without the repeatability. */
  errors: Record<Exclude<ErrorSource, 'repeatability'>, Float64Array>
  /** The runs' own departures for a repeatability of 1; the draws of the repeatability multiply it. */
  departure: Float64Array
  repeatability: Repeatability
}

/** A run and what it counts for in an effect; the factors of an effect sum to 0. */
export interface Term {
  consumption: RunConsumption
  factor: number
}

const RUN_SOURCES: Record<Kind, RunErrorSource[]> = {
  raw: ['fills', 'pump_meter', 'fuel_temperature', 'distance'],
  adjusted: ['fills', 'pump_meter', 'fuel_temperature', 'distance', 'conditions'],
}

const logOf = (c: RunConsumption, kind: Kind): number => (kind === 'raw' ? c.logRaw : c.logAdjusted)

const errorsOf = (c: RunConsumption, source: RunErrorSource): Float64Array =>
  source === 'conditions' ? present(c.conditions) : c.errors[source]

/** The sum of the terms: any effect that is linear in the logarithms of the runs' consumptions. */
export function effectOf(terms: Term[], kind: Kind, repeatability: Repeatability): LogEffect {
  const count = repeatability.draws.length
  const zeros = (): Float64Array => new Float64Array(count)
  const effect: LogEffect = {
    estimate: 0,
    errors: {
      fills: zeros(),
      pump_meter: zeros(),
      fuel_temperature: zeros(),
      distance: zeros(),
      conditions: zeros(),
      between_routes: zeros(),
    },
    departure: zeros(),
    repeatability,
  }
  for (const { consumption, factor } of terms) {
    effect.estimate += factor * logOf(consumption, kind)
    for (const source of RUN_SOURCES[kind]) addTo(effect.errors[source], errorsOf(consumption, source), factor)
    addTo(effect.departure, consumption.departure, factor)
  }
  return effect
}

function addTo(sum: Float64Array, draws: Float64Array, factor: number): void {
  for (let k = 0; k < sum.length; k++) sum[k] += factor * draws[k]
}

/** Setup against baseline: the weighted mean of the one less that of the other. */
export function differenceTerms(setup: RunConsumption[], baseline: RunConsumption[], kind: Kind, sd: number): Term[] {
  const all = [...setup, ...baseline]
  const variances = ownVariances(all, kind)
  const side = (group: RunConsumption[], from: number, sign: 1 | -1): Term[] => {
    const weights = group.map((_, i) => 1 / (variances[from + i] + sd * sd))
    const total = sum(weights)
    return group.map((consumption, i) => ({ consumption, factor: (sign * weights[i]) / total }))
  }
  return [...side(setup, 0, 1), ...side(baseline, setup.length, -1)]
}

/** Variance of each run's known errors against the mean of all, so that what they share gives no run less weight. */
function ownVariances(runs: RunConsumption[], kind: Kind): number[] {
  const totals = runs.map((c) => totalErrors(c, kind))
  const centre = totals[0].map((_, k) => totals.reduce((sum, t) => sum + t[k], 0) / totals.length)
  return totals.map((t) => square(standardDeviation(t.map((value, k) => value - centre[k]))))
}

function totalErrors(c: RunConsumption, kind: Kind): Float64Array {
  const sum = new Float64Array(c.departure.length)
  for (const source of RUN_SOURCES[kind]) addTo(sum, errorsOf(c, source), 1)
  return sum
}

/**
 * What the repeats of each group say about the repeatability: residuals from the group's mean, or from its line in time.
 * @param groups runs of one setup on one route each
 * @param trendIn groups whose trend in time is taken out first
 */
export function residualsOf(
  groups: RunConsumption[][],
  kind: Kind,
  trendIn: (group: RunConsumption[]) => boolean = () => false,
): Residual[] {
  return groups.flatMap((group) => {
    const project = residualMaker(group, trendIn(group))
    const values = project.residuals(group.map((c) => logOf(c, kind)))
    const errors = group.map((c) => totalErrors(c, kind))
    const departures = errors[0] ? departuresByRun(errors, project.residuals) : []
    return group.flatMap((_, i) => {
      const degreesOfFreedom = 1 - project.leverage[i]
      if (degreesOfFreedom < 1e-9) return []
      const knownVariance = square(standardDeviation(departures[i])) / degreesOfFreedom
      return [{ squared: square(values[i]), degreesOfFreedom, knownVariance }]
    })
  })
}

function departuresByRun(errors: Float64Array[], residuals: (values: number[]) => number[]): Float64Array[] {
  const out = errors.map((e) => new Float64Array(e.length))
  for (let k = 0; k < errors[0].length; k++) {
    residuals(errors.map((e) => e[k])).forEach((value, i) => {
      out[i][k] = value
    })
  }
  return out
}

function residualMaker(
  group: RunConsumption[],
  withTrend: boolean,
): { leverage: number[]; residuals: (values: number[]) => number[] } {
  const times = group.map((c) => c.run.startTime)
  const centre = mean(times)
  const spread = times.reduce((sum, t) => sum + square(t - centre), 0)
  const slopes = times.map((t) => (withTrend && spread > 0 ? (t - centre) / spread : 0))
  return {
    leverage: times.map((t, i) => 1 / group.length + (t - centre) * slopes[i]),
    residuals: (values) => {
      const level = mean(values)
      const slope = values.reduce((sum, value, i) => sum + slopes[i] * value, 0)
      return values.map((value, i) => value - level - slope * (times[i] - centre))
    },
  }
}

/**
 * The sources are independent of each other, so any draw of the one may go with any draw of the other: this many
 * pairings fill up the tails of the interval, for nothing.
 */
const PAIRINGS = 24
const STRIDES = [0, 37, 83, 131, 179, 227, 277, 331]

/**
 * Draws of an effect's total error, K times the number of pairings of them.
 * @param scale how many times as large each source is taken to be; 1 where it says nothing
 * @param repeatability in place of the effect's own
 */
export function totalError(
  effect: LogEffect,
  scale: Partial<Record<ErrorSource, number>> = {},
  repeatability: Repeatability = effect.repeatability,
): Float64Array {
  const count = effect.departure.length
  const sources = Object.entries(effect.errors).filter(([, draws]) => draws.some((value) => value !== 0))
  const ownScale = scale.repeatability ?? 1
  const out = new Float64Array(count * PAIRINGS)
  for (let p = 0; p < PAIRINGS; p++) {
    const paired = out.subarray(p * count, (p + 1) * count)
    const shift = (j: number): number => (p * STRIDES[j]) % count
    addPaired(paired, ownScale, repeatability.draws, shift(0), effect.departure, shift(1))
    sources.forEach(([name, draws], j) => {
      addShifted(paired, scale[name as ErrorSource] ?? 1, draws, shift(j + 2))
    })
  }
  return out
}

/** Adds draws, begun at one of them and gone round. */
function addShifted(sum: Float64Array, factor: number, draws: Float64Array, shift: number): void {
  const count = sum.length
  for (let k = 0; k < count; k++) {
    const at = k + shift
    sum[k] += factor * draws[at < count ? at : at - count]
  }
}

/** Adds the products of two columns of draws, each begun at one of them and gone round. */
function addPaired(
  sum: Float64Array,
  factor: number,
  a: Float64Array,
  shiftA: number,
  b: Float64Array,
  shiftB: number,
): void {
  const count = sum.length
  for (let k = 0; k < count; k++) {
    const atA = k + shiftA
    const atB = k + shiftB
    sum[k] += factor * a[atA < count ? atA : atA - count] * b[atB < count ? atB : atB - count]
  }
}

/** An effect in both conventions, percent: change of fuel per distance and of distance per fuel. */
export interface EffectIntervals {
  consumptionChangePct: Interval95
  distancePerFuelChangePct: Interval95
}

export const consumptionPct = (log: number): number => 100 * Math.expm1(log)
export const distancePerFuelPct = (log: number): number => 100 * Math.expm1(-log)

/** 95 % intervals from the quantiles of the draws. */
export function intervalsOf(estimate: number, errors: Float64Array): EffectIntervals {
  const spread = spreadOf(errors, 0.025, 0.975)
  const low = estimate + spread.low
  const high = estimate + spread.high
  const interval = (of: (log: number) => number, from: number, to: number): Interval95 => ({
    estimate: of(estimate),
    low95: of(from),
    high95: of(to),
  })
  return {
    consumptionChangePct: interval(consumptionPct, low, high),
    distancePerFuelChangePct: interval(distancePerFuelPct, high, low),
  }
}
