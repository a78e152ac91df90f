import { isByControl } from '../../by-control.ts'
import type { Report, ReportClaim } from '../../contract.ts'
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

/** How many drives each side of a claim has; where the claim counts none, how many were made. */
export function driveCounts(
  { runs, baseline_runs, setup, baseline }: ReportClaim,
  all: Report['runs'],
): { setup: number; baseline: number } {
  const made = (name: string): number => all.filter((run) => run.setup === name).length
  if (runs.length + baseline_runs.length === 0) return { setup: made(setup), baseline: made(baseline) }
  return { setup: runs.length, baseline: baseline_runs.length }
}

/** "2 : 3", or "2 stints : 2 stints": both sides for a narrow column. */
export function sidesInBrief(claim: ReportClaim, all: Report['runs']): string {
  const { runs, baseline_runs, stints, control } = claim
  if (control !== null && isByControl({ control }))
    return `${control.pairs.length} : ${control.baseline_pairs.length} pairs`
  if (stints === null) {
    const counts = driveCounts(claim, all)
    return `${counts.setup} : ${counts.baseline}`
  }
  return `${sideWords(runs, stints.setup)} : ${sideWords(baseline_runs, stints.baseline)}`
}
