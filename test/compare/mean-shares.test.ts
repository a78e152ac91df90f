import { describe, expect, it } from 'vitest'
import { meanShares } from '../../src/compare/contributions.ts'
import { mixedSide } from '../../src/compare/mixed-demands.ts'
import { bestAtAllCells } from '../../src/compare/place-draws.ts'
import { onAxis, type RunOnAxis } from '../../src/compare/run-on-axis.ts'
import { type SharedDraws, sharedDraws } from '../../src/demand/shared-draws.ts'
import type { EnsembleRun } from '../../src/demand/types.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import type { Powertrain } from '../../src/read/campaign/settings.ts'
import { coastDown, noVehicle, scene, settings } from '../demand/scene.ts'

const CELLS = 40
const CELL_M = 15
const fill = (of: (i: number) => number): Float64Array => Float64Array.from({ length: CELLS }, (_, i) => of(i))

/** A run over 600 m in cells: what is not named is a calm, level, even drive at 20 m/s in the standard air. */
function cells(more: Partial<Record<keyof RunOnAxis, (i: number) => number>> = {}, payloadKg = 0): RunOnAxis {
  const column = (name: keyof RunOnAxis, otherwise: number): Float64Array => fill(more[name] ?? (() => otherwise))
  return {
    cellM: CELL_M,
    payloadKg,
    accessoriesW: 0,
    idlingS: column('idlingS', CELL_M / 20),
    speedMps: column('speedMps', 20),
    kineticJPerKg: column('kineticJPerKg', 0),
    climbM: column('climbM', 0),
    densityKgM3: column('densityKgM3', 1.2),
    temperatureK: column('temperatureK', 293.15),
    headMps: column('headMps', 0),
    crossMps: column('crossMps', 0),
  }
}

interface Mix {
  air: RunOnAxis
  wind: RunOnAxis
  warmth: RunOnAxis
  motion: RunOnAxis
}

/** The road load with each factor from its own run, by the textbook: angles and the Willans line, one cell at a time. */
function plainly({ air, wind, warmth, motion }: Mix, a: RunOnAxis, b: RunOnAxis, shared: SharedDraws): number {
  const { vehicle, bestExposure, bestTurbulence } = shared
  const { powertrain } = vehicle
  const massKg = vehicle.massKg.value + a.payloadKg
  let joules = 0
  let metres = 0
  for (let i = 0; i < CELLS; i++) {
    if (Number.isNaN(a.speedMps[i] + b.speedMps[i])) continue
    metres += CELL_M
    const head = bestExposure * wind.headMps[i]
    const cross = bestExposure * wind.crossMps[i]
    const airspeed = Math.hypot(motion.speedMps[i] + head, cross)
    const gust = bestTurbulence * Math.hypot(wind.headMps[i], wind.crossMps[i])
    const yaw = Math.min(Math.asin(Math.hypot(cross, gust) / Math.hypot(airspeed, gust)), (25 * Math.PI) / 180)
    const rise = 1 + vehicle.dragYawRise.value * (Math.sin(yaw) / Math.sin(Math.PI / 18)) ** 2
    const gusts = 1.5 * bestTurbulence ** 2 * (wind.headMps[i] ** 2 + wind.crossMps[i] ** 2)
    const drag =
      0.5 * air.densityKgM3[i] * vehicle.dragAreaM2.value * rise * (airspeed * (motion.speedMps[i] + head) + gusts)
    const warmer = 1 + vehicle.rollingTemperaturePerK.value * (warmth.temperatureK[i] - 293.15)
    const roll = (massKg * 9.80665 * vehicle.rollingResistance.value) / warmer
    const work =
      (drag + roll + vehicle.speedForceNPerMps * motion.speedMps[i]) * CELL_M +
      massKg * 9.80665 * a.climbM[i] +
      massKg * 1.03 * motion.kineticJPerKg[i]
    // Half of the friction at 20 m/s grows with the speed.
    const frictionN = powertrain.frictionN * (0.5 + (0.5 * motion.speedMps[i]) / 20)
    const engine = powertrain.idlePowerW.value * motion.idlingS[i] + frictionN * CELL_M
    const given = engine + powertrain.recovery.value * powertrain.efficiency * work
    joules += work > 0 ? engine + work / powertrain.efficiency : powertrain.stores ? given : Math.max(0, given)
  }
  return joules / metres
}

const FACTORS = ['air', 'wind', 'warmth', 'motion'] as const

const orders = <T>(items: readonly T[]): T[][] =>
  items.length === 0
    ? [[]]
    : items.flatMap((item) => orders(items.filter((x) => x !== item)).map((rest) => [item, ...rest]))

/** The Shapley value as its definition has it: the mean, over all 24 orders, of what a factor changes when its turn comes. */
function byOrders(a: RunOnAxis, b: RunOnAxis, shared: SharedDraws): Record<(typeof FACTORS)[number], number> {
  const shares = { air: 0, wind: 0, warmth: 0, motion: 0 }
  const start = { air: a, wind: a, warmth: a, motion: a }
  for (const order of orders(FACTORS)) {
    let mix: Mix = start
    for (const factor of order) {
      const next = { ...mix, [factor]: b }
      shares[factor] +=
        (100 * (plainly(next, a, b, shared) - plainly(mix, a, b, shared))) / plainly(start, a, b, shared) / 24
      mix = next
    }
  }
  return shares
}

const hilly = (i: number): number => 0.6 * Math.sin(i / 3)
const a = cells(
  {
    climbM: hilly,
    kineticJPerKg: (i) => (i % 8 === 2 ? 40 : i % 8 === 5 ? -40 : 0),
    headMps: () => 2,
    crossMps: () => 1,
  },
  90,
)
const b = cells({
  speedMps: (i) => (i === 7 ? Number.NaN : 24 + Math.sin(i)),
  idlingS: () => CELL_M / 24,
  kineticJPerKg: (i) => (i % 6 === 1 ? 30 : i % 6 === 4 ? -30 : 0),
  densityKgM3: (i) => 1.12 + i / 1000,
  temperatureK: (i) => 303 + i / 20,
  headMps: (i) => -4 + i / 10,
  crossMps: (i) => (i % 3 === 0 ? 30 : 6),
})

const along = (axis: RunOnAxis, shared: SharedDraws) => mixedSide(axis, bestAtAllCells(axis, shared), shared)

describe('shares of a conditions difference', () => {
  it.each<Powertrain>(['petrol', 'hybrid'])('are Shapley’s, by his definition over all orders: %s', (powertrain) => {
    const shared = sharedDraws(vehicleOf({ ...noVehicle, powertrain, coastDown }), settings)
    const want = byOrders(a, b, shared)
    const found = meanShares(along(a, shared), along(b, shared), shared, { best: 7, mean: 9 })
    expect(found.airDensity).toBeCloseTo(want.air, 9)
    // What the doubt adds to the mean, 9 − 7, is the wind's.
    expect(found.wind).toBeCloseTo(want.wind + 2, 9)
    expect(found.rollingTemperature).toBeCloseTo(want.warmth, 9)
    expect(found.speed).toBeCloseTo(want.motion, 9)
    expect(found.route).toBeCloseTo(7 - want.air - want.wind - want.warmth - want.motion, 9)
    // Efficiency of the Shapley value: they add up to the whole.
    expect(Object.values(found).reduce((sum, share) => sum + share, 0)).toBeCloseTo(9, 9)
  })

  const shared = sharedDraws(vehicleOf(noVehicle), settings)
  const thinner = cells({ densityKgM3: () => 1.1 })

  it('what does not differ has no share', () => {
    const found = meanShares(along(cells(), shared), along(thinner, shared), shared, { best: -3, mean: -3 })
    expect(found.airDensity).toBeLessThan(-1)
    expect([found.wind, found.rollingTemperature, found.speed]).toEqual([0, 0, 0])
    expect(found.route).toBeCloseTo(-3 - found.airDensity, 12)
  })

  it('air a twelfth thinner saves a twelfth of the drag’s part of the demand', () => {
    // ½·1.2·0.65·20² = 156 N of drag, 1500·9.80665·0.01 = 147.10 N of rolling; 303.10 N/0.9 + 0.07·1500 + 2250/20 = 554.27.
    const found = meanShares(along(cells(), shared), along(thinner, shared), shared, { best: 0, mean: 0 })
    expect(found.airDensity).toBeCloseTo((-100 * (156 / 12 / 0.9)) / 554.2747, 4)
  })
})

describe('a run on the cells of the axis', () => {
  /** Steps of the given ends on the axis, with all else by its place in the list. */
  function steps(ends: [number, number][], more: Partial<EnsembleRun['steps']> = {}): EnsembleRun {
    const run = scene('a', { speedMps: 20 })
    const column = (of: (i: number) => number): Float64Array =>
      Float64Array.from({ length: ends.length }, (_, i) => of(i))
    run.steps = {
      ...run.steps,
      distanceM: column((i) => ends[i][1] - ends[i][0]),
      axisFromM: column((i) => ends[i][0]),
      axisToM: column((i) => ends[i][1]),
      idlingS: column((i) => i + 1),
      speedMps: column((i) => 10 + i),
      kineticJPerKg: column((i) => 2 * i),
      climbM: column((i) => 3 * i),
      courseEast: column(() => 1),
      courseNorth: column(() => 0),
      ...more,
    }
    run.air.temperatureK = column((i) => 280 + 10 * i)
    run.air.densityKgM3 = column((i) => 1.2 - i / 10)
    run.air.windEastMps = column(() => -3)
    run.air.windNorthMps = column(() => 1)
    run.payloadKg = 55
    return run
  }
  const total = (values: Float64Array): number => values.reduce((sum, v) => sum + v, 0)

  it('loses no time, height or energy', () => {
    const on = onAxis(
      steps([
        [0, 22],
        [22, 22],
        [22, 41],
        [41, 60],
      ]),
      60,
    )
    expect(on.speedMps.length).toBe(4)
    expect(on.cellM).toBe(15)
    expect(on.payloadKg).toBe(55)
    expect(total(on.idlingS)).toBeCloseTo(10, 12)
    expect(total(on.kineticJPerKg)).toBeCloseTo(12, 12)
    expect(total(on.climbM)).toBeCloseTo(18, 12)
    // 15 m of the 22 m that took 1 s; then the other 7 m, 2 s of standing at 22 m, 8 of 19 m that took 3 s.
    expect(on.idlingS[0]).toBeCloseTo(15 / 22, 12)
    expect(on.idlingS[1]).toBeCloseTo(7 / 22 + 2 + (3 * 8) / 19, 12)
  })

  it('has the means over the metres of each cell', () => {
    const on = onAxis(
      steps([
        [0, 22],
        [22, 22],
        [22, 41],
        [41, 60],
      ]),
      60,
    )
    expect(on.speedMps[0]).toBe(10)
    expect(on.speedMps[1]).toBeCloseTo((7 * 10 + 8 * 12) / 15, 12)
    expect(on.speedMps[2]).toBeCloseTo((11 * 12 + 4 * 13) / 15, 12)
    expect(on.temperatureK[1]).toBeCloseTo((7 * 280 + 8 * 300) / 15, 12)
    expect(on.densityKgM3[1]).toBeCloseTo((7 * 1.2 + 8 * 1.0) / 15, 12)
  })

  it('a wind that blows west meets an eastbound run head on; one from the south comes from its right', () => {
    const on = onAxis(steps([[0, 60]]), 60)
    expect([...on.headMps]).toEqual([3, 3, 3, 3])
    // It blows north at 1 m/s: from the south, which is right of east.
    expect([...on.crossMps].map(Math.abs)).toEqual([1, 1, 1, 1])
    const north = onAxis(steps([[0, 60]], { courseEast: Float64Array.of(0), courseNorth: Float64Array.of(1) }), 60)
    expect([...north.headMps]).toEqual([-1, -1, -1, -1])
    expect([...north.crossMps].map(Math.abs)).toEqual([3, 3, 3, 3])
    const oblique = onAxis(
      steps([[0, 60]], { courseEast: Float64Array.of(0.6), courseNorth: Float64Array.of(0.8) }),
      60,
    )
    // Along: −(−3·0.6 + 1·0.8) = 1; across: |−3·0.8 − 1·0.6| = 3; together √10, the wind's own speed.
    expect(oblique.headMps[0]).toBeCloseTo(1, 12)
    expect(Math.abs(oblique.crossMps[0])).toBeCloseTo(3, 12)
  })

  it('a cell driven for half of it or less is not known, and steps off the road are on no cell', () => {
    const on = onAxis(
      steps([
        [0, 22.5],
        [Number.NaN, 30],
        [30, 38],
        [38, 60],
      ]),
      60,
    )
    expect(Number.isNaN(on.speedMps[1])).toBe(true)
    for (const column of [on.densityKgM3, on.temperatureK, on.headMps, on.crossMps]) {
      expect([...column].map(Number.isNaN)).toEqual([false, true, false, false])
    }
    expect(total(on.idlingS)).toBeCloseTo(1 + 3 + 4, 12)
  })

  it('cells are 15 m or a little more; a short road is one, a long one is 8000', () => {
    expect(onAxis(steps([[0, 70]]), 70).speedMps.length).toBe(4)
    expect(onAxis(steps([[0, 70]]), 70).cellM).toBe(17.5)
    expect(onAxis(steps([[0, 9]]), 9).speedMps.length).toBe(1)
    const long = onAxis(steps([[0, 240_000]]), 240_000)
    expect(long.speedMps.length).toBe(8000)
    expect(long.speedMps.every((v) => Math.abs(v - 10) < 1e-9)).toBe(true)
  })

  it('a step that ends beyond the axis fills it to its end', () => {
    const on = onAxis(
      steps([
        [0, 40],
        [40, 62],
      ]),
      60,
    )
    expect(on.speedMps[3]).toBeCloseTo(11, 12)
    expect(total(on.idlingS)).toBeCloseTo(1 + (2 * 20) / 22, 12)
  })
})
