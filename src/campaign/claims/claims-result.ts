import type { Problem } from '../../base/problem.ts'
import type { FuelRun } from '../../claim/types.ts'
import type { Report, ReportPair, ReportRun } from '../../report/contract.ts'
import type { ClaimFacts } from '../../report/words/claims/claim-reasons.ts'
import type { LogSpan } from '../fuel-log/log-runs.ts'

/** @param a and b: ids of drives */
export type InformedDifference = (a: string, b: string) => ReportPair['fuel_informed_difference_pct']

export interface ClaimsForReport {
  claims: ClaimFacts[]
  parts: Report['parts']
  partGroups: Report['part_groups']
  /** By run id. */
  consumptions: Map<string, ReportRun['consumption']>
  /** What conditions make of each run's demand against the mean of its baseline; by run id. */
  differences: Map<string, ReportRun['use']['difference_pct']>
  stints: Report['stints']
  /** What conditions make of one drive against another, given the fuel of all: percent; null where it does not tell. */
  informed: InformedDifference
  /** What the claims were made from. */
  runs: FuelRun[]
  /** Of the fuel log. */
  spans: LogSpan[]
  problems: Problem[]
}

export const NO_CLAIMS: Omit<ClaimsForReport, 'runs' | 'spans'> = {
  claims: [],
  parts: [],
  partGroups: [],
  consumptions: new Map(),
  differences: new Map(),
  stints: [],
  informed: () => null,
  problems: [],
}
