import { present } from '../base/present.ts'
import { type Claim, finishedClaim } from './claim.ts'
import type { ClaimContext } from './context.ts'
import { effectOf, type LogEffect, varianceOf, widened } from './model/effects.ts'
import type { Kind } from './model/observation.ts'
import { pooled } from './model/pooling.ts'

/**
 * One claim over all routes for each setup that has claims on two or more: the routes' changes pooled with random
 * effects.
 */
export function pooledClaims(claims: Claim[], context: ClaimContext): Claim[] {
  const setups = [...new Set(claims.map((c) => c.setup))]
  return setups.flatMap((setup) => {
    const own = claims.filter((c) => c.setup === setup && c.logEffects.adjusted !== null)
    return own.length < 2 ? [] : [pooledClaim(setup, own, context)]
  })
}

function pooledClaim(setup: string, own: Claim[], context: ClaimContext): Claim {
  const runsOf = (ids: string[]) => ids.map((id) => present(context.consumptions.find((c) => c.run.id === id)))
  const draft = {
    setup,
    route: null,
    pooled: true,
    setupRuns: runsOf(own.flatMap((c) => c.runs)),
    baselineRuns: runsOf(own.flatMap((c) => c.baselineRuns)),
    raw: pooledEffect(own, 'raw', context),
    adjusted: pooledEffect(own, 'adjusted', context),
    byFuelAlone: null,
    evidence: null,
    leftOut: own.flatMap((c) => c.leftOut),
    drift: null,
    nextSteps: [],
    missing: null,
  }
  return finishedClaim(draft, context.baseline, null, context.settings, context.sessions)
}

/** The routes' changes in one: what routes share stays shared, since errors of one name are one error. */
function pooledEffect(claims: Claim[], kind: Kind, { byFuel, fused }: ClaimContext): LogEffect {
  const effects = claims.map((c) => present(c.logEffects[kind]))
  const { weights, betweenRoutes } = pooled(
    effects.map((e) => e.estimate),
    effects.map((e) => varianceOf(e)),
  )
  const terms = effects.flatMap((effect, i) =>
    effect.terms.map(({ observation, factor }) => ({ observation, factor: weights[i] * factor })),
  )
  const usesReadings = kind === 'adjusted' && claims.some(({ byFuelAlone }) => byFuelAlone !== null)
  const { scatter } = (usesReadings ? fused : null) ?? byFuel[kind]
  // Where one road's readings disagree, the errors of all are in doubt by as much.
  const widest = Math.max(...effects.map(({ widenedBy }) => widenedBy))
  return { ...widened(effectOf(terms, scatter), widest), betweenRoutes }
}
