import { square } from '../../base/arithmetic.ts'
import { drawsOf } from '../../base/draws.ts'
import { withoutMean } from '../../base/statistics.ts'
import { studentCdf } from '../../base/student.ts'
import { drawKey } from '../fuel/measure.ts'
import type { ClaimSettings, Interval95, KnownSource } from '../types.ts'
import { scatterCovariance } from './generalised.ts'
import { areAttributed, type Observation } from './observation.ts'
import type { Scatter } from './scatter.ts'

/** Where the uncertainty of an effect comes from. */
export const ERROR_SOURCES = [
  'fills',
  'pump_meter',
  'fuel_temperature',
  'fuel_batch',
  'distance',
  'conditions',
  'repeatability',
  'other_readings',
  'between_routes',
] as const
export type ErrorSource = (typeof ERROR_SOURCES)[number]
const NAMED_SOURCES = [
  'fills',
  'pump_meter',
  'fuel_temperature',
  'fuel_batch',
  'distance',
] as const satisfies KnownSource[]

/** An observation and what it counts for in an effect; the factors of an effect sum to 0. */
export interface Term {
  observation: Observation
  factor: number
}

/** A difference between setups in ln(fuel per distance): a weighted sum of observations. */
export interface LogEffect {
  estimate: number
  terms: readonly Term[]
  /** Variance that each known source gives it. */
  known: Record<KnownSource | 'conditions', number>
  /** What the scatter makes of it: probability, variance by repeatability and by the scatter of other readings. */
  scatter: { probability: number; repeatability: number; otherReadings: number }[]
  /** Of an effect pooled over routes, what these differ by: probability and variance. */
  betweenRoutes: { probability: number; variance: number }[]
  /** All its errors were multiplied by this; 1 where they were not. */
  widenedBy: number
}

const NOT_POOLED = [{ probability: 1, variance: 0 }]

/** Any effect that is linear in the logarithms of consumptions, with its exact variances. */
export function effectOf(terms: readonly Term[], scatter: Scatter): LogEffect {
  const used = terms.filter(({ factor }) => factor !== 0)
  return {
    estimate: used.reduce((sum, { observation, factor }) => sum + factor * observation.y, 0),
    terms: used,
    known: knownVariances(used),
    scatter: scatterVariances(used, scatter),
    betweenRoutes: NOT_POOLED,
    widenedBy: 1,
  }
}

/** The effect with all its errors multiplied by a factor. */
export function widened(effect: LogEffect, factor: number): LogEffect {
  const variance = square(factor)
  const { known, scatter, betweenRoutes } = effect
  return {
    ...effect,
    known: {
      fills: variance * known.fills,
      pump_meter: variance * known.pump_meter,
      fuel_temperature: variance * known.fuel_temperature,
      fuel_batch: variance * known.fuel_batch,
      distance: variance * known.distance,
      conditions: variance * known.conditions,
    },
    scatter: scatter.map(({ probability, repeatability, otherReadings }) => ({
      probability,
      repeatability: variance * repeatability,
      otherReadings: variance * otherReadings,
    })),
    betweenRoutes: betweenRoutes.map((route) => ({ ...route, variance: variance * route.variance })),
    widenedBy: factor * effect.widenedBy,
  }
}

/** Errors of one name are one error: their factors add up before they are squared. */
function knownVariances(terms: readonly Term[]): LogEffect['known'] {
  const byName = new Map<string, { source: KnownSource | 'conditions'; sd: number }>()
  const add = (source: KnownSource | 'conditions', name: string, sd: number): void => {
    byName.set(name, { source, sd: (byName.get(name)?.sd ?? 0) + sd })
  }
  const byAttribution = areAttributed(terms.map(({ observation }) => observation))
  for (const { observation, factor } of terms) {
    for (const { source, name, sd } of observation.errors) add(source, name, factor * sd)
    if (byAttribution)
      for (const [name, sd] of observation.attributed?.byName ?? []) add('conditions', name, factor * sd)
  }
  const variances = { fills: 0, pump_meter: 0, fuel_temperature: 0, fuel_batch: 0, distance: 0, conditions: 0 }
  for (const { source, sd } of byName.values()) variances[source] += square(sd)
  const drawn = sumOf(terms, (o) => (byAttribution ? o.attributed?.rest : o.conditions))
  return { ...variances, conditions: variances.conditions + meanSquare(withoutMean(drawn)) }
}

/** Draws of the sum of the terms' errors, each times its factor; empty where there is none. */
function sumOf(terms: readonly Term[], drawsOfOne: (o: Observation) => Float64Array | null | undefined): Float64Array {
  const columns = terms.flatMap(({ observation, factor }) => {
    const draws = drawsOfOne(observation)
    return draws ? [{ draws, factor }] : []
  })
  const sum = new Float64Array(columns[0]?.draws.length ?? 0)
  for (const { draws, factor } of columns) for (let k = 0; k < sum.length; k++) sum[k] += factor * draws[k]
  return sum
}

const meanSquare = (values: Float64Array): number =>
  values.length === 0 ? 0 : values.reduce((sum, value) => sum + value * value, 0) / values.length

/**
 * The variance of repeatability and readings at each point of the scatter. Both are sums over pairs of terms; what of them
 * hangs on the point is taken out of the sums once.
 */
function scatterVariances(terms: readonly Term[], { points }: Scatter): LogEffect['scatter'] {
  const total = (keyOf: (o: Observation) => string): number => {
    const sums = new Map<string, number>()
    for (const { observation, factor } of terms) {
      const key = keyOf(observation)
      sums.set(key, (sums.get(key) ?? 0) + factor)
    }
    return [...sums.values()].reduce((sum, factor) => sum + square(factor), 0)
  }
  const drives = total(({ run }) => drawKey(run))
  const sessions = total(({ session }) => session)
  const readings = terms.filter(({ observation }) => points.some(({ point }) => point.ways[observation.way]))
  return points.map(({ point, probability }) => {
    const { repeatability, sessionShare, ways } = point
    const alone = { repeatability: 0, sessionShare: 0, ways }
    let otherReadings = 0
    for (const a of readings) {
      for (const b of readings)
        otherReadings += a.factor * b.factor * scatterCovariance(a.observation, b.observation, alone)
    }
    return {
      probability,
      repeatability: square(repeatability) * ((1 - sessionShare) * drives + sessionShare * sessions),
      otherReadings,
    }
  })
}

/** How many times as large each source is taken to be; 1 where it says nothing. */
export type Scales = Partial<Record<ErrorSource, number>>

/** Variance that each source gives to an effect, in the logarithm; the mean over all that the scatter may be. */
export function sourceVariances(effect: LogEffect): Record<ErrorSource, number> {
  const mean = (of: (point: LogEffect['scatter'][number]) => number): number =>
    effect.scatter.reduce((sum, point) => sum + point.probability * of(point), 0)
  return {
    ...effect.known,
    repeatability: mean(({ repeatability }) => repeatability),
    other_readings: mean(({ otherReadings }) => otherReadings),
    between_routes: effect.betweenRoutes.reduce((sum, { probability, variance }) => sum + probability * variance, 0),
  }
}

/** The variance of an effect, the scatter's doubt included. */
export const varianceOf = (effect: LogEffect): number =>
  Object.values(sourceVariances(effect)).reduce((sum, variance) => sum + variance, 0)

/**
 * Half of the interval that holds an effect's error with a given probability: the error is normal at each point of the
 * scatter, and the points have their probabilities. Without known errors and with a prior of no weight that is Student's t.
 */
export function halfWidthOf(effect: LogEffect, probability = 0.95, scales: Scales = {}): number {
  const scaled = (source: ErrorSource, variance: number): number => square(scales[source] ?? 1) * variance
  const known = [...NAMED_SOURCES, 'conditions' as const].reduce((sum, s) => sum + scaled(s, effect.known[s]), 0)
  const parts = effect.scatter.flatMap((point) =>
    effect.betweenRoutes.map((between) => ({
      probability: point.probability * between.probability,
      sd: Math.sqrt(
        known +
          scaled('repeatability', point.repeatability) +
          scaled('other_readings', point.otherReadings) +
          scaled('between_routes', between.variance),
      ),
    })),
  )
  const beyond = (x: number): number =>
    parts.reduce((sum, { probability, sd }) => sum + probability * (sd > 0 ? 2 * tail(x / sd) : 0), 0)
  let high = Math.max(...parts.map(({ sd }) => sd))
  if (!(high > 0)) return 0
  while (beyond(high) > 1 - probability) high *= 2
  let low = 0
  // A bit more than the digits of a double.
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2
    if (beyond(middle) > 1 - probability) low = middle
    else high = middle
  }
  return high
}

const tail = (z: number): number => studentCdf(-z, Number.POSITIVE_INFINITY)

/** An effect in both conventions, percent: change of fuel per distance and of distance per fuel. */
export interface EffectIntervals {
  consumptionChangePct: Interval95
  distancePerFuelChangePct: Interval95
}

export const consumptionPct = (log: number): number => 100 * Math.expm1(log)
export const distancePerFuelPct = (log: number): number => 100 * Math.expm1(-log)

/** 95 % intervals of an effect. */
export const intervalsOf = (effect: LogEffect, scales: Scales = {}): EffectIntervals =>
  intervalsAbout(effect.estimate, halfWidthOf(effect, 0.95, scales))

export function intervalsAbout(estimate: number, half: number): EffectIntervals {
  const [low, high] = [estimate - half, estimate + half]
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

/**
 * K draws of an effect's errors, for what is held against other draws: named errors and conditions are the draws that
 * everybody else has, the repeatability of a drive goes by its name.
 * @param repeatability K draws of its standard deviation
 */
export function drawnErrors(effect: LogEffect, repeatability: Float64Array, settings: ClaimSettings): Float64Array {
  const out = new Float64Array(settings.draws)
  const add = (name: string, factor: number, scale?: Float64Array): void => {
    const z = drawsOf(`claim/${name}`, settings.draws, settings.seed)
    for (let k = 0; k < out.length; k++) out[k] += factor * z[k] * (scale?.[k] ?? 1)
  }
  const conditions = sumOf(effect.terms, (o) => o.conditions)
  for (let k = 0; k < conditions.length; k++) out[k] += conditions[k]
  for (const { observation, factor } of effect.terms) {
    for (const { name, sd } of observation.errors) add(name, factor * sd)
    add(`repeatability/${drawKey(observation.run)}`, factor, repeatability)
  }
  return out
}
