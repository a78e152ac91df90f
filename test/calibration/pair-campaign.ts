import { readySetting } from '../../src/campaign/drive/run-result.ts'
import { type ComputeRuns, computeHere, resultsOfRuns } from '../../src/campaign/drive/run-results.ts'
import { drivesFrom, motionsIn } from '../../src/campaign/load/drive-source.ts'
import { prepareCampaign } from '../../src/campaign/load/loaded-campaign.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { pairsForReport } from '../../src/campaign/pairs/pairs-for-report.ts'
import { withTrueMotion } from '../../src/campaign/pairs/true-motion.ts'
import type { ReportPair } from '../../src/report/contract.ts'
import { FACTORS, type Factor, sharesOf } from '../../src/report/words.ts'
import { DEFAULTS } from '../campaign/folder.ts'
import { type SimulatedCampaign, simulatedFiles } from '../campaign/simulated-campaign.ts'
import type { Judged } from './scores.ts'

/** What is said of one condition's share in a pair's difference, with what it truly is, percent. */
export interface JudgedShare extends Judged {
  factor: Factor
}

export interface JudgedPairs {
  pairs: Judged[]
  shares: JudgedShare[]
}

/** The pairs of a simulated campaign and, where wanted, what each condition contributes, against the simulator's own physics. */
export async function judgePairs(settings: SimulatedCampaign, wantsShares: boolean): Promise<JudgedPairs> {
  const simulated = simulatedFiles(settings)
  const numberOf = (id: string): number => Number(id.slice('run-'.length))
  const demandOf = (id: string): number => simulated.truths[numberOf(id)].demandJPerM
  const told = await pairsOf(simulated.files)
  return {
    pairs: told.map(({ a, b, difference_pct, reason }) => {
      if (!difference_pct) throw new Error(`${settings.seed}: ${a} and ${b} were not compared: ${reason}`)
      return judged(difference_pct, 100 * (demandOf(b) / demandOf(a) - 1))
    }),
    shares: (wantsShares ? told : []).flatMap((pair) => {
      const shares = sharesOf(pair)
      if (!shares) throw new Error(`${settings.seed}: ${pair.a} and ${pair.b} have no contributions`)
      const truePct = simulated.sharesOf(numberOf(pair.a), numberOf(pair.b))
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
async function pairsOf(files: ReturnType<typeof simulatedFiles>['files']): Promise<ReportPair[]> {
  const sorted = [...files].sort((a, b) => (a.path < b.path ? -1 : 1))
  const mapped = sorted.map(mapFile)
  const motions = motionsIn(mapped)
  const { runs, roads, inputs, series, vehicle, ensemble } = await prepareCampaign(mapped, sorted, DEFAULTS, motions)
  const setting = { series, vehicle, ensemble, limits: [] }
  const withoutRoad: ComputeRuns = (all, tasks) =>
    computeHere(drivesFrom(motions))(
      all,
      tasks.map((task) => ({ ...task, wantsAlong: false })),
    )
  const { results, references } = await resultsOfRuns(runs, roads, inputs.campaign.baseline, setting, withoutRoad)
  const records = { records: results, taken: withTrueMotion(results, ensemble) }
  const { shared } = readySetting(setting)
  return pairsForReport(records, references, roads.routes, inputs.campaign.marginPct, shared, () => null).reported
}
