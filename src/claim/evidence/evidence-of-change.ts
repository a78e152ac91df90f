import { drawsOf } from '../../base/draws.ts'
import type { ClaimContext } from '../context.ts'
import { batchError, drawKey } from '../fuel/measure.ts'
import { drawnErrors, intervalsOf, type LogEffect } from '../model/effects.ts'
import type { Kind } from '../model/observation.ts'
import type { FuelRun } from '../types.ts'
import { type Evidence, evidenceOf } from './evidence.ts'

/**
 * What every way of measuring says of a change by itself, the fuel among them. Corrected to like conditions wherever the
 * claim is, or would be if it had fuel.
 * @param route null: wherever they were driven
 * @param byFuel the change by the fuel alone, as measured and corrected
 */
export function evidenceOfChange(
  setup: string,
  route: number | null,
  byFuel: Record<Kind, LogEffect | null>,
  { runs, baseline, repeatability, settings }: ClaimContext,
): Evidence {
  const side = (name: string): FuelRun[] =>
    runs.filter((run) => run.setup === name && (route === null || run.route === route))
  const setupRuns = side(setup)
  const baselineRuns = side(baseline)
  const hasDemand = (group: FuelRun[]): boolean => group.some((run) => run.demandDraws !== null && run.leftOut === null)
  const adjusted = byFuel.raw === null ? hasDemand(setupRuns) && hasDemand(baselineRuns) : byFuel.adjusted !== null
  const kind = adjusted ? 'adjusted' : 'raw'
  const effect = byFuel[kind]
  const spread = repeatability[kind].draws
  const burnsFuel = settings.powertrain !== 'electric' && settings.powertrain !== 'human'
  const idsOf = (name: string): string[] => [
    ...new Set(effect?.terms.flatMap(({ observation: { run } }) => (run.setup === name ? run.id : []))),
  ]
  return evidenceOf({
    setupRuns,
    baselineRuns,
    pump: effect && {
      logChange: effect.estimate,
      draws: drawnErrors(effect, spread, settings),
      changePct: intervalsOf(effect).consumptionChangePct,
      runs: idsOf(setup),
      baselineRuns: idsOf(baseline),
    },
    adjusted,
    scatterOf: (run, way) => {
      const drawn = (name: string): Float64Array => drawsOf(`claim/${name}`, settings.draws, settings.seed)
      const departure = drawn(`repeatability/${drawKey(run)}`)
      const { name, sd } = batchError(run, 'l')
      const batch = burnsFuel && way !== 'logged energy' ? drawn(name) : null
      return departure.map((z, k) => z * spread[k] + (batch ? sd * batch[k] : 0))
    },
  })
}
