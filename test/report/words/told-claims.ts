import { claimFacts } from '../../../src/campaign/claims/claim-facts.ts'
import type { Claim } from '../../../src/claim/claim.ts'
import type { FuelRun } from '../../../src/claim/types.ts'
import type { ReportClaim } from '../../../src/report/contract.ts'
import type { StatementDrive } from '../../../src/report/words/claims/statement.ts'
import { wordedClaim } from '../../../src/report/words/claims/worded.ts'
import { run } from '../fixture.ts'

/** A claim with its texts, each drive at 12 °C in a wind of 3.4 m/s, the density rising by 0.01 from one to the next. */
export function toldClaim(claim: Claim, runs: readonly FuelRun[]): ReportClaim {
  const drives = runs.map(({ id, startTime, distanceM, demandDraws }, i): [string, StatementDrive] => {
    const told = run(id, 8, { air: { temperature_c: 12, density_kgm3: 1.2 + 0.01 * i }, wind: { speed_mps: 3.4 } })
    const start_time = new Date(1000 * startTime).toISOString()
    const demand = { mean_j_per_m: demandDraws && 500, sd_pct: null }
    return [id, { ...told, start_time, distance_m: distanceM, demand }]
  })
  return wordedClaim(claimFacts(claim, { sense: null, worth: null }), new Map(drives))
}
