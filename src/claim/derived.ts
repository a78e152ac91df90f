import { drawsOf } from '../base/draws.ts'
import type { Claim } from './claim.ts'
import type { ClaimsResult } from './claims.ts'
import type { RunConsumption } from './consumption.ts'
import { effectOf, intervalsOf, type Kind, type LogEffect, totalError } from './effects.ts'
import { type Evidence, evidenceOf, type PumpChange } from './evidence.ts'
import { drawKey } from './measure.ts'
import type { PartRun } from './part-design.ts'
import { effectsOfParts, type PartsResult, partsOfSetup } from './parts.ts'
import { type Sense, senseOf } from './sense.ts'
import type { ClaimSettings, FuelRun } from './types.ts'

/**
 * What the other ways of measuring say of the change that a claim is about, beside the claim's own fills. Adjusted
 * wherever the claim is, or would be if it had fuel.
 * @param runs as they were given to the claims
 * @returns null for a claim pooled over routes: each route has its own evidence
 */
export function evidenceOfClaim(
  claim: Claim,
  result: ClaimsResult,
  runs: readonly FuelRun[],
  settings: ClaimSettings,
): Evidence | null {
  if (claim.pooled) return null
  const judged = judgedRuns(runs, result)
  const side = (setup: string): FuelRun[] =>
    judged.filter((run) => run.setup === setup && (claim.route === null || run.route === claim.route))
  const setupRuns = side(claim.setup)
  const baselineRuns = side(claim.baseline)
  const hasDemand = (group: FuelRun[]): boolean => group.some((run) => run.demandDraws !== null && run.leftOut === null)
  const adjusted = claim.raw === null ? hasDemand(setupRuns) && hasDemand(baselineRuns) : claim.adjusted !== null
  const kind = adjusted ? 'adjusted' : 'raw'
  const effect = claim.logEffects[kind]
  const spread = result.repeatability?.[kind].draws
  return evidenceOf({
    setupRuns,
    baselineRuns,
    pump: effect && pumpChange(claim, effect, kind),
    adjusted,
    scatterOf: (run) => {
      if (!spread) return null
      const departure = drawsOf(`claim/repeatability/${drawKey(run)}`, settings.draws, settings.seed)
      return departure.map((z, k) => z * spread[k])
    },
  })
}

/** The runs with the reasons for leaving out that the claims found themselves. */
function judgedRuns(runs: readonly FuelRun[], { consumptions }: ClaimsResult): FuelRun[] {
  const judged = new Map(consumptions.map(({ run }) => [run.id, run]))
  return runs.map((run) => judged.get(run.id) ?? run)
}

function pumpChange(claim: Claim, effect: LogEffect, kind: Kind): PumpChange {
  const draws = effect.departure.map(
    (departure, k) =>
      effect.estimate +
      departure * effect.repeatability.draws[k] +
      Object.values(effect.errors).reduce((sum, errors) => sum + errors[k], 0),
  )
  return {
    logChange: effect.estimate,
    draws,
    changePct: claim[kind]?.consumptionChangePct,
    runs: claim.runs,
    baselineRuns: claim.baselineRuns,
  }
}

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
  if (consumptions.length === 0 || repeatability === null) return null
  const spread = repeatability[kind]
  const runs = consumptions.map((consumption): PartRun => {
    const { estimate, errors, departure } = effectOf([{ consumption, factor: 1 }], kind, spread)
    const sources = Object.values(errors)
    return {
      id: consumption.run.id,
      route: consumption.run.route,
      parts: partsOfSetup(setupOf(consumption), settings.setups, result.baseline),
      y: estimate,
      draws: departure.map((z, k) => sources.reduce((sum, source) => sum + source[k], estimate + z * spread.draws[k])),
    }
  })
  const found = effectsOfParts(runs, settings.setups, (factors) => {
    const terms = consumptions.map((consumption, i) => ({ consumption, factor: factors[i] }))
    const effect = effectOf(
      terms.filter(({ factor }) => factor !== 0),
      kind,
      spread,
    )
    return intervalsOf(effect.estimate, totalError(effect)).consumptionChangePct
  })
  return { ...found, kind }
}

const setupOf = ({ run }: RunConsumption): string => run.setup ?? ''

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
