import type { Problem } from '../base/problem.ts'
import { nearestWord } from '../read/nearest-word.ts'
import { ODOMETER_AGREES_WITHIN, odometerRatio } from './consumption.ts'
import { amountIn, campaignUnit, type FuelUnit } from './measure.ts'
import type { ClaimSettings, FuelRun } from './types.ts'
import { counted, figure, listed } from './wording.ts'

/** What a road vehicle can use over 100 km, in each unit: from a moped to a loaded lorry uphill. Common practice, no source. */
const POSSIBLE_PER_100KM: Record<FuelUnit, { low: number; high: number }> = {
  l: { low: 0.8, high: 120 },
  kg: { low: 0.6, high: 100 },
  kWh: { low: 3, high: 400 },
}
/** A run this many times its route's middle consumption, or this small a part of it, is a slip. */
const FACTOR_OF_A_SLIP = 3

const UNIT_WORDS: Record<FuelUnit, string> = { l: 'litres', kg: 'kilograms', kWh: 'kilowatt-hours' }

/** What is wrong with the ledger of fuel and setups. Lines are those of runs.csv; the file is for the caller to say. */
export function claimProblems(runs: FuelRun[], settings: ClaimSettings): Problem[] {
  const unit = campaignUnit(runs)
  return [
    ...setupProblems(runs, settings),
    ...(unit ? unitProblems(runs, unit) : []),
    ...(unit ? impossibleRuns(runs, unit).map(({ problem }) => problem) : []),
    ...odometerProblems(runs),
    ...(unit === 'l' ? chainProblems(runs) : []),
  ]
}

/** Runs whose fuel cannot be right, with the reason in words. */
export function impossibleRuns(runs: FuelRun[], unit: FuelUnit): { run: FuelRun; reason: string; problem: Problem }[] {
  const of = (run: FuelRun): number => (amountIn(run.row, unit) / run.distanceM) * 1e5
  const { low, high } = POSSIBLE_PER_100KM[unit]
  return runs.flatMap((run) => {
    const per100Km = of(run)
    if (!(Number.isFinite(per100Km) && per100Km > 0)) return []
    const middle = middleOf(
      runs
        .filter((r) => r.route === run.route)
        .map(of)
        .filter(Number.isFinite),
    )
    const slip = middle !== null && (per100Km > FACTOR_OF_A_SLIP * middle || per100Km < middle / FACTOR_OF_A_SLIP)
    if (per100Km >= low && per100Km <= high && !slip) return []
    const expected =
      slip && per100Km >= low && per100Km <= high
        ? `about ${figure(middle)} as in the other runs of this road`
        : `${low} to ${high}`
    const found = `${figure(amountIn(run.row, unit), 2)} ${unit} for ${figure(run.distanceM / 1000)} km is ${figure(per100Km)} ${unit} per 100 km, expected ${expected}`
    const problem: Problem = {
      code: 'impossible-consumption',
      severity: 'error',
      line: run.row.line,
      message: `${run.row.track}: ${found}; the run is left out of every claim`,
      hint: 'Is the unit in the column name right, and does the fill belong to this run alone?',
    }
    return [{ run, reason: `its fuel cannot be right: ${found}`, problem }]
  })
}

/** Of three values or more; null for fewer, which do not tell which one is the slip. */
function middleOf(values: number[]): number | null {
  if (values.length < 3) return null
  return values.sort((a, b) => a - b)[values.length >> 1]
}

function setupProblems(runs: FuelRun[], { setups, baseline }: ClaimSettings): Problem[] {
  const problems: Problem[] = []
  const known = Object.keys(setups)
  const undefinedSetups = new Map<string, FuelRun[]>()
  for (const run of runs) {
    if (run.setup === null || known.length === 0 || Object.hasOwn(setups, run.setup)) continue
    undefinedSetups.set(run.setup, [...(undefinedSetups.get(run.setup) ?? []), run])
  }
  for (const [setup, of] of undefinedSetups) {
    const near = nearestWord(setup, known)
    problems.push({
      code: 'setup-undefined',
      severity: 'warning',
      line: Math.min(...of.map((r) => r.row.line)),
      message: `the setup "${setup}" of ${counted(of.length, 'run')} is not defined in campaign.yaml; defined are ${listed(known)}. It is taken as a setup of its own`,
      ...(near ? { hint: `Did you mean ${near}?` } : {}),
    })
  }
  if (baseline !== null && runs.length > 0 && !runs.some((r) => r.setup === baseline)) {
    problems.push({
      code: 'baseline-never-driven',
      severity: 'error',
      message: `no run has the setup "${baseline}", which is the baseline: there is nothing to hold the other setups against`,
    })
  }
  const nameless = runs.filter((r) => r.setup === null && hasFuel(r))
  if (nameless.length > 0) {
    problems.push({
      code: 'fuel-without-setup',
      severity: 'warning',
      line: nameless[0].row.line,
      message: `${counted(nameless.length, 'run')} with fuel ${nameless.length === 1 ? 'has' : 'have'} no setup and ${nameless.length === 1 ? 'counts' : 'count'} for no claim: ${listed(nameless.slice(0, 5).map((r) => r.row.track))}${nameless.length > 5 ? ' and others' : ''}`,
    })
  }
  return problems
}

const UNITS: FuelUnit[] = ['l', 'kg', 'kWh']

const hasFuel = ({ row }: FuelRun): boolean => UNITS.some((unit) => amountIn(row, unit) > 0)

function unitProblems(runs: FuelRun[], unit: FuelUnit): Problem[] {
  const others = runs.filter((r) => hasFuel(r) && !(amountIn(r.row, unit) > 0))
  const problems: Problem[] = []
  if (others.length > 0) {
    const found = UNITS.filter((u) => u !== unit && others.some((r) => amountIn(r.row, u) > 0)).map(
      (u) => UNIT_WORDS[u],
    )
    problems.push({
      code: 'mixed-fuel-units',
      severity: 'warning',
      line: others[0].row.line,
      message: `most runs have their fuel in ${UNIT_WORDS[unit]}, ${counted(others.length, 'run')} only in ${listed(found)}: expected one kind for all; ${others.length === 1 ? 'that run counts' : 'those runs count'} for no claim`,
    })
  }
  const both = runs.filter(({ row }) => row.energyKwh > 0 && (row.fuelLitres > 0 || row.fuelKg > 0))
  if (both.length > 0) {
    problems.push({
      code: 'fuel-and-electricity',
      severity: 'warning',
      line: both[0].row.line,
      message: `${counted(both.length, 'run')} used both fuel and electricity; the claims are about the ${UNIT_WORDS[unit]} alone`,
      hint: 'A plug-in vehicle should begin and end each run with the same charge.',
    })
  }
  return problems
}

function odometerProblems(runs: FuelRun[]): Problem[] {
  const ratio = odometerRatio(runs)
  const problems: Problem[] = []
  if (Math.abs(ratio - 1) > ODOMETER_AGREES_WITHIN) {
    problems.push({
      code: 'odometer-off',
      severity: 'note',
      message: `the odometer reads ${figure(100 * Math.abs(ratio - 1))} % ${ratio > 1 ? 'more' : 'less'} than GPS in all runs alike; the GPS distance is used`,
    })
  }
  for (const run of runs) {
    const apart = run.row.odometerM / ratio / run.distanceM - 1
    if (!(run.distanceM > 0 && Math.abs(apart) > ODOMETER_AGREES_WITHIN)) continue
    const usual = ratio === 1 ? '' : ', its usual error taken off,'
    problems.push({
      code: 'odometer-disagrees',
      severity: 'warning',
      line: run.row.line,
      message: `${run.row.track}: the odometer's ${figure(run.row.odometerM / 1000)} km${usual} and GPS's ${figure(run.distanceM / 1000)} km are ${figure(100 * Math.abs(apart))} % apart, expected at most ${100 * ODOMETER_AGREES_WITHIN} %; the GPS distance is used, with half of this as its doubt`,
      hint:
        apart > 0 ? 'Was the logger started late or stopped early? The fuel was used over the whole trip.' : undefined,
    })
  }
  return problems
}

/** A run of a chain without its own fill leaves its fuel to the next one. */
function chainProblems(runs: FuelRun[]): Problem[] {
  return runs.flatMap((run) => {
    const { fillGroup, line, track } = run.row
    if (fillGroup === null || run.row.fuelLitres > 0) return []
    const later = runs.some((r) => r.row.fillGroup === fillGroup && r.row.fuelLitres > 0 && r.startTime > run.startTime)
    if (!later) return []
    const message = `${track}: no fuel is given in the middle of the fill group "${fillGroup}", so the next fill may hold this run's fuel too`
    return [{ code: 'fill-chain-broken', severity: 'warning' as const, line, message }]
  })
}
