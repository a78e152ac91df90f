import { describe, expect, it } from 'vitest'
import { demandOf } from '../../src/demand/ensemble.ts'
import { frictionAtN } from '../../src/demand/powertrains.ts'
import { dragTerm } from '../../src/demand/road-load.ts'
import { type SharedDraws, sharedDraws } from '../../src/demand/shared-draws.ts'
import type { EnsembleRun } from '../../src/demand/types.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { noVehicle, type Scene, scene, settings } from './scene.ts'

/** Force at the wheel that the best estimate implies, N: the powertrain's line taken off again. */
function wheelForceN(run: EnsembleRun, shared: SharedDraws): number {
  const { powertrain } = shared.vehicle
  const [speedMps] = run.steps.speedMps
  const idle = powertrain.idlePowerW.value / speedMps + frictionAtN(powertrain.frictionN, speedMps)
  return (demandOf(run, shared).nominalJPerM - idle) * powertrain.efficiency
}

describe('road load of the reference vehicle', () => {
  const vehicle = vehicleOf({ ...noVehicle, massKg: 1500, dragAreaM2: 0.65, rollingResistance: 0.01 })
  const shared = sharedDraws(vehicle, settings)

  // Formula ½ρCdA·V² + m·g·Crr, rho 1.189, level, no wind, 20 °C: hand arithmetic to two decimals, hence ±0.01 N.
  it.each([
    { kmh: 50, wantN: 221.64 },
    { kmh: 80, wantN: 337.93 },
    { kmh: 100, wantN: 445.27 },
    { kmh: 120, wantN: 576.46 },
    { kmh: 130, wantN: 651.0 },
  ])('level, calm, $kmh km/h: $wantN N', ({ kmh, wantN }) => {
    expect(Math.abs(wheelForceN(scene('a', { speedMps: kmh / 3.6 }), shared) - wantN)).toBeLessThan(0.011)
  })

  it('drag takes two thirds of the force at 100 km/h', () => {
    const { nominalDragJPerM } = demandOf(scene('a', { speedMps: 100 / 3.6 }), shared)
    // 298.17 N of 445.27 N, by the same arithmetic.
    expect(Math.abs(nominalDragJPerM * vehicle.powertrain.efficiency - 298.17)).toBeLessThan(0.011)
  })

  it('a climb of 100 m costs 1.470998 MJ for 1500 kg (m·g·h with standard gravity)', () => {
    const level = wheelForceN(scene('a', { speedMps: 20 }), shared) * 10_000
    const climbing = wheelForceN(scene('a', { speedMps: 20, climbPerStepM: 1 }), shared) * 10_000
    // cosθ of a 1 % grade takes 5e-5 of the rolling work off, 74 J of 1.47 MJ.
    expect(climbing - level).toBeCloseTo(1_470_998 - 1_470_998 * 5e-5, -1)
  })

  it('kinetic energy counts 3 % more than the mass; a petrol engine gets back no more than its own friction', () => {
    const steady = wheelForceN(scene('a', { speedMps: 20 }), shared)
    const surge = Array.from({ length: 100 }, (_, i) => (i === 10 ? 150 : i === 60 ? -150 : 0))
    const gained = (wheelForceN(scene('a', { speedMps: 20, kineticJPerKg: surge }), shared) - steady) * 10_000
    // The surge is driven in full; the step that brakes draws nothing: neither its road load nor the engine's friction.
    const { idlePowerW, frictionN, efficiency } = vehicle.powertrain
    expect(gained).toBeCloseTo(
      150 * 1500 * 1.03 - steady * 100 - (idlePowerW.value * 5 + frictionN * 100) * efficiency,
      3,
    )
  })
})

describe('measured coast-down coefficients', () => {
  // UN R83 / 70/220/EEC dynamometer table, F = a + b·V² (V in km/h), force at 80 km/h as printed; table rounds to 1 N.
  it.each([
    { massKg: 1130, a: 6.4, b: 0.0433, wantN: 284 },
    { massKg: 1360, a: 7.1, b: 0.0481, wantN: 315 },
    { massKg: 1590, a: 7.6, b: 0.0515, wantN: 338 },
    { massKg: 2270, a: 9.1, b: 0.0619, wantN: 405 },
  ])('inertia $massKg kg: $wantN N at 80 km/h', ({ massKg, a, b, wantN }) => {
    const coastDown = {
      aN: a,
      bNPerMps: 0,
      cNPerMps2: b * 12.96,
      referenceTemperatureK: 293.15,
      referenceDensityKgM3: 1.189,
    }
    const shared = sharedDraws(vehicleOf({ ...noVehicle, massKg, coastDown }), settings)
    expect(Math.abs(wheelForceN(scene('a', { speedMps: 80 / 3.6 }), shared) - wantN)).toBeLessThan(1)
  })
})

describe('apparent wind in the drag term', () => {
  // Va(V + h)/V² for 5 m/s of wind at 100 km/h; vector arithmetic, five decimals.
  it.each([
    { offDeg: 0, want: 1.3924 },
    { offDeg: 45, want: 1.27883 },
    { offDeg: 90, want: 1.01607 },
    { offDeg: 135, want: 0.7697 },
    { offDeg: 180, want: 0.6724 },
  ])('wind $offDeg° off the course', ({ offDeg, want }) => {
    const v = 100 / 3.6
    const angle = (offDeg * Math.PI) / 180
    const term = dragTerm(v + 5 * Math.cos(angle), 5 * Math.sin(angle), 0, 0)
    expect(Math.abs(term / v ** 2 - want)).toBeLessThan(1e-5)
  })

  it('changes sign when the wind overtakes the vehicle', () => {
    expect(dragTerm(-3, 0, 0, 0)).toBe(-9)
  })
})

describe('the ensemble', () => {
  const shared = sharedDraws(vehicleOf(noVehicle), settings)
  const windy: Scene = { speedMps: 25, windEastMps: -4, departureSdMps: 1 }

  it('two runs that share every source differ by nothing at all', () => {
    const a = demandOf(scene('a', windy), shared).drawsJPerM
    const b = demandOf(scene('b', windy), shared).drawsJPerM
    expect(Array.from(a)).toEqual(Array.from(b))
  })

  it('gives the same draws again, and others for another seed', () => {
    const again = demandOf(scene('a', windy), sharedDraws(vehicleOf(noVehicle), settings)).drawsJPerM
    const other = demandOf(scene('a', windy), sharedDraws(vehicleOf(noVehicle), { ...settings, seed: 2 })).drawsJPerM
    expect(Array.from(again)).toEqual(Array.from(demandOf(scene('a', windy), shared).drawsJPerM))
    expect(Array.from(again)).not.toEqual(Array.from(other))
  })

  it('a headwind costs, a tailwind saves, and out and back they cancel to first order only', () => {
    const calm = demandOf(scene('a', { speedMps: 25 }), shared).nominalJPerM
    const against = demandOf(scene('a', { speedMps: 25, windEastMps: -3 }), shared).nominalJPerM
    const along = demandOf(scene('a', { speedMps: 25, windEastMps: 3 }), shared).nominalJPerM
    expect(against).toBeGreaterThan(calm)
    expect(along).toBeLessThan(calm)
    expect((against + along) / 2).toBeGreaterThan(calm)
    expect((against + along) / 2 - calm).toBeLessThan(0.1 * (against - calm))
  })

  it('warmer air rolls easier and thinner air drags less', () => {
    const base = demandOf(scene('a', { speedMps: 25 }), shared).nominalJPerM
    expect(demandOf(scene('a', { speedMps: 25, temperatureC: 30 }), shared).nominalJPerM).toBeLessThan(base)
    expect(demandOf(scene('a', { speedMps: 25, densityKgM3: 1.1 }), shared).nominalJPerM).toBeLessThan(base)
  })

  it('time gaps and distance to the station widen the ensemble', () => {
    const spread = (sd: number): number => {
      const draws = demandOf(scene('a', { ...windy, departureSdMps: sd }), shared).drawsJPerM
      const base = demandOf(scene('b', { speedMps: 25 }), shared).drawsJPerM
      const ratios = Array.from(draws, (d, k) => d / base[k]).sort((x, y) => x - y)
      return ratios[380] - ratios[20]
    }
    expect(spread(2)).toBeGreaterThan(1.3 * spread(0.5))
  })
})
