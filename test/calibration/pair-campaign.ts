import { readySetting } from '../../src/campaign/drive/run-result.ts'
import { type ComputeRuns, computeHere, resultsOfRuns } from '../../src/campaign/drive/run-results.ts'
import { drivesFrom, motionsIn } from '../../src/campaign/load/drive-source.ts'
import { prepareCampaign } from '../../src/campaign/load/loaded-campaign.ts'
import { mapFile, type WholeFile } from '../../src/campaign/load/map-file.ts'
import { pairsForReport } from '../../src/campaign/pairs/pairs-for-report.ts'
import { withTrueMotion } from '../../src/campaign/pairs/true-motion.ts'
import type { ReportPair } from '../../src/report/contract.ts'
import { FACTORS, type Factor, sharesOf } from '../../src/report/words.ts'
import { DEFAULTS } from '../campaign/folder.ts'
import { type SimulatedCampaign, simulatedFiles } from '../campaign/simulated-campaign.ts'
import type { TrueShares } from '../simulator/shares.ts'
import type { Judged } from './scores.ts'

/** What is said of one condition's share in a pair's difference, with what it truly is, percent. */
export interface JudgedShare extends Judged {
  factor: Factor
}

export interface JudgedPairs {
  pairs: Judged[]
  shares: JudgedShare[]
}

/** A simulated campaign, read but not yet computed, with what is true of it. */
export interface SimulatedPairs {
  mapped: WholeFile[]
  demandsJPerM: number[]
  /** What each condition truly makes of the difference of two runs, by their numbers; empty where not wanted. */
  sharesPct: TrueShares[][]
}

export function simulatePairs(settings: SimulatedCampaign, wantsShares: boolean): SimulatedPairs {
  const { files, truths, sharesOf } = simulatedFiles(settings)
  const sorted = [...files].sort((a, b) => (a.path < b.path ? -1 : 1))
  return {
    mapped: sorted.map(mapFile),
    demandsJPerM: truths.map(({ demandJPerM }) => demandJPerM),
    sharesPct: wantsShares ? truths.map((_, b) => truths.slice(0, b).map((_, a) => sharesOf(a, b))) : [],
  }
}

/** The pairs of a simulated campaign and, where their truth is given, what each condition contributes. */
export async function judgePairs({ mapped, demandsJPerM, sharesPct }: SimulatedPairs): Promise<JudgedPairs> {
  const numberOf = (id: string): number => Number(id.slice('run-'.length))
  const demandOf = (id: string): number => demandsJPerM[numberOf(id)]
  const told = await pairsOf(mapped)
  return {
    pairs: told.map(({ a, b, difference_pct, reason }) => {
      if (!difference_pct) throw new Error(`${a} and ${b} were not compared: ${reason}`)
      return judged(difference_pct, 100 * (demandOf(b) / demandOf(a) - 1))
    }),
    shares: (sharesPct.length > 0 ? told : []).flatMap((pair) => {
      const shares = sharesOf(pair)
      if (!shares) throw new Error(`${pair.a} and ${pair.b} have no contributions`)
      const truePct = sharesPct[numberOf(pair.b)][numberOf(pair.a)]
      return FACTORS.map((factor) => ({ factor, ...judged(shares[factor], truePct[factor]) }))
    }),
  }
}

const judged = (said: { mean: number; low90: number; high90: number }, truePct: number): Judged => ({
  truePct,
  estimatePct: said.mean,
  lowPct: said.low90,
  highPct: said.high90,
})

/** The pairs as a report has them, but for its rounding, without all else that a report tells. */
async function pairsOf(mapped: WholeFile[]): Promise<ReportPair[]> {
  const motions = motionsIn(mapped)
  const { runs, roads, inputs, series, vehicle, ensemble } = await prepareCampaign(mapped, [], DEFAULTS, motions)
  const setting = { series, vehicle, ensemble, limits: [] }
  const withoutRoad: ComputeRuns = (all, tasks) =>
    computeHere(drivesFrom(motions))(
      all,
      tasks.map((task) => ({ ...task, wantsAlong: false })),
    )
  const { results, references } = await resultsOfRuns(runs, roads, inputs.campaign.baseline, setting, withoutRoad)
  const { shared } = readySetting(setting)
  const records = { records: results, taken: withTrueMotion(results, shared) }
  return pairsForReport(records, references, roads.routes, inputs.campaign.marginPct, shared, () => null).reported
}
