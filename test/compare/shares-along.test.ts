import { describe, expect, it } from 'vitest'
import { readySide } from '../../src/compare/contribution-draws.ts'
import { mixedDemands } from '../../src/compare/mixed-demands.ts'
import { placeDrawsOf } from '../../src/compare/place-draws.ts'
import { onAxis } from '../../src/compare/run-on-axis.ts'
import { EXCHANGED, shapleyShares } from '../../src/compare/shapley.ts'
import { type SharesAlong, sharesAlong } from '../../src/compare/shares-along.ts'
import { demandOf } from '../../src/demand/ensemble.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { noVehicle, type Scene, scene, settings } from '../demand/scene.ts'

const shared = sharedDraws(vehicleOf(noVehicle), settings)
const PARTS = 10

function sideOf(changes: Partial<Scene>) {
  const run = scene('one', { speedMps: 25, windEastMps: -3, windNorthMps: 4, ...changes })
  const axis = onAxis(run, 10_000)
  return readySide({ axis, places: placeDrawsOf(run, axis, shared), ...demandOf(run, shared) }, shared)
}

describe('how a difference comes about along the road', () => {
  it('ends with the shares of the whole road', () => {
    const [a, b] = [sideOf({}), sideOf({ densityKgM3: 1.25, temperatureC: 3, windEastMps: 6, speedMps: 27 })]
    const along = sharesAlong(a.best, b.best, shared, PARTS)
    const whole = shapleyShares(mixedDemands(a.best, b.best, shared))
    for (const [f, factor] of EXCHANGED.entries()) {
      expect(along[factor as keyof SharesAlong][PARTS - 1]).toBeCloseTo(whole[f], 9)
    }
  })

  // The scene is alike all along the road: each part of it makes as much of the difference, whatever the formula. The
  // cells do not divide evenly by the parts: a cell of 666 is 0.15 %.
  it.each<[keyof SharesAlong, Partial<Scene>]>([
    ['airDensity', { densityKgM3: 1.25 }],
    ['wind', { windEastMps: -8 }],
    ['rollingTemperature', { temperatureC: 3 }],
  ])('%s that differs all along alike grows evenly, and the others stay at nothing', (factor, changes) => {
    const [a, b] = [sideOf({}), sideOf(changes)]
    const along = sharesAlong(a.best, b.best, shared, PARTS)
    const difference = 100 * (b.nominalJPerM / a.nominalJPerM - 1)
    expect(Math.abs(difference)).toBeGreaterThan(0.5)
    for (let part = 0; part < PARTS; part++) {
      expect(Math.abs(along[factor][part] / difference - (part + 1) / PARTS)).toBeLessThan(0.002)
      for (const other of Object.keys(along) as (keyof SharesAlong)[]) {
        if (other !== factor) expect(along[other][part]).toBeCloseTo(0, 9)
      }
    }
  })
})
