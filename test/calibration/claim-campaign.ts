import { claimsForReport } from '../../src/campaign/claims/claims.ts'
import { claimSettings } from '../../src/campaign/claims/fuel-runs.ts'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { pairOf } from '../../src/campaign/pairs/pairs.ts'
import { withTrueMotion } from '../../src/campaign/pairs/true-motion.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import type { ReportPair } from '../../src/report/contract.ts'
import { DEFAULTS } from '../campaign/folder.ts'
import { type Judged, NORMAL } from './scores.ts'
import type { SimulatedClaims } from './simulated-claims.ts'

type Drive = Parameters<typeof pairOf>[0]

/** A claim with what is true, percent, and how well it could be known by who knows each drive's demand. */
export interface JudgedClaim extends Judged {
  isSupported: boolean
  oracleHalfPct: number
  /** What not knowing the demands made of the estimate, and the standard deviation that the claim takes for it. */
  conditionsErrorPct: number
  conditionsSdPct: number
}

export interface JudgedClaims {
  claims: JudgedClaim[]
  pairs: Judged[]
  /** Pairs once the fuel is known as well; empty with too few drives. */
  informed: Judged[]
}

/** The claims and pairs of the whole flow, from tracks, station reports and fuel. */
export async function judgeClaims({ mapped, demandsJPerM, effectsPct }: SimulatedClaims): Promise<JudgedClaims> {
  const { draws, seed } = DEFAULTS
  const state = await workingStateOf(mapped, [], { draws, seed })
  const records = withTrueMotion(state.records, state.shared)
  const options = { draws, seed, correctDrift: false, poolRoutes: false, worth: null }
  const { claims, runs, informed } = claimsForReport(records, state.stints, state.roads.names, state.campaign, options)
  const numberOf = (id: string): number => Number(id.slice('run-'.length))
  const known = runs.map((run) => ({
    ...run,
    demandDraws: new Float64Array(draws).fill(demandsJPerM[numberOf(run.id)]),
    drawnFrom: [],
  }))
  const oracle = claimsOf(known, [...state.roads.names], claimSettings(state.campaign, options)).claims
  return {
    claims: claims.map((claim, i) => {
      const change = claim.adjusted_consumption_change_pct
      const best = oracle[i].adjusted?.consumptionChangePct
      if (!change || !best) throw new Error(`${claim.setup} was not claimed: ${claim.missing?.code}`)
      return {
        truePct: effectsPct[claim.setup],
        estimatePct: change.estimate,
        lowPct: change.low95,
        highPct: change.high95,
        isSupported: claim.verdict === 'supported',
        oracleHalfPct: (best.high95 - best.low95) / 2,
        conditionsErrorPct: change.estimate - best.estimate,
        conditionsSdPct:
          ((change.high95 - change.low95) / (2 * NORMAL[95])) * Math.sqrt(claim.uncertainty_shares?.conditions ?? 0),
      }
    }),
    pairs: pairsOf((a, b) => pairOf(a, b, state.roads.routes, 2).difference_pct),
    informed: pairsOf((a, b) => informed(a.run.id, b.run.id)),
  }

  function pairsOf(difference: (a: Drive, b: Drive) => ReportPair['difference_pct']): Judged[] {
    return records.flatMap((a, i) =>
      records.slice(i + 1).flatMap((b): Judged[] => {
        const d = difference(a, b)
        if (!d) return []
        const [p, q] = [a, b].map(({ run }) => demandsJPerM[numberOf(run.id)])
        return [{ truePct: 100 * (q / p - 1), estimatePct: d.mean, lowPct: d.low90, highPct: d.high90 }]
      }),
    )
  }
}
