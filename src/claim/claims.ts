import { type Claim, finishedClaim } from './claim.ts'
import {
  baselineOf,
  type ClaimContext,
  contextOf,
  type Estimator,
  effectBetween,
  groupKey,
  withConditions,
} from './context.ts'
import { DISAGREE_BELOW } from './evidence/consistency.ts'
import { evidenceOfChange } from './evidence/evidence-of-change.ts'
import { consumptionsOf, type RunConsumption } from './fuel/consumption.ts'
import { campaignUnit, drawKey } from './fuel/measure.ts'
import { type Drift, driftOf } from './model/drift.ts'
import { type LogEffect, widened } from './model/effects.ts'
import { type InformedDemands, informedDemands } from './model/informed.ts'
import { type Kind, observed } from './model/observation.ts'
import type { Repeatability } from './model/repeatability.ts'
import type { Scatter } from './model/scatter.ts'
import { nextSteps } from './next-step.ts'
import { pooledClaims } from './pooled-claims.ts'
import { type ClaimProblem, claimProblems, impossibleRuns } from './problems.ts'
import type { ClaimSettings, FuelRun, LeftOut } from './types.ts'
import type { ClaimMissing } from './verdict.ts'

export interface ClaimsResult {
  claims: Claim[]
  /** Every run that has fuel, in order of start; those left out of claims included. */
  consumptions: RunConsumption[]
  /** Beyond all known errors, of adjusted and of raw consumptions; null where there is no fuel at all. */
  repeatability: Record<Kind, Repeatability> | null
  /** The same as probabilities, with what sessions share. */
  scatter: Record<Kind, Scatter> | null
  /** Session of each drive, by its key. */
  sessions: Map<string, string>
  /** Corrected, by the fuel and all other readings; null where there are none. */
  fused: Estimator | null
  /** What the fuel tells of the drives' demands, of each road with drives enough. */
  informed: InformedDemands[]
  /** The baseline that was used. */
  baseline: string | null
  problems: ClaimProblem[]
}

/**
 * What each setup did to the consumption: its change against the baseline within each route, as measured and at like
 * conditions, with 95 % intervals over all sources of error, a verdict and a statement.
 */
export function claimsOf(given: FuelRun[], routeNames: string[], settings: ClaimSettings): ClaimsResult {
  const unit = campaignUnit(given)
  const impossible = unit ? impossibleRuns(given, unit) : new Map<FuelRun, LeftOut>()
  const runs = given
    .map((run) => ({ ...run, leftOut: run.leftOut ?? impossible.get(run) ?? null }))
    .sort((a, b) => a.startTime - b.startTime || (drawKey(a) < drawKey(b) ? -1 : 1))
  const chosen = baselineOf(runs, settings)
  const problems = [...claimProblems(given, settings), ...chosen.problems]
  const { baseline } = chosen
  const consumptions = unit ? consumptionsOf(runs, unit, baseline, settings) : []
  if (baseline === null)
    return {
      claims: [],
      consumptions,
      repeatability: null,
      scatter: null,
      sessions: new Map(),
      fused: null,
      informed: [],
      baseline,
      problems,
    }
  const context = contextOf(runs, consumptions, baseline, routeNames, settings)
  const claims = setupsOf(runs, settings, baseline).flatMap((setup) => claimsOfSetup(setup, context))
  const pooled = settings.poolRoutes ? pooledClaims(claims, context) : []
  const { repeatability, sessions, byFuel } = context
  const scatter = { raw: byFuel.raw.scatter, adjusted: byFuel.adjusted.scatter }
  const informed = informedOf(byFuel.adjusted)
  return {
    // Against a baseline that was never driven, most often a name written wrongly, nothing is claimed.
    claims: runs.length === 0 || runs.some(({ setup }) => setup === baseline) ? [...claims, ...pooled] : [],
    consumptions,
    repeatability,
    scatter,
    sessions,
    fused: context.fused,
    informed,
    baseline,
    problems,
  }
}

/** Of the roads whose drives all stand in one model. */
const informedOf = ({ models, observations, scatter }: Estimator): InformedDemands[] =>
  models
    .filter((model) => observations.get(model.observations[0].run.route)?.length === model.observations.length)
    .flatMap((model) => informedDemands(model, scatter) ?? [])

/** All setups but the baseline: in the order of campaign.yaml, then by name. */
function setupsOf(runs: FuelRun[], { setups }: ClaimSettings, baseline: string): string[] {
  const seen = runs.flatMap((r) => (r.setup === null ? [] : [r.setup])).sort()
  return [...new Set([...Object.keys(setups), ...seen])].filter((setup) => setup !== baseline)
}

function claimsOfSetup(setup: string, context: ClaimContext): Claim[] {
  const routes = [...new Set(context.runs.map((r) => r.route))].sort((a, b) => a - b)
  const usable = routes.filter((route) => context.groups.has(groupKey(route, setup)))
  return (usable.length > 0 ? usable : [null]).map((route) => claimOn(route, setup, context))
}

function claimOn(route: number | null, setup: string, context: ClaimContext): Claim {
  const { baseline, groups } = context
  const group = (name: string): RunConsumption[] => (route === null ? [] : (groups.get(groupKey(route, name)) ?? []))
  const sides = { setup: group(setup), baseline: group(baseline) }
  const like = { setup: withConditions(sides.setup), baseline: withConditions(sides.baseline) }
  const between = (estimator: Estimator | null): LogEffect | null =>
    route === null || estimator === null ? null : effectBetween(estimator, route, setup, baseline)
  const byFuel = between(context.byFuel.adjusted)
  const raw = between(byFuel ? context.byFuel.rawOfCorrected : context.byFuel.raw)
  const held = evidenceOfChange(setup, route, { raw, adjusted: byFuel }, context)
  const agree = (held.consistency?.p ?? 0) >= DISAGREE_BELOW
  const fused = byFuel && agree ? between(context.fused) : null
  const evidence = fused ? held : { ...held, fusedWidening: 1 }
  const adjusted = fused ? widened(fused, evidence.fusedWidening) : byFuel && widened(byFuel, evidence.pumpWidening)
  const used = byFuel ? like : sides
  const draft = {
    setup,
    route,
    pooled: false,
    setupRuns: used.setup,
    baselineRuns: used.baseline,
    raw,
    adjusted,
    byFuelAlone: fused && byFuel,
    evidence,
    leftOut: leftOutOf(setup, route, context, used),
    drift: drifting(like.baseline, context),
    nextSteps: adjusted
      ? nextSteps(adjusted, like, (fused ? context.fused : null) ?? context.byFuel.adjusted, context.settings)
      : [],
    missing: whatIsMissing(setup, sides, context),
  }
  return finishedClaim(
    draft,
    baseline,
    route === null ? null : (context.routeNames[route] ?? null),
    context.settings,
    context.sessions,
  )
}

const drifting = (baseline: RunConsumption[], { sessions, trendScatter, settings }: ClaimContext): Drift | null =>
  driftOf(
    baseline.map((c) => observed(c, 'adjusted', sessions.get(drawKey(c.run)) ?? '')),
    trendScatter,
    settings.correctDrift,
  )

/** Runs of the two setups on the route that the claim does not use, each with the reason. */
function leftOutOf(
  setup: string,
  route: number | null,
  { runs, baseline }: ClaimContext,
  used: { setup: RunConsumption[]; baseline: RunConsumption[] },
): { id: string; reason: LeftOut }[] {
  const ids = new Set([...used.setup, ...used.baseline].map((c) => c.run.id))
  return runs
    .filter((r) => (route === null || r.route === route) && !ids.has(r.id))
    .filter((r) => r.setup === setup || (route !== null && r.setup === baseline))
    .map((r) => ({ id: r.id, reason: r.leftOut ?? reasonUnused(r) }))
}

function reasonUnused({ row, demandDraws }: FuelRun): LeftOut {
  if (!(row.fuelLitres > 0 || row.fuelKg > 0 || row.energyKwh > 0)) return { code: 'no-fuel' }
  return { code: demandDraws === null ? 'no-conditions' : 'other-unit' }
}

/** What a claim without an adjusted change lacks. */
function whatIsMissing(
  setup: string,
  sides: { setup: RunConsumption[]; baseline: RunConsumption[] },
  context: ClaimContext,
): ClaimMissing {
  const { baseline, runs } = context
  const nothingOf = (name: string): ClaimMissing => {
    const all = runs.filter((r) => r.setup === name)
    if (all.length === 0) return { code: 'not-driven', setups: [name] }
    return { code: all.every((r) => r.leftOut !== null) ? 'all-left-out' : 'no-usable-fuel', setups: [name] }
  }
  if (sides.setup.length === 0) return nothingOf(setup)
  if (sides.baseline.length === 0) {
    const elsewhere = runs.some((r) => r.setup === baseline && r.route !== sides.setup[0].run.route)
    return elsewhere ? { code: 'baseline-elsewhere', setups: [baseline] } : nothingOf(baseline)
  }
  const without = [
    ...(withConditions(sides.setup).length === 0 ? [setup] : []),
    ...(withConditions(sides.baseline).length === 0 ? [baseline] : []),
  ]
  return { code: 'no-conditions', setups: without }
}
