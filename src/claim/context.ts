import { present } from '../base/present.ts'
import type { RunConsumption } from './consumption.ts'
import { type Kind, residualsOf } from './effects.ts'
import type { ClaimProblem } from './problems.ts'
import { type Repeatability, type Residual, repeatabilityOf } from './repeatability.ts'
import type { ClaimSettings, FuelRun } from './types.ts'

/** What all claims of a campaign have in common. */
export interface ClaimContext {
  runs: FuelRun[]
  consumptions: RunConsumption[]
  /** Those that may be used, by route and setup. */
  groups: Map<string, RunConsumption[]>
  baseline: string
  routeNames: string[]
  settings: ClaimSettings
  repeatability: Record<Kind, Repeatability>
  residuals: Residual[]
  /** With the baselines' trends taken out. */
  trendRepeatability: Repeatability
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
  for (const c of consumptions) {
    if (c.run.leftOut !== null || c.run.setup === null) continue
    const key = groupKey(c.run.route, c.run.setup)
    groups.set(key, [...(groups.get(key) ?? []), c])
  }
  const raw = [...groups.values()]
  const adjusted = raw.map(withConditions).filter((group) => group.length > 0)
  const isBaseline = (group: RunConsumption[]): boolean => group[0].run.setup === baseline
  const residuals = residualsOf(adjusted, 'adjusted', settings.correctDrift ? isBaseline : undefined)
  const adjustedRepeatability = repeatabilityOf(residuals, 'repeatability/adjusted', settings)
  const detrended = residualsOf(adjusted, 'adjusted', isBaseline)
  return {
    runs,
    consumptions,
    groups,
    baseline,
    routeNames,
    settings,
    repeatability: {
      raw: repeatabilityOf(residualsOf(raw, 'raw'), 'repeatability/raw', settings),
      adjusted: adjustedRepeatability,
    },
    residuals,
    trendRepeatability: repeatabilityOf(detrended, 'repeatability/trend', settings),
  }
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
