import type { Severity } from '../base/problem.ts'
import { METRES_PER_MILE } from '../base/units.ts'
import { nearestWord } from '../read/table/nearest-word.ts'
import { ODOMETER_AGREES_WITHIN, odometerRatio } from './fuel/consumption.ts'
import { amountIn, campaignUnit, type FuelUnit } from './fuel/measure.ts'
import type { ClaimSettings, FuelRun, ImpossibleFuel, LeftOut } from './types.ts'

/** What is wrong with the ledger of fuel and setups, as codes and figures. */
export type LedgerFault =
  | ({ code: 'impossible-consumption'; track: string } & ImpossibleFuel)
  | { code: 'setup-undefined'; setup: string; runs: number; defined: string[]; near: string | null }
  | { code: 'baseline-never-driven'; baseline: string; driven: string[]; near: string | null }
  | { code: 'setups-alike'; setups: { name: string; runs: number }[] }
  | { code: 'baseline-assumed'; baseline: string; by: 'only-without-parts' | 'driven-first' }
  | { code: 'fuel-without-setup'; tracks: string[] }
  | { code: 'mixed-fuel-units'; unit: FuelUnit; runs: number; found: FuelUnit[] }
  | { code: 'fuel-and-electricity'; unit: FuelUnit; runs: number }
  /** `share`: odometer over GPS distance, less 1. */
  | { code: 'odometer-off'; share: number }
  | {
      code: 'odometer-disagrees'
      track: string
      odometerM: number
      corrected: boolean
      distanceM: number
      share: number
    }
  | { code: 'fill-chain-broken'; track: string; fillGroup: string }

/** Lines are those of runs.csv, whose name is for the caller to say, or of the file named. */
export type ClaimProblem = LedgerFault & { severity: Severity; line?: number; file?: string }

const placeOf = ({ line, file }: FuelRun['row']): { line: number; file?: string } => ({ line, ...(file && { file }) })

/**
 * What a vehicle can use over 100 km, in each unit: from a car of an efficiency contest (3800 km with a litre, 1200 km with
 * a kilowatt hour) to a loaded lorry uphill. What is odd for the vehicle itself is told by the level check, and left out of
 * nothing. Common practice, no source; the contests' records from memory.
 */
const POSSIBLE_PER_100KM: Record<FuelUnit, { low: number; high: number }> = {
  l: { low: 0.02, high: 300 },
  kg: { low: 0.015, high: 250 },
  kWh: { low: 0.05, high: 1000 },
}
/** A run this many times its route's middle consumption, or this small a part of it, is a slip. */
const FACTOR_OF_A_SLIP = 3

/** What is wrong with the ledger of fuel and setups. */
export function claimProblems(runs: FuelRun[], settings: ClaimSettings): ClaimProblem[] {
  const unit = campaignUnit(runs)
  return [
    ...setupProblems(runs, settings),
    ...(unit ? unitProblems(runs, unit) : []),
    ...(unit ? impossibleProblems(runs, unit) : []),
    ...odometerProblems(runs),
    ...(unit === 'l' ? chainProblems(runs) : []),
  ]
}

function impossibleProblems(runs: FuelRun[], unit: FuelUnit): ClaimProblem[] {
  return [...impossibleRuns(runs, unit)].map(([{ row }, fuel]) => ({
    ...fuel,
    code: 'impossible-consumption',
    severity: 'error',
    ...placeOf(row),
    track: row.track,
  }))
}

/** Runs whose fuel cannot be right, with its figures. */
export function impossibleRuns(
  runs: FuelRun[],
  unit: FuelUnit,
): Map<FuelRun, Extract<LeftOut, { code: 'impossible-fuel' }>> {
  const of = (run: FuelRun): number => (amountIn(run.row, unit) / run.distanceM) * 1e5
  const middleOn = (route: FuelRun['route']): number | null =>
    middleOf(
      runs
        .filter((run) => run.route === route)
        .map(of)
        .filter(Number.isFinite),
    )
  const { low, high } = POSSIBLE_PER_100KM[unit]
  const found = new Map<FuelRun, Extract<LeftOut, { code: 'impossible-fuel' }>>()
  const middles = new Map([...new Set(runs.map(({ route }) => route))].map((route) => [route, middleOn(route)]))
  for (const run of runs) {
    const per100Km = of(run)
    if (!(Number.isFinite(per100Km) && per100Km > 0)) continue
    const middle = middles.get(run.route) ?? null
    const slip = middle !== null && (per100Km > FACTOR_OF_A_SLIP * middle || per100Km < middle / FACTOR_OF_A_SLIP)
    const possible = per100Km >= low && per100Km <= high
    if (possible && !slip) continue
    const { distanceM } = run
    const amount = amountIn(run.row, unit)
    found.set(run, {
      code: 'impossible-fuel',
      amount,
      unit,
      distanceM,
      per100Km,
      low,
      high,
      usual: possible ? middle : null,
    })
  }
  return found
}

/** Of three values or more; null for fewer, which do not tell which one is the slip. */
function middleOf(values: number[]): number | null {
  if (values.length < 3) return null
  return values.sort((a, b) => a - b)[values.length >> 1]
}

function setupProblems(runs: FuelRun[], { setups, baseline }: ClaimSettings): ClaimProblem[] {
  const problems: ClaimProblem[] = []
  const defined = Object.keys(setups)
  const undefinedSetups = new Map<string, FuelRun[]>()
  for (const run of runs) {
    if (run.setup === null || defined.length === 0 || Object.hasOwn(setups, run.setup)) continue
    undefinedSetups.set(run.setup, [...(undefinedSetups.get(run.setup) ?? []), run])
  }
  for (const [setup, of] of undefinedSetups) {
    problems.push({
      code: 'setup-undefined',
      severity: 'warning',
      ...placeOf(of.reduce((first, run) => (run.row.line < first.row.line ? run : first)).row),
      setup,
      runs: of.length,
      defined,
      near: nearestWord(setup, defined) ?? null,
    })
  }
  const driven = [...new Set(runs.flatMap(({ setup }) => setup ?? []))]
  if (baseline !== null && runs.length > 0 && !driven.includes(baseline)) {
    const near = nearestWord(baseline, driven)
    problems.push({ code: 'baseline-never-driven', severity: 'error', baseline, driven, near })
  }
  for (const alike of writtenAlike(driven)) {
    // What campaign.yaml does not define is told above, with the name that it defines.
    if (alike.some((setup) => undefinedSetups.has(setup))) continue
    const of = alike.map((setup) => runs.filter((run) => run.setup === setup))
    const setups = alike.map((setup, i) => ({ name: setup, runs: of[i].length }))
    problems.push({ code: 'setups-alike', severity: 'warning', ...placeOf(of[1][0].row), setups })
  }
  const nameless = runs.filter((r) => r.setup === null && hasFuel(r))
  if (nameless.length > 0) {
    const tracks = nameless.map((r) => r.row.track)
    problems.push({ code: 'fuel-without-setup', severity: 'warning', ...placeOf(nameless[0].row), tracks })
  }
  return problems
}

/** Names that differ by capitals, spaces, hyphens, underlines or full stops alone, in groups of two or more. */
function writtenAlike(names: readonly string[]): string[][] {
  const groups = new Map<string, string[]>()
  for (const name of names) {
    const form = name
      .normalize('NFKC')
      .toLowerCase()
      .replace(/[\s\p{Pd}_.]+/gu, '')
    groups.set(form, [...(groups.get(form) ?? []), name])
  }
  return [...groups.values()].filter(({ length }) => length > 1)
}

const UNITS: FuelUnit[] = ['l', 'kg', 'kWh']

const hasFuel = ({ row }: FuelRun): boolean => UNITS.some((unit) => amountIn(row, unit) > 0)

function unitProblems(runs: FuelRun[], unit: FuelUnit): ClaimProblem[] {
  const others = runs.filter((r) => hasFuel(r) && !(amountIn(r.row, unit) > 0))
  const problems: ClaimProblem[] = []
  if (others.length > 0) {
    const found = UNITS.filter((u) => u !== unit && others.some((r) => amountIn(r.row, u) > 0))
    const place = placeOf(others[0].row)
    problems.push({ code: 'mixed-fuel-units', severity: 'warning', ...place, unit, runs: others.length, found })
  }
  const both = runs.filter(({ row }) => row.energyKwh > 0 && (row.fuelLitres > 0 || row.fuelKg > 0))
  if (both.length > 0) {
    const place = placeOf(both[0].row)
    problems.push({ code: 'fuel-and-electricity', severity: 'warning', ...place, unit, runs: both.length })
  }
  return problems
}

/** Within this share a ratio is that of a mile and a kilometre: odometers are off by some percent. */
const SAME_RATIO = 0.06

/** What an odometer's distances are in truth, by how much more they read than GPS: the column says the other unit. */
export function unitOfOdometer(share: number): 'miles' | 'kilometres' | null {
  const kmPerMile = METRES_PER_MILE / 1000
  if (Math.abs((1 + share) * kmPerMile - 1) < SAME_RATIO) return 'miles'
  return Math.abs((1 + share) / kmPerMile - 1) < SAME_RATIO ? 'kilometres' : null
}

function odometerProblems(runs: FuelRun[]): ClaimProblem[] {
  const ratio = odometerRatio(runs)
  const problems: ClaimProblem[] = []
  if (Math.abs(ratio - 1) > ODOMETER_AGREES_WITHIN) {
    const severity = unitOfOdometer(ratio - 1) === null ? 'note' : 'warning'
    problems.push({ code: 'odometer-off', severity, share: ratio - 1 })
  }
  for (const { row, distanceM } of runs) {
    const share = row.odometerM / ratio / distanceM - 1
    if (!(distanceM > 0 && Math.abs(share) > ODOMETER_AGREES_WITHIN)) continue
    const { track, odometerM } = row
    const corrected = ratio !== 1
    problems.push({
      code: 'odometer-disagrees',
      severity: 'warning',
      ...placeOf(row),
      track,
      odometerM,
      corrected,
      distanceM,
      share,
    })
  }
  return problems
}

/** A run of a chain without its own fill leaves its fuel to the next one. */
function chainProblems(runs: FuelRun[]): ClaimProblem[] {
  return runs.flatMap((run): ClaimProblem[] => {
    const { fillGroup, line, track } = run.row
    if (fillGroup === null || run.row.fuelLitres > 0) return []
    const later = runs.some((r) => r.row.fillGroup === fillGroup && r.row.fuelLitres > 0 && r.startTime > run.startTime)
    return later ? [{ code: 'fill-chain-broken', severity: 'warning', line, track, fillGroup }] : []
  })
}
