import { square } from '../base/arithmetic.ts'
import { drawsOf } from '../base/draws.ts'
import { present } from '../base/present.ts'
import { standardDeviation } from '../base/statistics.ts'
import { type Claim, finishedClaim } from './claim.ts'
import type { ClaimContext } from './context.ts'
import { effectOf, type Kind, type LogEffect, totalError } from './effects.ts'
import { pooled } from './pooling.ts'

/**
 * One claim over all routes for each setup that has claims on two or more: the routes' changes pooled with random
 * effects. What the routes share stays shared, since the pooling is done draw by draw.
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
    leftOut: own.flatMap((c) => c.leftOut),
    drift: null,
    nextSteps: [],
    missing: null,
  }
  return finishedClaim(draft, context.baseline, null, context.settings)
}

function pooledEffect(claims: Claim[], kind: Kind, { repeatability, settings }: ClaimContext): LogEffect {
  const effects = claims.map((c) => present(c.logEffects[kind]))
  const { estimate, weights, betweenVariance } = pooled(
    effects.map((e) => e.estimate),
    effects.map((e) => square(standardDeviation(totalError(e)))),
  )
  const sum = effectOf([], kind, repeatability[kind])
  const add = (to: Float64Array, from: Float64Array, weight: number): void => {
    for (let k = 0; k < to.length; k++) to[k] += weight * from[k]
  }
  effects.forEach((effect, i) => {
    for (const source of Object.keys(sum.errors) as (keyof LogEffect['errors'])[]) {
      add(sum.errors[source], effect.errors[source], weights[i])
    }
    add(sum.departure, effect.departure, weights[i])
  })
  const between = Math.sqrt(betweenVariance * weights.reduce((total, w) => total + w * w, 0))
  add(sum.errors.between_routes, drawsOf(`claim/between-routes/${kind}`, settings.draws, settings.seed), between)
  return { ...sum, estimate }
}
