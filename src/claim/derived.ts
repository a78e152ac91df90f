import { square } from '../base/arithmetic.ts'
import { mean } from '../base/statistics.ts'
import type { Claim } from './claim.ts'
import type { ClaimsResult } from './claims.ts'
import { drawKey } from './fuel/measure.ts'
import { drawnErrors, effectOf, intervalsOf, type Term, widened } from './model/effects.ts'
import { levelFactors } from './model/generalised.ts'
import { type Kind, observed } from './model/observation.ts'
import type { PartRun } from './parts/part-design.ts'
import { effectsOfParts, type PartsResult, partsOfSetup } from './parts/parts.ts'
import { type Sense, senseOf } from './sense.ts'
import type { ClaimSettings, FuelRun } from './types.ts'

/**
 * Effects of single parts from all runs that have fuel, adjusted where any of them can be. Routes keep their own levels.
 * @returns null where there is no run to learn from
 */
export function partsOfClaims(result: ClaimsResult, settings: ClaimSettings): (PartsResult & { kind: Kind }) | null {
  const { repeatability } = result
  const usable = result.consumptions.filter(({ run }) => run.leftOut === null && run.setup !== null)
  const withWeather = usable.filter(({ conditions }) => conditions !== null)
  const kind = withWeather.length > 0 ? 'adjusted' : 'raw'
  const consumptions = kind === 'adjusted' ? withWeather : usable
  if (consumptions.length === 0 || repeatability === null || result.scatter === null) return null
  const scatter = result.scatter[kind]
  const observations = consumptions.map((c) => observed(c, kind, result.sessions.get(drawKey(c.run)) ?? ''))
  const runs = observations.map((observation): PartRun => {
    const effect = effectOf([{ observation, factor: 1 }], scatter)
    const errors = drawnErrors(effect, repeatability[kind].draws, settings)
    return {
      id: observation.run.id,
      route: observation.run.route,
      parts: partsOfSetup(observation.run.setup ?? '', settings.setups, result.baseline),
      y: effect.estimate,
      draws: errors.map((error) => effect.estimate + error),
    }
  })
  // Where the ways of measuring disagree in some claims, or agree barely: on average by so much.
  const widenings = result.claims.flatMap(({ pooled, logEffects }) =>
    pooled ? [] : (logEffects[kind]?.widenedBy ?? []),
  )
  const widening = widenings.length > 0 ? Math.sqrt(mean(widenings.map(square))) : 1
  const found = effectsOfParts(runs, settings.setups, (factors) => {
    const byFuel = observations.map((observation, i) => ({ observation, factor: factors[i] ?? 0 }))
    const terms = kind === 'adjusted' ? withReadings(byFuel, result) : null
    const effect = terms && result.fused ? effectOf(terms, result.fused.scatter) : effectOf(byFuel, scatter)
    return intervalsOf(widened(effect, widening)).consumptionChangePct
  })
  return { ...found, kind }
}

/**
 * The same sum of the setups' levels by the fuel and all other readings; null where some road's claims rest on the fuel
 * alone.
 */
function withReadings(byFuel: readonly Term[], { fused, claims }: ClaimsResult): Term[] | null {
  if (!fused) return null
  const terms: Term[] = []
  for (const route of new Set(
    byFuel.filter(({ factor }) => factor !== 0).map(({ observation }) => observation.run.route),
  )) {
    const here = fused.observations.get(route) ?? []
    const model = fused.models.find(
      ({ observations }) => observations.length === here.length && observations[0] === here[0],
    )
    const areFused = claims.every((claim) => claim.pooled || claim.route !== route || claim.byFuelAlone !== null)
    const levels = new Map<string, number>()
    for (const { observation, factor } of byFuel) {
      const { run } = observation
      const setup = run.setup ?? ''
      if (run.route === route && factor !== 0) levels.set(setup, (levels.get(setup) ?? 0) + factor)
    }
    const factors = model && areFused ? levelFactors(model, fused.scatter.centre, levels) : null
    if (!factors) return null
    terms.push(...here.map((observation, i) => ({ observation, factor: factors[i] })))
  }
  return terms
}

/** The sense check of a claim's best change, over its own runs; null where there is no change or no drag known. */
export function senseOfClaim(claim: Claim, runs: readonly FuelRun[]): Sense | null {
  const change = (claim.adjusted ?? claim.raw)?.consumptionChangePct
  const ids = new Set([...claim.runs, ...claim.baselineRuns])
  return change
    ? senseOf(
        runs.filter(({ id }) => ids.has(id)),
        change,
      )
    : null
}
