import { airDensityKgM3 } from '../air/density.ts'
import { standardPressurePa, standardTemperatureK } from '../air/pressure.ts'
import { present } from '../base/present.ts'
import { sum } from '../base/statistics.ts'
import { claimsForReport } from '../campaign/claims/claims.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import type { RunRecord } from '../campaign/drive/run-record.ts'
import { MOST_RUNS_FOR_ALL_PAIRS } from '../campaign/drive/run-results.ts'
import { isLeftOut } from '../campaign/load/recordings/left-out.ts'
import { withTrueMotion } from '../campaign/pairs/true-motion.ts'
import { conditionsDifference } from '../compare/difference.ts'
import { demandOf } from '../demand/ensemble.ts'
import { type SharedDraws, sharedDraws } from '../demand/shared-draws.ts'
import type { EnsembleRun } from '../demand/types.ts'
import type { Vehicle } from '../demand/vehicle.ts'
import type { Campaign } from '../read/campaign/settings.ts'
import type { RunRow } from '../read/runs/rows.ts'

/** One thing about a campaign taken to be otherwise. What is not named stays as it is. */
export interface Change {
  run?: (run: EnsembleRun, record: RunRecord) => EnsembleRun
  vehicle?: (vehicle: Vehicle) => Vehicle
  shared?: (shared: SharedDraws) => SharedDraws
  row?: (row: RunRow) => RunRow
  /** Every road of which nobody says is known to be dry. */
  isDry?: boolean
  /**
   * A source of the claims' own errors that is gone: its part of their variance. The same figures without it would not be
   * narrower, since the scatter that it made would be taken for the vehicle's.
   */
  without?: 'fills' | 'pump_meter'
  /** What the scatter of readings beside the fuel is multiplied by. */
  readingFactor?: number
}

/** Widths of the intervals of the answers, percentage points, by the name of the answer. */
export interface Widths {
  /** What the answers are: adjusted changes with 95 % intervals, or conditions differences of pairs with 90 % intervals. */
  of: 'claims' | 'pairs'
  byAnswer: Map<string, number>
}

/**
 * What is taken of the air that nobody observed, only to say what a missing observation costs: a wind from anywhere
 * with this root mean square speed at 10 m, and the temperature of the standard atmosphere give or take this much.
 * Common practice, no source.
 */
export const UNOBSERVED = { windMps: 4, temperatureSdK: 8, humidity: 0.6, humiditySd: 0.2, pressureSdPa: 900 }

/** Up to this many runs every pair on one road counts; beyond, each run against the first on its road. */

/**
 * Widths of the answers' intervals under a change, from the ensemble and the claims computed anew with the same draws.
 * Claims where there is one with an adjusted change, else pairs on one road; empty where there is neither.
 *
 * @param assumeUnobserved whether runs without weather take part with the air of `UNOBSERVED`, or not at all
 */
export function widthsWith(state: WorkingState, change: Change, assumeUnobserved: boolean): Widths {
  const shared = sharedWith(state, change)
  const changed = state.records
    .map((record) => (change.isDry ? onKnownRoad(record) : record))
    .map((record) => recordWith(record, change, shared, state.shared, assumeUnobserved))
  const records = withTrueMotion(changed, shared)
  const claims = claimWidths(records, state, change)
  return claims.size > 0
    ? { of: 'claims', byAnswer: claims }
    : { of: 'pairs', byAnswer: pairWidths(records, state.campaign) }
}

function onKnownRoad(record: RunRecord): RunRecord {
  const { comparable } = record
  const { outside } = comparable
  return { ...record, comparable: { ...comparable, outside: { ...outside, wet: outside.wet ?? false } } }
}

function sharedWith({ shared }: WorkingState, change: Change): SharedDraws {
  const drawn = change.vehicle ? sharedDraws(change.vehicle(shared.vehicle), shared.settings) : shared
  return change.shared ? change.shared(drawn) : drawn
}

function recordWith(
  record: RunRecord,
  change: Change,
  shared: SharedDraws,
  before: SharedDraws,
  assumeUnobserved: boolean,
): RunRecord {
  const { missing } = record.runAir
  const row = record.run.row && change.row ? change.row(record.run.row) : record.run.row
  const run = { ...record.run, row }
  if (missing.length > 0 && !assumeUnobserved) return { ...record, run }
  const observed = missing.length > 0 ? withUnobservedAir(record.ensembleRun) : record.ensembleRun
  const ensembleRun = change.run ? change.run(observed, record) : observed
  const same = ensembleRun === record.ensembleRun && shared === before
  if (same) return { ...record, run }
  const demand = demandOf(ensembleRun, shared)
  return { ...record, run, demand, comparable: { ...record.comparable, draws: demand.drawsJPerM } }
}

/** The run with the air of `UNOBSERVED` in place of what is missing. */
function withUnobservedAir(run: EnsembleRun): EnsembleRun {
  const { missing, along } = run.runAir
  const filled = (like: Float64Array, value: number): Float64Array => new Float64Array(like.length).fill(value)
  const air = { ...run.air }
  let runAir = run.runAir
  if (missing.includes('wind')) {
    air.windEastMps = filled(air.windEastMps, 0)
    air.windNorthMps = filled(air.windNorthMps, 0)
    air.departureSdMps = filled(air.departureSdMps, 0)
    air.undirectedMps = filled(air.undirectedMps, UNOBSERVED.windMps)
  }
  if (missing.includes('temperature')) {
    const heights = run.steps.elevationM.filter((h) => Number.isFinite(h))
    const elevationM = heights.length > 0 ? sum(heights) / heights.length : 0
    const temperatureK = standardTemperatureK(elevationM)
    const pressurePa = standardPressurePa(elevationM)
    air.temperatureK = filled(air.temperatureK, temperatureK)
    air.densityKgM3 = filled(air.densityKgM3, airDensityKgM3(temperatureK, pressurePa, UNOBSERVED.humidity))
    runAir = {
      ...runAir,
      assumed: { pressureSdPa: UNOBSERVED.pressureSdPa, humiditySd: UNOBSERVED.humiditySd },
      along: {
        ...along,
        temperatureK: filled(along.time, temperatureK),
        pressurePa: filled(along.time, pressurePa),
        relativeHumidity: filled(along.time, UNOBSERVED.humidity),
        temperatureDepartureSdK: filled(along.time, UNOBSERVED.temperatureSdK),
      },
    }
  }
  return { ...run, air, runAir }
}

function claimWidths(records: RunRecord[], state: WorkingState, change: Change): Map<string, number> {
  const { draws, seed } = state.shared.settings
  const { readingFactor, without } = change
  const options = { draws, seed, correctDrift: false, poolRoutes: false, worth: null, readingFactor }
  const widths = new Map<string, number>()
  for (const claim of claimsForReport(records, state.stints, state.roads.names, state.campaign, options, state.log)
    .claims) {
    const interval = claim.adjusted_consumption_change_pct
    if (!interval) continue
    const share = (without && claim.uncertainty_shares[without]) ?? 0
    widths.set(`${claim.setup}\n${claim.route}`, Math.sqrt(1 - share) * (interval.high95 - interval.low95))
  }
  return widths
}

function pairWidths(all: RunRecord[], { marginPct, baseline }: Campaign): Map<string, number> {
  const records = all.filter(
    ({ run, member, comparable }) => !isLeftOut(run) && member.relation === 'same' && comparable.draws,
  )
  const widths = new Map<string, number>()
  const add = (a: RunRecord, b: RunRecord): void => {
    const { low90Pct, high90Pct } = conditionsDifference(
      present(a.comparable.draws),
      present(b.comparable.draws),
      marginPct,
    )
    widths.set(`${a.run.id}\n${b.run.id}`, high90Pct - low90Pct)
  }
  for (const route of new Set(records.map((r) => r.route))) {
    const here = records.filter((r) => r.route === route)
    const reference = here.find((r) => baseline !== null && r.run.row?.setup === baseline) ?? here[0]
    for (const [i, a] of here.entries()) {
      const others = records.length <= MOST_RUNS_FOR_ALL_PAIRS ? here.slice(i + 1) : a === reference ? [] : [reference]
      for (const b of others) add(a, b)
    }
  }
  return widths
}
