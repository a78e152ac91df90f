import { describe, expect, it } from 'vitest'
import { controlPairs } from '../../../src/claim/control/control-pairs.ts'
import type { FuelRun } from '../../../src/claim/types.ts'
import { emptyRow } from '../synthetic-campaign.ts'

const DAY_S = 86_400

/** A run of which the row alone is known. */
const run = (line: number, vehicle: string, startTime: number, durationS: number): FuelRun => ({
  id: `line ${line}`,
  route: -1,
  setup: 'a',
  startTime,
  endTime: startTime + durationS,
  distanceM: durationS === DAY_S || durationS === 0 ? Number.NaN : 20 * durationS,
  row: emptyRow({ line, vehicle, fuelKg: 20 }),
  demandDraws: null,
  nominalDemandJPerM: Number.NaN,
  nominalDragJPerM: Number.NaN,
  leftOut: null,
})
const ofDay = (line: number, vehicle: string, day = 0): FuelRun => run(line, vehicle, day * DAY_S, DAY_S)
const lines = (tests: FuelRun[], controls: FuelRun[]): [number, number][] =>
  controlPairs(tests, controls)
    .pairs.map(({ test, control }): [number, number] => [test.row.line, control.row.line])
    .toSorted(([a], [b]) => a - b)

// What "at the same time" means is common practice, no source.
describe('controlPairs', () => {
  it('pairs recordings that overlap, and no others', () => {
    const tests = [run(1, 'T', 0, 3600), run(2, 'T', 10_000, 3600)]
    const controls = [run(3, 'C', 120, 3600), run(4, 'C', 20_000, 3600)]
    expect(lines(tests, controls)).toEqual([[1, 3]])
    expect(controlPairs(tests, controls).controlsAlone.map(({ row }) => row.line)).toEqual([4])
    expect(controlPairs(tests, controls).testsAlone.map(({ row }) => row.line)).toEqual([2])
  })

  it('pairs a noted time with the recording that it falls into', () => {
    expect(lines([run(1, 'T', 0, 3600), run(2, 'T', 7200, 3600)], [run(3, 'C', 7300, 0)])).toEqual([[2, 3]])
  })

  it('pairs runs of a day in their order where both vehicles have as many', () => {
    const tests = [ofDay(1, 'T'), ofDay(2, 'T'), ofDay(3, 'T', 1)]
    const controls = [ofDay(4, 'C'), ofDay(5, 'C'), ofDay(6, 'C', 1)]
    expect(lines(tests, controls)).toEqual([
      [1, 4],
      [2, 5],
      [3, 6],
    ])
  })

  it('pairs rows that stand together where a vehicle stayed at home', () => {
    const tests = [ofDay(1, 'T'), ofDay(2, 'U'), ofDay(4, 'T'), ofDay(6, 'U')]
    const controls = [ofDay(3, 'C'), ofDay(5, 'C'), ofDay(7, 'C')]
    expect(lines(tests, controls)).toEqual([
      [1, 3],
      [2, 3],
      [4, 5],
      [6, 7],
    ])
  })

  it('gives one control run to each of two test vehicles, and never twice to one', () => {
    const tests = [run(1, 'T', 0, 3600), run(2, 'U', 60, 3600), run(3, 'T', 1500, 3600)]
    expect(lines(tests, [run(4, 'C', 30, 3600)])).toEqual([
      [1, 4],
      [2, 4],
    ])
  })
})
