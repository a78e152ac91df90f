import { rootSumOfSquares, square } from '../../base/arithmetic.ts'
import { present } from '../../base/present.ts'
import { mean, standardDeviation, sum } from '../../base/statistics.ts'
import { studentQuantile } from '../../base/student.ts'
import { rowKey } from '../../read/runs/rows.ts'
import { amountIn, campaignUnit, type FuelUnit, readFuel } from '../fuel/measure.ts'
import { intervalsAbout } from '../model/effects.ts'
import type { ClaimSettings, FuelRun, Interval95 } from '../types.ts'
import { type ControlPair, controlPairs } from './control-pairs.ts'
import { NORMAL_95, type RatioChange, ratioChange } from './ratio-change.ts'

/** One run of the test vehicle over that of the control vehicle. */
export interface Ratio extends ControlPair {
  /** In the unit of the claim. */
  testAmount: number
  controlAmount: number
  ratio: number
}

/** What one setup of a test vehicle did, by the ratio to a control vehicle that was not changed. */
export interface ControlChange {
  setup: string
  baseline: string
  /** As runs.csv calls the test vehicle; null where it does not. */
  vehicle: string | null
  controlVehicle: string | null
  /** The road of the test vehicle's recordings; null of runs without any. */
  route: number | null
  unit: FuelUnit
  ratios: { setup: Ratio[]; baseline: Ratio[] }
  /** By the ratios alone; null for too few. */
  byRatio: RatioChange | null
  /** By the ratios over those that the model predicts from both recordings; null where these are not known. */
  withModel: RatioChange | null
  /** What the control vehicle's own consumption changed by, and what the model makes of its recordings. */
  ofControl: { measuredPct: Interval95; modelledPct: Interval95 | null; agree: boolean | null } | null
}

/** A run that is in no ratio. */
export interface UnusedRun {
  run: FuelRun
  why: 'control-without-test' | 'test-without-control' | 'ratio-without-fuel' | 'ratio-without-setup'
}

/** Runs whose fuel is not that of their road. */
const NOT_OF_THE_ROAD: readonly (string | undefined)[] = ['stated', 'part', 'detour']

/**
 * What each setup of each test vehicle did, by the ratios to the control vehicle.
 * @param runs of all vehicles
 */
export function controlChanges(
  runs: readonly FuelRun[],
  isControl: (run: FuelRun) => boolean,
  baseline: string,
  settings: ClaimSettings,
): { changes: ControlChange[]; unused: UnusedRun[] } {
  const unit = campaignUnit([...runs])
  if (unit === null)
    return { changes: [], unused: oneOfEachRow(runs).map((run) => ({ run, why: 'ratio-without-fuel' })) }
  const measured = runs.filter(({ row }) => amountIn(row, unit) > 0)
  const usable = measured.filter(({ leftOut }) => !NOT_OF_THE_ROAD.includes(leftOut?.code))
  const { pairs, controlsAlone, testsAlone } = controlPairs(
    usable.filter((run) => !isControl(run)),
    usable.filter(isControl),
  )
  const groups = new Map<string, Ratio[]>()
  for (const ratio of ratiosOf(pairs, usable, unit, settings)) {
    const key = JSON.stringify([ratio.test.row.vehicle, routeOf(ratio)])
    groups.set(key, [...(groups.get(key) ?? []), ratio])
  }
  const changes = [...groups.values()].flatMap((group) => {
    const of = (setup: string): Ratio[] => group.filter(({ test }) => test.setup === setup)
    const setups = [...new Set(group.flatMap(({ test }) => test.setup ?? []))].filter((setup) => setup !== baseline)
    return setups.map((setup) => changeOf(setup, baseline, of(setup), of(baseline), unit))
  })
  const rowsWithFuel = new Set(measured.map(({ row }) => rowKey(row)))
  const withoutFuel = runs.filter((run) => !rowsWithFuel.has(rowKey(run.row)) && (isControl(run) || !hasTrack(run)))
  const withoutSetup = pairs.flatMap(({ test }) => (test.setup === null ? [test] : []))
  return {
    changes,
    unused: [
      ...controlsAlone.map((run) => ({ run, why: 'control-without-test' as const })),
      ...testsAlone.map((run) => ({ run, why: 'test-without-control' as const })),
      ...oneOfEachRow(withoutFuel).map((run) => ({ run, why: 'ratio-without-fuel' as const })),
      ...withoutSetup.map((run) => ({ run, why: 'ratio-without-setup' as const })),
    ],
  }
}

/** A row of several drives or laps is told once. */
const oneOfEachRow = (runs: readonly FuelRun[]): FuelRun[] => [
  ...new Map(runs.map((run) => [rowKey(run.row), run])).values(),
]

function ratiosOf(pairs: ControlPair[], runs: FuelRun[], unit: FuelUnit, settings: ClaimSettings): Ratio[] {
  const amounts = new Map(readFuel(runs, unit, settings).map((reading, i) => [runs[i], reading?.amount]))
  return pairs.map((pair) => {
    const testAmount = present(amounts.get(pair.test))
    const controlAmount = present(amounts.get(pair.control))
    return { ...pair, testAmount, controlAmount, ratio: testAmount / controlAmount }
  })
}

const hasTrack = ({ distanceM }: FuelRun): boolean => distanceM > 0

const routeOf = ({ test }: ControlPair): number | null => (hasTrack(test) ? test.route : null)

function changeOf(setup: string, baseline: string, mine: Ratio[], base: Ratio[], unit: FuelUnit): ControlChange {
  const plain = (ratios: Ratio[]): number[] => ratios.map(({ ratio }) => ratio)
  const [{ test, control }] = mine
  return {
    setup,
    baseline,
    vehicle: test.row.vehicle,
    controlVehicle: control.row.vehicle,
    route: routeOf(mine[0]),
    unit,
    ratios: { setup: mine, baseline: base },
    byRatio: ratioChange(plain(base), plain(mine)),
    withModel: changeWithModel(mine, base),
    ofControl: changeOfControl(mine, base),
  }
}

/** K draws of the logarithm of what the unchanged vehicle needs for the whole drive; null where that is not known. */
function logEnergy({ demandDraws, distanceM }: FuelRun): Float64Array | null {
  if (!demandDraws?.every((demand) => demand > 0) || !(distanceM > 0)) return null
  return demandDraws.map((demand) => Math.log(demand * distanceM))
}

/** A ratio's predicted logarithm draw by draw: the errors that both drives share cancel. */
function predictedLog({ test, control }: ControlPair): Float64Array | null {
  if (test.route !== control.route) return null
  const [mine, beside] = [logEnergy(test), logEnergy(control)]
  return mine && beside && mine.map((value, k) => value - beside[k])
}

function changeWithModel(mine: Ratio[], base: Ratio[]): RatioChange | null {
  const corrected = (ratios: Ratio[]): { ratio: number; log: Float64Array }[] =>
    ratios.flatMap((each) => {
      const log = predictedLog(each)
      return log ? [{ ratio: each.ratio / Math.exp(mean(log)), log }] : []
    })
  const [ofSetup, ofBase] = [corrected(mine), corrected(base)]
  if (ofSetup.length === 0 || ofBase.length === 0) return null
  return ratioChange(
    ofBase.map(({ ratio }) => ratio),
    ofSetup.map(({ ratio }) => ratio),
    standardDeviation(differenceOfMeans(ofSetup, ofBase)),
  )
}

/** K draws of the difference between the mean logarithms of two groups. */
function differenceOfMeans(
  mine: readonly { log: Float64Array }[],
  base: readonly { log: Float64Array }[],
): Float64Array {
  const meanAt = (group: readonly { log: Float64Array }[], k: number): number =>
    group.reduce((sum, { log }) => sum + log[k], 0) / group.length
  return mine[0].log.map((_, k) => meanAt(mine, k) - meanAt(base, k))
}

/** What conditions did to the control vehicle between the two segments, as measured and by the model. */
function changeOfControl(mine: Ratio[], base: Ratio[]): ControlChange['ofControl'] {
  const logs = (ratios: Ratio[]): number[] => ratios.map(({ controlAmount }) => Math.log(controlAmount))
  const [after, before] = [logs(mine), logs(base)]
  const degreesOfFreedom = after.length + before.length - 2
  if (after.length === 0 || before.length === 0 || degreesOfFreedom < 1) return null
  const squares = [after, before].flatMap((group) => group.map((value) => square(value - mean(group))))
  const pooledSd = Math.sqrt(sum(squares) / degreesOfFreedom)
  const measured = {
    log: mean(after) - mean(before),
    half: studentQuantile(0.975, degreesOfFreedom) * pooledSd * Math.sqrt(1 / after.length + 1 / before.length),
  }
  const modelled = modelledChange(mine, base)
  const percent = ({ log, half }: LogChange): Interval95 => intervalsAbout(log, half).consumptionChangePct
  return {
    measuredPct: percent(measured),
    modelledPct: modelled && percent(modelled),
    agree: modelled && Math.abs(measured.log - modelled.log) <= rootSumOfSquares([measured.half, modelled.half]),
  }
}

interface LogChange {
  log: number
  /** Half of the 95 % interval. */
  half: number
}

/** What the model makes of the control vehicle's recordings, or of the test vehicle's where it has none. */
function modelledChange(mine: Ratio[], base: Ratio[]): LogChange | null {
  const logsOf = (ratios: Ratio[], who: 'control' | 'test'): { log: Float64Array }[] =>
    ratios.flatMap((ratio) => {
      const log = logEnergy(ratio[who])
      return log ? [{ log }] : []
    })
  for (const who of ['control', 'test'] as const) {
    const [after, before] = [logsOf(mine, who), logsOf(base, who)]
    if (after.length < mine.length || before.length < base.length) continue
    const difference = differenceOfMeans(after, before)
    return { log: mean(difference), half: NORMAL_95 * standardDeviation(difference) }
  }
  return null
}
