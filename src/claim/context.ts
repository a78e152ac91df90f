import { present } from '../base/present.ts'
import { readingsOf } from './evidence/readings.ts'
import type { RunConsumption } from './fuel/consumption.ts'
import { drawKey } from './fuel/measure.ts'
import { hasTrend } from './model/drift.ts'
import { effectOf, type LogEffect } from './model/effects.ts'
import { contrastFactors, plainFactors, type RoadModel, roadModel } from './model/generalised.ts'
import { type Kind, type Observation, observed, sessionsOf } from './model/observation.ts'
import type { Repeatability, RepeatabilityPrior } from './model/repeatability.ts'
import { repeatabilityIn, type Scatter, scatterOf } from './model/scatter.ts'
import type { ClaimProblem } from './problems.ts'
import type { ClaimSettings, FuelRun } from './types.ts'

/** All observations of one kind, by road, with what they say of their scatter. */
export interface Estimator {
  observations: Map<number, Observation[]>
  /** What the scatter was learnt from. */
  models: RoadModel[]
  scatter: Scatter
  /** Whether a trend in time is taken out. */
  trend: boolean
}

/** What all claims of a campaign have in common. */
export interface ClaimContext {
  runs: FuelRun[]
  consumptions: RunConsumption[]
  /** Those that may be used, by route and setup. */
  groups: Map<string, RunConsumption[]>
  baseline: string
  routeNames: string[]
  settings: ClaimSettings
  /** Session of each drive, by its key. */
  sessions: Map<string, string>
  /** By the fuel alone: as measured, as measured of the drives that can be corrected, and corrected. */
  byFuel: Record<Kind | 'rawOfCorrected', Estimator>
  /** Corrected, by the fuel and all other readings; null where there are none. */
  fused: Estimator | null
  repeatability: Record<Kind, Repeatability>
  /** With a trend in time taken out, as the test for a drift needs it. */
  trendScatter: Scatter
}

/** Where a group of runs is found in a context. */
export const groupKey = (route: number, setup: string): string => `${route}/${setup}`

/** Groups the runs that may be used, and learns from their repeats. */
export function contextOf(
  runs: FuelRun[],
  consumptions: RunConsumption[],
  baseline: string,
  routeNames: string[],
  settings: ClaimSettings,
): ClaimContext {
  const groups = new Map<string, RunConsumption[]>()
  const usable = consumptions.filter((c) => c.run.leftOut === null && c.run.setup !== null)
  for (const c of usable) {
    const key = groupKey(c.run.route, present(c.run.setup))
    groups.set(key, [...(groups.get(key) ?? []), c])
  }
  const sessions = sessionsOf(runs)
  const observe = (some: RunConsumption[], kind: Kind): Observation[] =>
    some.map((c) => observed(c, kind, sessionOf(c.run, sessions)))
  const trend = settings.correctDrift
  const isBaseline = ({ run }: Observation): boolean => run.setup === baseline
  const correctable = withConditions(usable)
  const adjusted = observe(correctable, 'adjusted')
  const raw = estimatorOf(observe(usable, 'raw'), trend, isBaseline, settings.repeatabilityPrior)
  const byFuel = {
    raw,
    rawOfCorrected:
      correctable.length === usable.length ? raw : estimatorOf(observe(correctable, 'raw'), trend, isBaseline),
    adjusted: estimatorOf(adjusted, trend, isBaseline),
  }
  const readings = readingsOf(usable, runs, baseline, (run) => sessionOf(run, sessions))
  return {
    runs,
    consumptions,
    groups,
    baseline,
    routeNames,
    settings,
    sessions,
    byFuel,
    fused:
      readings.length > 0
        ? estimatorOf([...adjusted, ...readings], trend, isBaseline, undefined, settings.readingFactor)
        : null,
    repeatability: {
      raw: repeatabilityIn(byFuel.raw.scatter, byFuel.raw.models, 'repeatability/raw', settings),
      adjusted: repeatabilityIn(byFuel.adjusted.scatter, byFuel.adjusted.models, 'repeatability/adjusted', settings),
    },
    trendScatter: trend ? byFuel.adjusted.scatter : estimatorOf(adjusted, true, isBaseline).scatter,
  }
}

const sessionOf = (run: FuelRun, sessions: Map<string, string>): string => sessions.get(drawKey(run)) ?? drawKey(run)

/** A full covariance of more observations costs more than it tells. */
const MOST_AT_ONCE = 120

function estimatorOf(
  observations: readonly Observation[],
  trend: boolean,
  isBaseline: (o: Observation) => boolean,
  prior?: RepeatabilityPrior,
  readingFactor?: number,
): Estimator {
  const byRoad = new Map<number, Observation[]>()
  for (const o of observations) byRoad.set(o.run.route, [...(byRoad.get(o.run.route) ?? []), o])
  const models = [...byRoad.values()].flatMap((all) =>
    inTurns(all).map((some) => roadModel(some, trend && hasTrend(some.filter(isBaseline).map(({ run }) => run)))),
  )
  return { observations: byRoad, models, scatter: scatterOf(models, prior, readingFactor), trend }
}

/** Many observations in parts, each with its share of every session. */
function inTurns(observations: Observation[]): Observation[][] {
  const parts = Math.ceil(observations.length / MOST_AT_ONCE)
  return Array.from({ length: parts }, (_, part) => observations.filter((_, i) => i % parts === part))
}

/** The difference between a setup and the baseline on a road; null where it cannot be told. */
export function effectBetween(
  { observations, scatter, models }: Estimator,
  route: number,
  setup: string,
  baseline: string,
): LogEffect | null {
  const here = observations.get(route)
  if (!here) return null
  const model = models.find((model) => model.observations.length === here.length && model.observations[0] === here[0])
  const factors = model
    ? contrastFactors(model, scatter.centre, setup, baseline)
    : plainFactors(here, scatter.centre, setup, baseline)
  return (
    factors &&
    effectOf(
      here.map((observation, i) => ({ observation, factor: factors[i] })),
      scatter,
    )
  )
}

/** Runs that can be adjusted. */
export const withConditions = (group: RunConsumption[]): RunConsumption[] => group.filter((c) => c.conditions !== null)

/** The baseline named, or the only setup without parts, or the setup driven first. */
export function baselineOf(
  runs: FuelRun[],
  settings: ClaimSettings,
): { baseline: string | null; problems: ClaimProblem[] } {
  if (settings.baseline !== null) return { baseline: settings.baseline, problems: [] }
  const driven = runs.filter((r) => r.setup !== null)
  if (driven.length === 0) return { baseline: null, problems: [] }
  const bare = Object.keys(settings.setups).filter(
    (s) => settings.setups[s].length === 0 && driven.some((r) => r.setup === s),
  )
  const baseline = bare.length === 1 ? bare[0] : present(driven[0].setup)
  const by = bare.length === 1 ? 'only-without-parts' : 'driven-first'
  return { baseline, problems: [{ code: 'baseline-assumed', severity: 'note', baseline, by }] }
}
