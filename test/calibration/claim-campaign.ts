import { claimsForReport } from '../../src/campaign/claims/claims.ts'
import { claimSettings } from '../../src/campaign/claims/fuel-runs.ts'
import { workingStateOf } from '../../src/campaign/computed-campaign.ts'
import { mapFile } from '../../src/campaign/load/map-file.ts'
import { pairOf } from '../../src/campaign/pairs/pairs.ts'
import { withTrueMotion } from '../../src/campaign/pairs/true-motion.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import type { ReportPair } from '../../src/report/contract.ts'
import { DEFAULTS, inputFile } from '../campaign/folder.ts'
import { type SimulatedCampaign, simulatedFiles } from '../campaign/simulated-campaign.ts'
import { chargeKwh, fillLitres, type Truth, type Vehicle, withDrag } from '../simulator/index.ts'
import { randomOf } from '../simulator/random.ts'
import type { Judged } from './scores.ts'

/** A campaign with fuel: the baseline and each setup are driven by turns. */
export interface ClaimCampaign extends SimulatedCampaign {
  setups: readonly { name: string; dragPct: number }[]
  /** Whether the trip computer is read as well: 4 % off, and 2 % from run to run. */
  tripComputer?: boolean
  /** Standard deviation of one fill, litres; of a battery 0.01, relative. */
  fillSd?: number
  /** Whether the road of a run is wet, taken in turn: tyres then roll 15 % harder, and the air is damp. */
  wet?: readonly (0 | 1)[]
}

type Record = Parameters<typeof pairOf>[0]

/** A claim with what is true, percent, and how well it could be known by who knows each drive's demand. */
export interface JudgedClaim extends Judged {
  isSupported: boolean
  oracleHalfPct: number
}

export interface JudgedClaims {
  claims: JudgedClaim[]
  pairs: Judged[]
  /** Pairs once the fuel is known as well; empty with too few drives. */
  informed: Judged[]
}

/** Engine, battery and tyres are never twice the same: standard deviation of ln(fuel). */
const REPEATABILITY = 0.007
/** Tyres roll so much harder on a wet road. */
const WET_ROLLING = 1.15
const BASELINE = 'bare'

/** The claims and pairs of the whole flow, from tracks, station reports and fuel. */
export async function judgeClaims(given: ClaimCampaign): Promise<JudgedClaims> {
  const setupOf = (run: number) => [{ name: BASELINE, dragPct: 0 }, ...given.setups][run % (given.setups.length + 1)]
  const vehicleIn = (run: number): Vehicle => {
    const { dragPct } = setupOf(run)
    return wetted(withDrag(given.vehicle, dragPct), given.wet?.[run % given.wet.length] === 1)
  }
  const { files, truths, truthWith } = simulatedFiles({ damp: given.wet, ...given, vehicleIn })
  const unchanged = truths.map((_, run) => truthWith(run, given.vehicle))
  const rows = truths.map((truth, run) => `tracks/run-${run}.gpx,${setupOf(run).name},${readings(given, truth, run)}`)
  const { powertrain } = given.vehicle
  const header = `track,setup,${powertrain === 'electric' ? 'energy_kwh' : 'fuel_l'},trip_computer_l_per_100km`
  const [first, ...others] = files
  const said = new TextDecoder().decode(first.bytes) + campaignOf(given)
  const table = inputFile('runs.csv', [header, ...rows].join('\n'))
  const all = [inputFile('campaign.yaml', said), table, ...others].sort((a, b) => (a.path < b.path ? -1 : 1))
  const { draws, seed } = DEFAULTS
  const state = await workingStateOf(all.map(mapFile), all, { draws, seed })
  const records = withTrueMotion(state.records, state.shared.settings)
  const options = { draws, seed, correctDrift: false, poolRoutes: false, worth: null }
  const { claims, runs, informed } = claimsForReport(records, state.stints, state.roads.names, state.campaign, options)
  const numberOf = (id: string): number => Number(id.slice('run-'.length))
  const known = runs.map((run) => ({
    ...run,
    demandDraws: new Float64Array(draws).fill(unchanged[numberOf(run.id)].demandJPerM),
    drawnFrom: [],
  }))
  const oracle = claimsOf(known, [...state.roads.names], claimSettings(state.campaign, options)).claims
  return {
    claims: claims.map((claim, i) => {
      const change = claim.adjusted_consumption_change_pct
      const best = oracle[i].adjusted?.consumptionChangePct
      if (!change || !best) throw new Error(`${given.seed}: ${claim.setup} was not claimed: ${claim.missing?.code}`)
      return {
        truePct: trueEffectPct(claim.setup),
        estimatePct: change.estimate,
        lowPct: change.low95,
        highPct: change.high95,
        isSupported: claim.verdict === 'supported',
        oracleHalfPct: (best.high95 - best.low95) / 2,
      }
    }),
    pairs: pairsOf((a, b) => pairOf(a, b, state.roads.routes, 2).difference_pct),
    informed: pairsOf((a, b) => informed(a.run.id, b.run.id)),
  }

  function pairsOf(difference: (a: Record, b: Record) => ReportPair['difference_pct']): Judged[] {
    return records.flatMap((a, i) =>
      records.slice(i + 1).flatMap((b): Judged[] => {
        const d = difference(a, b)
        if (!d) return []
        const [p, q] = [a, b].map(({ run }) => unchanged[numberOf(run.id)].demandJPerM)
        return [{ truePct: 100 * (q / p - 1), estimatePct: d.mean, lowPct: d.low90, highPct: d.high90 }]
      }),
    )
  }

  function trueEffectPct(setup: string): number {
    const { dragPct } = given.setups.find(({ name }) => name === setup) ?? { dragPct: Number.NaN }
    if (dragPct === 0) return 0
    const changed = withDrag(given.vehicle, dragPct)
    const logs = unchanged.map((truth, run) => Math.log(truthWith(run, changed).fuelEnergyJ / truth.fuelEnergyJ))
    return 100 * Math.expm1(logs.reduce((sum, log) => sum + log, 0) / logs.length)
  }
}

const wetted = (vehicle: Vehicle, isWet: boolean): Vehicle =>
  isWet ? { ...vehicle, rollingResistance: WET_ROLLING * vehicle.rollingResistance } : vehicle

const USUAL_FILL_SD = 0.12

function campaignOf({ vehicle, fillSd = USUAL_FILL_SD }: ClaimCampaign): string {
  const fuel = vehicle.powertrain === 'electric' ? '' : `fuel:\n  fill_repeatability_l: ${fillSd}\n`
  return `setups:\n  ${BASELINE}: []\nbaseline: ${BASELINE}\n${fuel}`
}

/** What the pump or the charger showed after a run, and the trip computer where it is read. */
function readings(settings: ClaimCampaign, truth: Truth, run: number): string {
  const { vehicle, fillSd = USUAL_FILL_SD } = settings
  const seed = `${settings.seed}/${run}`
  const departure = Math.exp(REPEATABILITY * randomOf(`${seed}/departure`).normal())
  const used = { ...truth, fuelEnergyJ: truth.fuelEnergyJ * departure }
  if (vehicle.powertrain === 'electric') return `${chargeKwh(used, { seed }).toFixed(5)},`
  const exact = { before: `${seed}/before`, after: `${seed}/after` }
  const litres = fillLitres(vehicle, used, { ...exact, repeatabilityLitres: fillSd })
  if (!settings.tripComputer) return `${litres.toFixed(3)},`
  const per100Km = (1e5 * fillLitres(vehicle, used, { ...exact, repeatabilityLitres: 0 })) / truth.distanceM
  return `${litres.toFixed(3)},${(1.04 * per100Km * Math.exp(0.02 * randomOf(`${seed}/trip`).normal())).toFixed(3)}`
}
