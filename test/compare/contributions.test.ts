import { describe, expect, it } from 'vitest'
import {
  contributionsOf,
  type ReadySide,
  readySide,
  shareChanges,
  shareDraws,
} from '../../src/compare/contribution-draws.ts'
import { meanShares } from '../../src/compare/contributions.ts'
import { conditionsDifference } from '../../src/compare/difference.ts'
import { placeDrawsOf } from '../../src/compare/place-draws.ts'
import { onAxis } from '../../src/compare/run-on-axis.ts'
import { FACTORS, type Factor } from '../../src/compare/shapley.ts'
import { demandOf } from '../../src/demand/ensemble.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { noVehicle, type Scene, scene, settings } from '../demand/scene.ts'

const shared = sharedDraws(vehicleOf(noVehicle), settings)
const usual: Scene = { speedMps: 25, windEastMps: -3, windNorthMps: 4 }

function sideOf(changes: Partial<Scene>, recording = 'one', recordingSd = 0, of = shared): ReadySide {
  const run = { ...scene(recording, { ...usual, ...changes }), recordingSd }
  const axis = onAxis(run, 10_000)
  return readySide({ axis, places: placeDrawsOf(run, axis, of), ...demandOf(run, of) }, of)
}

function drawsOfShares(a: ReadySide, b: ReadySide): Record<Factor, Float64Array> {
  const best = 100 * (b.nominalJPerM / a.nominalJPerM - 1)
  return shareDraws(a, b, meanShares(a.best, b.best, shared, { best, mean: best }), shareChanges(a, b, shared))
}

const differencesOf = (a: ReadySide, b: ReadySide, count: number): Float64Array =>
  b.drawsJPerM.subarray(0, count).map((demand, k) => 100 * (demand / a.drawsJPerM[k] - 1))
const span = (values: Float64Array): number => Math.max(...values) - Math.min(...values)

// The differences come from `demandOf`, which knows nothing of shares: where one condition alone differs, its share in
// each draw is that draw's whole difference. The scene is alike all along the road, so that places stand for all of it.
describe('where one condition alone differs, it has the whole difference, draw by draw', () => {
  it.each<[Factor, Partial<Scene>]>([
    ['airDensity', { densityKgM3: 1.25 }],
    ['wind', { windEastMps: -8, windNorthMps: -2 }],
    ['wind', { windEastMps: 6, windNorthMps: 0 }],
    ['rollingTemperature', { temperatureC: 3 }],
  ])('%s %o', (factor, changes) => {
    const [a, b] = [sideOf({}), sideOf(changes)]
    const shares = drawsOfShares(a, b)
    const differences = differencesOf(a, b, 100)
    expect(span(differences)).toBeGreaterThan(0.1)
    for (const [k, difference] of differences.entries()) expect(shares[factor][k]).toBeCloseTo(difference, 6)
    for (const other of FACTORS.filter((f) => f !== factor)) expect(span(shares[other])).toBeLessThan(1e-6)
  })

  it('speed, whose traffic and recording are its own', () => {
    const [a, b] = [sideOf({}), sideOf({ speedMps: 27 }, 'another', 0.004)]
    const shares = drawsOfShares(a, b)
    const differences = differencesOf(a, b, 100)
    for (const [k, difference] of differences.entries()) expect(shares.speed[k]).toBeCloseTo(difference, 6)
  })
})

// Still air: by the difference's mean and by hand, what is not density's, or not speed's, is nothing.
it.each<[Factor, Partial<Scene>]>([
  ['airDensity', { densityKgM3: 1.25 }],
  ['speed', { speedMps: 27 }],
])('what a drawn class makes of the share of %s is not the wind’s', (factor, changes) => {
  const vehicle = vehicleOf({ ...noVehicle, class: null })
  const lorries = sharedDraws({ ...vehicle, classes: [{ class: 'truck', probability: 1 }] }, settings)
  const still = { windEastMps: 0, windNorthMps: 0 }
  const [a, b] = [sideOf(still, 'one', 0, lorries), sideOf({ ...still, ...changes }, 'one', 0, lorries)]
  const best = 100 * (b.nominalJPerM / a.nominalJPerM - 1)
  const { meanPct } = conditionsDifference(a.drawsJPerM, b.drawsJPerM, 0)
  const shares = contributionsOf(a, b, lorries)
  // Lorries differ from the car of the best estimate by a tenth of the difference and more.
  expect(Math.abs(meanPct - best)).toBeGreaterThan(0.1 * Math.abs(best))
  expect(Math.abs(shares.wind.meanPct)).toBeLessThan(0.1 * Math.abs(meanPct - best))
  expect(shares[factor].meanPct).toBeCloseTo(meanPct, 1)
})

describe('the intervals of contributions', () => {
  const everything = { densityKgM3: 1.25, temperatureC: 3, windEastMps: 6, speedMps: 27, departureSdMps: 1.5 }

  it('come from draws that add up to the difference, draw by draw', () => {
    const [a, b] = [sideOf({ departureSdMps: 1.2 }), sideOf(everything, 'another', 0.004)]
    const shares = drawsOfShares(a, b)
    for (const [k, difference] of differencesOf(a, b, 100).entries()) {
      expect(FACTORS.reduce((sum, factor) => sum + shares[factor][k], 0)).toBeCloseTo(difference, 9)
    }
  })

  it('are nothing for a drive against itself: what is shared cancels', () => {
    const side = sideOf({ ...everything, departureSdMps: 2 }, 'one', 0.01)
    for (const { low90Pct, high90Pct } of Object.values(contributionsOf(side, side, shared))) {
      expect(Math.abs(low90Pct)).toBeLessThan(1e-9)
      expect(Math.abs(high90Pct)).toBeLessThan(1e-9)
    }
  })

  it('leave 35 m and 0.04 % of the road open for its ends and its length, where the recordings leave so much', () => {
    const halfOfRoute = (recordingSd: number): number => {
      const { route } = contributionsOf(sideOf({}), sideOf({ speedMps: 27 }, 'another', recordingSd), shared)
      return (route.high90Pct - route.low90Pct) / 2
    }
    // Of 10 km 35 m and 0.04 %, 0.39 %, times the 1.645 of a normal error; a drive's recording with 0.1 % of error has not so much.
    expect(halfOfRoute(0.02)).toBeCloseTo(1.645 * 0.39, 6)
    expect(halfOfRoute(0)).toBeLessThan(0.5 * 1.645 * 0.39)
  })

  it('are about as wide as that of the difference where the wind alone is in doubt', () => {
    const [a, b] = [sideOf({}), sideOf({ departureSdMps: 2 })]
    const { wind } = contributionsOf(a, b, shared)
    const whole = conditionsDifference(a.drawsJPerM, b.drawsJPerM, 1)
    // A quantile of 100 draws has a standard deviation of some 6 %, both ends of 9 %, of the width of a normal sample's 90 % interval.
    const ratio = (wind.high90Pct - wind.low90Pct) / (whole.high90Pct - whole.low90Pct)
    expect(ratio).toBeGreaterThan(0.75)
    expect(ratio).toBeLessThan(1.25)
  })
})
