import { describe, expect, it } from 'vitest'
import { median, standardDeviation } from '../../src/base/statistics.ts'
import { STANDARD_GRAVITY } from '../../src/base/units.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import type { VehicleClass } from '../../src/read/campaign/settings.ts'
import { csvRows } from '../track/tracks.ts'
import { noVehicle } from './scene.ts'

const KG_PER_LB = 0.45359237
const N_PER_LBF = 4.4482216152605
const MPS_PER_MPH = 0.44704
/** Dry air at 20 °C and 98.2 kPa: the reference of the published coefficients. */
const DENSITY_KG_M3 = 1.167

const PICKUPS =
  /F-?150|\bRAM\b|SILVERADO|SIERRA|TACOMA|TUNDRA|RANGER|FRONTIER|RIDGELINE|COLORADO|GLADIATOR|MAVERICK|SANTA CRUZ|TITAN|R1T/i
/** A pick-up by its name, or else what vehicles of such a weight mostly are in the United States. Common practice, no source. */
const classOf = (name: string, massKg: number): VehicleClass => {
  if (PICKUPS.test(name)) return 'pickup'
  return massKg >= 1800 ? 'suv' : massKg >= 1350 ? 'car' : 'small_car'
}

/** ln of the force at a steady speed on the level by the class's values, and as published. */
function forcesAt(speedMps: number): { class: number; published: number }[] {
  const v = speedMps / MPS_PER_MPH
  return csvRows('vehicle-coefficients/road-loads.csv').map((row) => {
    const massKg = Number(row.test_weight_lb) * KG_PER_LB
    const of = classOf(`${row.make} ${row.model}`, massKg)
    const { dragAreaM2, rollingResistance } = vehicleOf({ ...noVehicle, class: of, massKg })
    const rollingN = massKg * STANDARD_GRAVITY * rollingResistance.value
    const dragN = 0.5 * DENSITY_KG_M3 * dragAreaM2.value * speedMps * speedMps
    const publishedLbf = Number(row.a_lbf) + Number(row.b_lbf_per_mph) * v + Number(row.c_lbf_per_mph2) * v * v
    return { class: Math.log(rollingN + dragN), published: Math.log(publishedLbf * N_PER_LBF) }
  })
}

// Published coefficients: US EPA, Test Car List 2022 (SOURCE.md). They hold the drag of driveline, bearings and brakes too, up
// to a quarter of a small rolling force: classes may lie below them, by no more than that.
describe.each([15, 25, 30])('road loads of 790 vehicles at %i m/s', (speedMps) => {
  const forces = forcesAt(speedMps)
  const ratios = Float64Array.from(forces, (force) => force.published - force.class)

  it('are those of their classes in the middle', () => {
    expect(forces.length).toBe(790)
    expect(median([...ratios])).toBeGreaterThan(Math.log(0.9))
    expect(median([...ratios])).toBeLessThan(Math.log(1.25))
  })

  it('rise with the class and mass as much as the classes say', () => {
    const mean = (of: (force: (typeof forces)[number]) => number): number =>
      forces.reduce((sum, force) => sum + of(force), 0) / forces.length
    const [x, y] = [mean((force) => force.class), mean((force) => force.published)]
    const slope = mean((force) => (force.class - x) * (force.published - y)) / mean((force) => (force.class - x) ** 2)
    expect(Math.abs(slope - 1)).toBeLessThan(0.2)
  })

  it('scatter about them by no more than the doubts about drag area and rolling together', () => {
    const { dragAreaM2, rollingResistance } = vehicleOf(noVehicle)
    const most = Math.hypot(dragAreaM2.sd / dragAreaM2.value, rollingResistance.sd / rollingResistance.value)
    expect(standardDeviation(ratios)).toBeLessThan(most)
  })
})
