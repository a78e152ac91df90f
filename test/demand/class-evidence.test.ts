import { describe, expect, it } from 'vitest'
import { type ClassEvidence, weighedClasses } from '../../src/demand/class-evidence.ts'
import { asSeen, vehicleOf } from '../../src/demand/vehicle.ts'
import { UNSTATED } from '../../src/demand/vehicle-classes.ts'
import type { VehicleClass } from '../../src/read/campaign/settings.ts'
import { noVehicle } from './scene.ts'

const NOTHING: ClassEvidence = {
  topMps: Number.NaN,
  pullMps2: Number.NaN,
  usualMps: Number.NaN,
  usedJPerM: Number.NaN,
  powertrain: 'petrol',
}
/** Heat of a litre of petrol: 32.356 MJ. @source GREET, as given by afdc.energy.gov */
const litresPer100Km = (litres: number): number => (32.356e6 * litres) / 1e5

const chance = (evidence: Partial<ClassEvidence>, ...of: VehicleClass[]): number =>
  weighedClasses(UNSTATED, { ...NOTHING, ...evidence })
    .filter((one) => of.includes(one.class))
    .reduce((sum, one) => sum + one.probability, 0)

describe('the classes of an unstated vehicle', () => {
  it('stay as they are where drives show nothing', () => {
    for (const [i, { probability }] of weighedClasses(UNSTATED, NOTHING).entries())
      expect(probability).toBeCloseTo(UNSTATED[i].probability, 12)
  })

  // Speeds of drives: cars of iowa-drives and mobilitynet (test/data); a lorry of 17 t with 250 kW and a limiter of 90 km/h.
  it.each([
    { what: 'a car in a town of Iowa: less than half', seen: { topMps: 20.6, pullMps2: 1.71 }, times: [0, 0.5] },
    { what: 'a car on a freeway: less than a fifth', seen: { topMps: 30, pullMps2: 1.82 }, times: [0, 0.2] },
    { what: 'a lorry with its load: twice and more', seen: { topMps: 25, pullMps2: 0.6 }, times: [2, 5] },
    { what: 'anything on an even road: within thrice', seen: { topMps: 24, pullMps2: 0.25 }, times: [0.5, 3] },
  ])('the chance of a lorry before, for $what', ({ seen, times: [low, high] }) => {
    const before = chance({}, 'truck')
    expect(chance(seen, 'truck')).toBeGreaterThan(low * before)
    expect(chance(seen, 'truck')).toBeLessThan(high * before)
  })

  // Usual consumption: lorries of 18 t 22 to 30 l/100 km, small cars 4.5 to 6, vans 8 to 11 (common practice, no source).
  it('go with the fuel that is used', () => {
    const at = { usualMps: 21 }
    expect(chance({ ...at, usedJPerM: litresPer100Km(26) }, 'truck')).toBeGreaterThan(0.6)
    expect(chance({ ...at, usedJPerM: litresPer100Km(5) }, 'small_car', 'car', 'suv')).toBeGreaterThan(0.8)
    expect(chance({ ...at, usedJPerM: litresPer100Km(5) }, 'truck')).toBeLessThan(0.02)
    expect(chance({ ...at, usedJPerM: litresPer100Km(10) }, 'van', 'pickup', 'suv')).toBeGreaterThan(0.4)
  })

  it('and with the electricity: a battery car on a freeway took 14.3 kWh/100 km (logged-drive, SOURCE.md)', () => {
    const seen = { usualMps: 28, usedJPerM: (14.3 * 3.6e6) / 1e5, powertrain: 'electric' as const }
    expect(chance(seen, 'small_car', 'car', 'suv')).toBeGreaterThan(0.7)
  })

  it('never lose a class, whatever is read: floors of a tenth for pull and top speed, of 3 % for fuel', () => {
    const odd = [
      { topMps: 60, pullMps2: 9 },
      { topMps: 5, pullMps2: 0.01 },
      { topMps: 40, pullMps2: 0.7, usualMps: 20, usedJPerM: litresPer100Km(0.01) },
      { usualMps: 20, usedJPerM: litresPer100Km(4000) },
    ]
    for (const evidence of odd)
      for (const { class: of, probability } of UNSTATED)
        expect(chance(evidence, of)).toBeGreaterThan(0.1 * 0.1 * 0.03 * probability)
    // Gallons in the column of litres make a car seem a motorcycle: it stays one of the likely ones.
    expect(chance({ usualMps: 20, usedJPerM: litresPer100Km(6.5 / 3.785) }, 'car')).toBeGreaterThan(0.1)
  })

  it('are not weighed where the vehicle is stated, or is a light one', () => {
    const seen = { ...NOTHING, topMps: 25, pullMps2: 0.6 }
    const stated = vehicleOf(noVehicle)
    expect(asSeen(stated, seen)).toBe(stated)
    const bicycle = vehicleOf({ ...noVehicle, class: 'bicycle', isClassGuessed: true })
    expect(asSeen(bicycle, seen)).toBe(bicycle)
    expect(asSeen(vehicleOf({ ...noVehicle, class: null }), seen).classes).not.toBe(UNSTATED)
  })
})
