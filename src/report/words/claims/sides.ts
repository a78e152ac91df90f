import { isByControl } from '../../by-control.ts'
import type { ReportClaim } from '../../contract.ts'
import { plural } from '../../words.ts'

type Side = NonNullable<ReportClaim['stints']>['setup']

/** "2 drives", "2 stints (12 drives)" or "1 stint (6 drives) and 2 single drives", of a fuel log alone "3 tankfuls": what one side of a claim rests on. */
export function sideWords(runs: readonly string[], side: Side | null): string {
  if (side === null || side.count === 0) return plural(runs.length, 'drive')
  if (side.runs === 0) return plural(side.count, 'tankful')
  const stints = `${plural(side.count, 'stint')} (${plural(side.runs, 'drive')})`
  const rest = runs.length - side.runs
  return rest > 0 ? `${stints} and ${plural(rest, 'single drive')}` : stints
}

/** "2 : 3", or "2 stints : 2 stints": both sides for a narrow column. */
export function sidesInBrief({
  runs,
  baseline_runs,
  stints,
  control,
}: Pick<ReportClaim, 'runs' | 'baseline_runs' | 'stints' | 'control'>): string {
  if (control !== null && isByControl({ control }))
    return `${control.pairs.length} : ${control.baseline_pairs.length} pairs`
  if (stints === null) return `${runs.length} : ${baseline_runs.length}`
  return `${sideWords(runs, stints.setup)} : ${sideWords(baseline_runs, stints.baseline)}`
}
