import { byCodeUnits } from '../../base/arithmetic.ts'
import type { FuelRun } from '../types.ts'

/** A run of the test vehicle and the run that the control vehicle made at the same time. */
export interface ControlPair {
  test: FuelRun
  control: FuelRun
}

export interface ControlPairs {
  pairs: ControlPair[]
  /** Runs of the control vehicle beside which no test vehicle drove. */
  controlsAlone: FuelRun[]
  testsAlone: FuelRun[]
}

/** Two notes of when a run began may differ by this. Common practice, no source. */
const SLACK_S = 30 * 60
const DAY_S = 86_400

/** Whether the day alone is known. */
const isOfDay = ({ startTime, endTime, distanceM }: FuelRun): boolean =>
  Number.isNaN(distanceM) && endTime - startTime === DAY_S

/**
 * Which runs were made at the same time: by the clock, and where the day alone is known in the order of their rows. Each
 * test vehicle has its own pairs with the control vehicle.
 */
export function controlPairs(tests: readonly FuelRun[], controls: readonly FuelRun[]): ControlPairs {
  const vehicles = [...new Set(tests.map(({ row }) => row.vehicle))]
  const blocks = blocksOf([...tests, ...controls])
  const pairs = vehicles.flatMap((vehicle) => {
    const own = tests.filter(({ row }) => row.vehicle === vehicle)
    const byClock = pairsByClock(own, controls)
    const isLeft = (run: FuelRun): boolean => !byClock.some(({ test, control }) => test === run || control === run)
    return [...byClock, ...pairsByDay(own.filter(isLeft), controls.filter(isLeft), blocks)]
  })
  return {
    pairs,
    controlsAlone: controls.filter((run) => !pairs.some(({ control }) => control === run)),
    testsAlone: tests.filter((run) => !pairs.some(({ test }) => test === run)),
  }
}

/** Runs whose times are known, those that began nearest to each other first. */
function pairsByClock(tests: readonly FuelRun[], controls: readonly FuelRun[]): ControlPair[] {
  const apart = ({ test, control }: ControlPair): number => Math.abs(test.startTime - control.startTime)
  const possible = tests
    .filter((run) => !isOfDay(run))
    .flatMap((test) => controls.filter((run) => !isOfDay(run)).map((control) => ({ test, control })))
    .filter(({ test, control }) => atOneTime(test, control))
    .sort((a, b) => apart(a) - apart(b))
  const pairs: ControlPair[] = []
  for (const pair of possible) {
    if (!pairs.some(({ test, control }) => test === pair.test || control === pair.control)) pairs.push(pair)
  }
  return pairs
}

/** Recordings that overlap by half of the shorter one; a noted moment within a recording, or near another moment. */
function atOneTime(a: FuelRun, b: FuelRun): boolean {
  const common = Math.min(a.endTime, b.endTime) - Math.max(a.startTime, b.startTime)
  const shorter = Math.min(a.endTime - a.startTime, b.endTime - b.startTime)
  return shorter === 0 ? common >= -SLACK_S : common >= shorter / 2
}

/**
 * Of one day: the first run of the test vehicle with the first one of the control vehicle and so on where they are as many,
 * or else those whose rows stand together.
 */
function pairsByDay(
  tests: readonly FuelRun[],
  controls: readonly FuelRun[],
  blocks: ReadonlyMap<FuelRun, number>,
): ControlPair[] {
  const dayOf = (run: FuelRun): number => Math.floor(run.startTime / DAY_S)
  const days = [...new Set(tests.map(dayOf))]
  return days.flatMap((day) => {
    const of = (runs: readonly FuelRun[]): FuelRun[] => runs.filter((run) => dayOf(run) === day).sort(byLine)
    const [own, beside] = [of(tests), of(controls)]
    const partner = (test: FuelRun, i: number): FuelRun | undefined =>
      own.length === beside.length ? beside[i] : beside.find((run) => blocks.get(run) === blocks.get(test))
    return own.flatMap((test, i) => {
      const control = partner(test, i)
      return control && (isOfDay(test) || isOfDay(control)) ? [{ test, control }] : []
    })
  })
}

const byLine = (a: FuelRun, b: FuelRun): number =>
  byCodeUnits(a.row.file ?? '', b.row.file ?? '') || a.row.line - b.row.line

/** Rows that stand together: the vehicles come in one order, and where it begins anew the next block does. */
function blocksOf(runs: readonly FuelRun[]): Map<FuelRun, number> {
  const order = [...new Set(runs.toSorted(byLine).map(({ row }) => row.vehicle))]
  const blocks = new Map<FuelRun, number>()
  let block = 0
  let before = -1
  for (const run of runs.toSorted(byLine)) {
    const place = order.indexOf(run.row.vehicle)
    if (place <= before) block++
    before = place
    blocks.set(run, block)
  }
  return blocks
}
