import type { Problem } from '../../base/problem.ts'
import { claimsOf } from '../../claim/claims.ts'
import type { ClaimSettings, FuelRun } from '../../claim/types.ts'
import { claimProblem } from '../../report/words/checks/claim-problems.ts'
import { ANY_ROAD, TANKFUL_PRIOR } from '../fuel-log/log-claims.ts'
import type { LogSpan } from '../fuel-log/log-runs.ts'
import { claimFacts } from './claim-facts.ts'
import type { ClaimsForReport } from './claims-result.ts'

/** The claims of a fuel log are made from so many tankfuls, the latest: decades of them. */
export const MOST_TANKFULS = 1000

const onlyLatest = (tankfuls: number): Problem => ({
  code: 'fill-spans-too-many',
  severity: 'note',
  message: `of ${tankfuls} tankfuls the latest ${MOST_TANKFULS} count in claims; all of them stand in consumption.csv`,
})

/** Claims of a fuel log alone: as measured, and not testable at like conditions. */
export function claimsOfTankfuls(
  runs: FuelRun[],
  spans: LogSpan[],
  given: ClaimSettings,
): Pick<ClaimsForReport, 'claims' | 'runs' | 'spans' | 'problems'> {
  const settings = { ...given, repeatabilityPrior: TANKFUL_PRIOR, poolRoutes: false }
  const result = claimsOf(runs, [ANY_ROAD], settings)
  return {
    claims: result.claims.map((claim) => {
      const facts = claimFacts(claim, { sense: null, worth: null })
      const side = (ids: string[]) => ({ count: ids.length, runs: 0 })
      return {
        ...facts,
        route: null,
        runs: [],
        baseline_runs: [],
        left_out: [],
        stints: { setup: side(claim.runs), baseline: side(claim.baselineRuns) },
        missing: claim.raw === null ? facts.missing : { code: 'no-tracks' as const, setups: [] },
      }
    }),
    runs,
    spans,
    problems: [
      ...(spans.length > MOST_TANKFULS ? [onlyLatest(spans.length)] : []),
      ...result.problems.map(claimProblem),
    ],
  }
}
