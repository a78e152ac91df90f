import { rootSumOfSquares } from '../../base/arithmetic.ts'
import { drawsOf } from '../../base/draws.ts'
import { mean } from '../../base/statistics.ts'
import { chargeErrors, electricityBetweenFills } from '../../claim/fuel/battery.ts'
import { type FillSpan, filledIn, fillName, isOfPlugIn } from '../../claim/fuel/fill-spans.ts'
import type { FuelRun, LogFuel, NamedError } from '../../claim/types.ts'
import type { BatterySettings, Powertrain } from '../../read/campaign/settings.ts'
import type { FillRow, RunRow } from '../../read/runs/rows.ts'
import { emptyRow } from '../../read/runs/runs-table.ts'
import { type StintRun, stintRuns } from '../claims/stints.ts'
import type { SpanDriving, SpanReason } from './spans-and-drives.ts'

/** Why the fuel of a span does not count in a claim. */
export type LogReason =
  | SpanReason
  /** A drive in it has fuel in a row of runs.csv. */
  | { code: 'own-fuel'; run: string; line: number; file: string | null }
  | { code: 'setups-differ'; setups: string[] }
  /** A plug-in hybrid's: it counts with the fuel between two fills of fuel. */
  | { code: 'beside-fuel' }
  /** All its drives are left out of claims. */
  | { code: 'all-left-out' }

/** A span with what claims make of it. */
export interface LogSpan extends Omit<SpanDriving, 'reason'> {
  reason: LogReason | null
  /** Of its fuel: what went into the drives that count, 0 to 1; null where it is not used. */
  share: number | null
  /** What was fitted, by the log or by the rows of its drives. */
  setup: string | null
}

export interface LogRuns {
  spans: LogSpan[]
  /** The runs of single drives, those with fuel from the log in their new form. */
  single: FuelRun[]
  /** Several drives with one amount of fuel. */
  together: StintRun[]
}

/** Energy of stretches of other driving by their begin; null where it is not known. */
export type OtherEnergy = (fromTime: number) => Float64Array | null

/** What is taken from a fuel log held against the recordings. */
interface Log {
  fills: readonly FillRow[]
  spans: readonly SpanDriving[]
  otherEnergy: OtherEnergy
  /** Its name. */
  file: string
  battery: BatterySettings
}

export interface Settings {
  draws: number
  seed: number
  /** null or left out: not stated. */
  powertrain?: Powertrain | null
}

/** Where nothing is known of the air, other driving needs as much for its distance, give or take this. Common practice, no source. */
const OTHER_PER_DISTANCE_SD = 0.2

/**
 * Gives drives the fuel of the spans that they lie in. Other driving, and drives that count in no claim, take their part of
 * it by what the unchanged vehicle needed for them.
 * @param runs of single drives
 * @param stints of rows of runs.csv: drives in them have their fuel
 * @param routeNames of the campaign's roads; chains of roads are added behind them
 */
export function logRuns(
  { fills, spans, otherEnergy, file, battery }: Log,
  runs: readonly FuelRun[],
  stints: readonly StintRun[],
  routeNames: string[],
  settings: Settings,
): LogRuns {
  const byId = new Map(runs.map((run) => [run.id, run]))
  // What was charged between two fills of fuel went into the drives as well: then the ends alone say too little.
  const isCharged = fills.some(({ energyKwh, batteryEnergyKwh }) => energyKwh > 0 || batteryEnergyKwh > 0)
  const plugIn = isOfPlugIn(fills, settings.powertrain)
  const judged = spans.map((span) => judge(span, byId, stints, plugIn))
  const usable = judged.flatMap(({ members, reason }) => (reason === null ? [members] : []))
  const again = { chains: drivenAgain(usable.map(chainOf)), roads: drivenAgain(usable.flatMap(roadsOf)) }
  const single = new Map<string, FuelRun>()
  const several: { row: RunRow; runs: string[]; carried: Pick<FuelRun, 'log' | 'batteryErrors'> }[] = []
  const told = judged.map(({ span, inside, members, setup, reason }): LogSpan => {
    if (reason !== null) return { ...span, setup, reason, share: null }
    let share = 0
    for (const group of groupsOf(members, again)) {
      const part = shareOf(group, inside, span, otherEnergy, settings)
      share += part.share
      const electric = plugIn ? electricityIn(span.span, fills, battery) : NO_ELECTRICITY
      const own = rowOf(span, group, setup, part.share * electric.energyKwh, part.share, file)
      const row = isCharged ? own : withCharge(own, span.span, part.share)
      const log: LogFuel = { ...fuelOf(span.span), shareErrors: part.errors }
      const { errors } = electric
      const carried = { log, ...(errors.length > 0 ? { batteryErrors: errors } : batteryOf(span.span, battery)) }
      if (group.length === 1) single.set(group[0].id, { ...group[0], setup, row, ...carried })
      else several.push({ row, runs: group.map(({ id }) => id), carried })
    }
    return { ...span, setup, reason: null, share }
  })
  const together = stintRuns(several, byId, routeNames).map((run) => {
    const stint = several.find(({ row }) => row === run.row)
    return stint ? { ...run, ...stint.carried } : run
  })
  return { spans: told, single: runs.map((run) => single.get(run.id) ?? run), together }
}

interface Judged {
  span: SpanDriving
  /** Its drives, and those of them that count. */
  inside: FuelRun[]
  members: FuelRun[]
  setup: string | null
  reason: LogReason | null
}

export const hasFuel = ({ row }: FuelRun): boolean => row.fuelLitres > 0 || row.fuelKg > 0 || row.energyKwh > 0

function judge(
  span: SpanDriving,
  byId: ReadonlyMap<string, FuelRun>,
  stints: readonly StintRun[],
  plugIn: boolean,
): Judged {
  const inside = span.drives.flatMap(({ run }) => byId.get(run ?? '') ?? [])
  const members = inside.filter(({ leftOut }) => leftOut === null)
  const named = [...new Set([span.span.setup, ...members.map(({ setup }) => setup)].filter((name) => name !== null))]
  const setup = named.length === 1 ? named[0] : null
  const ids = new Set(inside.map(({ id }) => id))
  const own = inside.find(hasFuel) ?? stints.find((stint) => hasFuel(stint) && stint.runs.some((run) => ids.has(run)))
  const judged = (reason: LogReason | null): Judged => ({ span, inside, members, setup, reason })
  if (plugIn && span.span.unit === 'kWh') return judged({ code: 'beside-fuel' })
  if (span.reason !== null) return judged(span.reason)
  if (own) return judged({ code: 'own-fuel', run: own.id, line: own.row.line, file: own.row.file })
  if (named.length > 1) return judged({ code: 'setups-differ', setups: named })
  return judged(members.length === 0 ? { code: 'all-left-out' } : null)
}

const chainOf = (members: readonly FuelRun[]): string => members.map(({ route }) => route).join(' ')

const roadsOf = (members: readonly FuelRun[]): number[] => [...new Set(members.map(({ route }) => route))]

/** What occurs in more than one span. */
const drivenAgain = <T>(names: T[]): Set<T> => new Set(names.filter((one, i) => names.indexOf(one) !== i))

/**
 * All drives together where they took one road, or a chain of roads that is driven again, so that such spans are compared
 * as they are; else those of each road that is driven again, and the others count as other driving.
 */
function groupsOf(members: FuelRun[], again: { chains: Set<string>; roads: Set<number> }): FuelRun[][] {
  const roads = roadsOf(members)
  if (roads.length === 1 || again.chains.has(chainOf(members))) return [members]
  const common = roads.filter((road) => again.roads.has(road))
  return (common.length > 0 ? common : roads).map((road) => members.filter(({ route }) => route === road))
}

/** How much of a span's fuel went into some of its drives, and the draws of the error of its logarithm. */
function shareOf(
  group: readonly FuelRun[],
  inside: readonly FuelRun[],
  span: SpanDriving,
  otherEnergy: OtherEnergy,
  settings: Settings,
): { share: number; errors: Float64Array | null } {
  const own = new Set(group.map(({ id }) => id))
  const rest = inside.filter(({ id }) => !own.has(id))
  const unseenM = Math.max(0, Number.isNaN(span.unrecordedM) ? 0 : span.unrecordedM)
  if (rest.length === 0 && span.others.length === 0 && unseenM === 0 && span.unrecordedSdM === 0) {
    return { share: 1, errors: null }
  }
  const perMetre = group.every(({ demandDraws }) => demandDraws !== null)
  const draw = (name: string): Float64Array => drawsOf(`claim/${name}`, settings.draws, settings.seed)
  const ownM = group.reduce((sum, { distanceM }) => sum + distanceM, 0)
  const ownJ = new Float64Array(settings.draws).fill(perMetre ? 0 : ownM)
  if (perMetre) for (const run of group) add(ownJ, scaledBy(run.demandDraws, run.distanceM))
  const meanPerM = mean(ownJ) / ownM
  const byDistance = (name: string, distanceM: number, sdM: number): Float64Array =>
    draw(name).map((z) => Math.max(0, meanPerM * (distanceM + sdM * z)))
  const restJ = new Float64Array(settings.draws)
  for (const run of rest) add(restJ, energyOrDistance(run, perMetre, byDistance))
  for (const { fromTime, distanceM } of span.others) {
    const energy = perMetre ? otherEnergy(fromTime) : null
    add(restJ, energy ?? byDistance(`other/${fromTime}`, distanceM, OTHER_PER_DISTANCE_SD * distanceM))
  }
  const unseenSdM = rootSumOfSquares([span.unrecordedSdM, OTHER_PER_DISTANCE_SD * unseenM])
  // What was driven unseen may be more, or less than nothing by the readings: the draws may go below zero.
  const name = `unseen/${fillName(span.span.closing)}`
  const unseenJ = draw(name).map((z) => meanPerM * (unseenM + unseenSdM * z))
  const logs = ownJ.map((energy, k) => Math.log(energy / (energy + restJ[k] + unseenJ[k])))
  const log = mean(logs)
  return { share: Math.exp(log), errors: logs.map((value) => value - log) }
}

const scaledBy = (draws: Float64Array | null, factor: number): Float64Array =>
  (draws ?? new Float64Array(0)).map((value) => value * factor)

function energyOrDistance(
  { id, demandDraws, distanceM }: FuelRun,
  perMetre: boolean,
  byDistance: (name: string, distanceM: number, sdM: number) => Float64Array,
): Float64Array {
  if (perMetre && demandDraws) return scaledBy(demandDraws, distanceM)
  return byDistance(`other/${id}`, distanceM, OTHER_PER_DISTANCE_SD * distanceM)
}

function add(sum: Float64Array, draws: Float64Array): void {
  for (let k = 0; k < sum.length; k++) sum[k] += draws[k]
}

/** The span's fuel as a row of the drives that had it. */
function rowOf(
  { span }: SpanDriving,
  group: FuelRun[],
  setup: string | null,
  electricKwh: number,
  share: number,
  file: string,
): RunRow {
  const own = group.length === 1 ? group[0].row : emptyRow(span.closing.line)
  const amount = share * span.amount
  return {
    ...own,
    line: span.closing.line,
    file: span.closing.file ?? file,
    track: own.track || group.map(({ id }) => id).join(', '),
    setup,
    fuelLitres: span.unit === 'l' ? amount : Number.NaN,
    fuelKg: span.unit === 'kg' ? amount : Number.NaN,
    energyKwh: span.unit === 'kWh' ? amount : span.unit === 'l' && electricKwh !== 0 ? electricKwh : Number.NaN,
    fuelTemperatureK: meanTemperatureK(span.fills, span.unit),
  }
}

const NO_ELECTRICITY: { energyKwh: number; errors: NamedError[] } = { energyKwh: 0, errors: [] }

/** How full the battery was behind a row of fuel: what was charged in that row counts with the span that it ends. */
const socBehind = (fill: FillRow): number =>
  Number.isFinite(fill.socAfter) || filledIn(fill, 'kWh') > 0 ? fill.socAfter : fill.socBefore

/** What a plug-in hybrid's battery gave between two fills of fuel. */
export function electricityIn(
  { unit, amount, chargedKwh, opening, closing }: FillSpan,
  fills: readonly FillRow[],
  battery: BatterySettings,
): { energyKwh: number; errors: NamedError[] } {
  if (unit !== 'l') return NO_ELECTRICITY
  const charges = fills.map((fill) => filledIn(fill, 'kWh', battery)).filter((kwh) => kwh > 0)
  const largestKwh = charges.reduce((most, kwh) => Math.max(most, kwh), 0)
  const ends = { openingSoc: socBehind(opening), closingSoc: socBehind(closing) }
  const names = { openingName: fillName(opening), closingName: fillName(closing) }
  return electricityBetweenFills({ litres: amount, chargedKwh, ...ends, ...names }, largestKwh, battery)
}

/** Of a hybrid: how full the battery was at the fills, where the drives' own rows do not say; their part of the change. */
function withCharge(row: RunRow, { unit, opening, closing }: FillSpan, share: number): RunRow {
  const end = Number.isFinite(closing.socBefore) ? closing.socBefore : closing.socAfter
  const begin = Number.isFinite(opening.socAfter) ? opening.socAfter : opening.socBefore
  if (unit === 'kWh' || Number.isFinite(row.socBefore) || Number.isNaN(begin - end)) return row
  return { ...row, socBefore: end + share * (begin - end), socAfter: end }
}

/** Errors of a battery's state of charge at the ends of a span; of fuel, and where it is not known, nothing. */
function batteryOf(span: FillSpan, battery: BatterySettings): Pick<FuelRun, 'batteryErrors'> {
  const { charge, amount, opening, closing } = span
  if (charge === null) return {}
  const ends = { openingSoc: charge.opening, closingSoc: charge.closing }
  const names = { openingName: fillName(opening), closingName: fillName(closing) }
  return { batteryErrors: chargeErrors({ amount, ...ends, ...names }, battery) }
}

/** The fills that a span's fuel was measured with. */
export function fuelOf(span: FillSpan): Omit<LogFuel, 'shareErrors'> {
  const { opening, closing, fills, amount, unit } = span
  // Fills of which nobody says where are taken to be at pumps of their own.
  const names = fills.map((fill) => fill.pump?.toLowerCase() ?? `of ${fillName(fill)}`)
  const pumps = [...new Set(names)].map((name) => ({
    name,
    share: fills.reduce((sum, fill, i) => (names[i] === name ? sum + filledIn(fill, unit) / amount : sum), 0),
  }))
  return { openingFill: fillName(opening), closingFill: fillName(closing), whole: amount, pumps }
}

/** By amount; NaN where it was not read at every fill. */
export function meanTemperatureK(fills: FillRow[], unit: FillSpan['unit']): number {
  const total = fills.reduce((sum, fill) => sum + filledIn(fill, unit), 0)
  return fills.reduce((sum, fill) => sum + (fill.fuelTemperatureK * filledIn(fill, unit)) / total, 0)
}
