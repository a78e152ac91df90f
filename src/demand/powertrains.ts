import type { Powertrain, VehicleClass } from '../read/campaign/settings.ts'
import type { Uncertain } from './vehicle-classes.ts'

/** At this speed the friction of an engine along the road is stated, and what idling and friction take together is kept. */
export const FRICTION_SPEED_MPS = 20

/**
 * Share of the friction along the road that grows with the speed, at FRICTION_SPEED_MPS: best estimate, and it is drawn
 * evenly from none to all. In the top gear an engine turns in proportion to the speed, and a turn takes the more the faster:
 * a friction pressure of 0.97 + 0.15·n + 0.05·n² bar (n in 1000 revolutions a minute) makes a power of speed^1.3 to 1.5 at
 * 1300 to 2300 a minute. Along a road with its lower gears revolutions grow with much less than the speed. With idling,
 * this is a power of speed^0.7 at 20 m/s, and of speed^0.5 to 1 from none to all.
 * @source friction pressure of petrol engines: Heywood, Internal Combustion Engine Fundamentals (1988), eq. 13.6, from
 * memory; gears: common practice, no source
 */
export const FRICTION_RISE = 0.5

/** Best estimate of an engine's friction along the road at a speed, N. @param frictionN at FRICTION_SPEED_MPS */
export const frictionAtN = (frictionN: number, speedMps: number): number =>
  frictionN * (1 + FRICTION_RISE * (speedMps / FRICTION_SPEED_MPS - 1))

/** Constants of a powertrain: power and force are those of one kilogram of the vehicle, where `perKg` says so. */
interface PowertrainValues {
  idleW: number
  /** At FRICTION_SPEED_MPS. */
  frictionN: number
  perKg: boolean
  efficiency: number
  recovery: Uncertain
  stores: boolean
}

/**
 * Constants of the powertrains. Idling: a car with a petrol engine of 2.0 l takes 0.61 l/h without load (DOE Fact 861),
 * which is 5.5 kW of heat, of which an engine's slope makes 0.4: 1.5 W/kg. With 0.07 N/kg of friction along the road that
 * is 2.9 W/kg at 20 m/s, as from a mean effective pressure of 1.9 bar for friction and pumping, 1.4 l of displacement per
 * 1000 kg and 1100 revolutions a kilometre in the upper gears. The slope's efficiency is that of the driveline, since
 * demand is counted at the engine's shaft, at the battery's terminals or at the pedals. Fuel is cut off in overrun, but not
 * at low speeds, with a cold engine or between gears: 0.7 ± 0.3 of what that could save.
 * @source idling: US DOE, Fact of the Week 861 (2015, from memory); a bicycle's chain 0.977: Martin et al., J. Appl.
 * Biomechanics 14 (1998) 276 (from memory); all else common practice, no source
 */
const POWERTRAINS: Record<Powertrain, PowertrainValues> = {
  petrol: {
    idleW: 1.5,
    frictionN: 0.07,
    perKg: true,
    efficiency: 0.9,
    recovery: { value: 0.7, sd: 0.3 },
    stores: false,
  },
  diesel: {
    idleW: 1.3,
    frictionN: 0.06,
    perKg: true,
    efficiency: 0.9,
    recovery: { value: 0.7, sd: 0.3 },
    stores: false,
  },
  hybrid: {
    idleW: 0.5,
    frictionN: 0.035,
    perKg: true,
    efficiency: 0.88,
    recovery: { value: 0.45, sd: 0.15 },
    stores: true,
  },
  electric: {
    idleW: 0.25,
    frictionN: 0,
    perKg: true,
    efficiency: 0.86,
    recovery: { value: 0.6, sd: 0.12 },
    stores: true,
  },
  human: { idleW: 0, frictionN: 0, perKg: false, efficiency: 0.97, recovery: { value: 0, sd: 0 }, stores: false },
}

/** Motors of light vehicles, their controllers and displays; hub motors with a freewheel give nothing back. Common practice, no source. */
const WITH_FREEWHEEL: PowertrainValues = {
  ...POWERTRAINS.electric,
  idleW: 4,
  perKg: false,
  efficiency: 0.75,
  recovery: { value: 0, sd: 0 },
}
const LIGHT_ELECTRIC: Partial<Record<VehicleClass, PowertrainValues>> = {
  bicycle: WITH_FREEWHEEL,
  electric_bicycle: WITH_FREEWHEEL,
  velomobile: WITH_FREEWHEEL,
  efficiency_car: { ...WITH_FREEWHEEL, idleW: 2, efficiency: 0.85 },
  solar_car: { ...WITH_FREEWHEEL, idleW: 30, efficiency: 0.92, recovery: { value: 0.5, sd: 0.2 } },
}

/** The engine of an efficiency car is switched off most of the time. Common practice, no source. */
const SWITCHED_OFF = { idleW: 0.2, frictionN: 0.01 }

/** Constants of a powertrain in a vehicle of a class. */
export function powertrainValues(kind: Powertrain, of: VehicleClass): PowertrainValues {
  if (kind === 'electric') return LIGHT_ELECTRIC[of] ?? POWERTRAINS.electric
  const isEngine = kind === 'petrol' || kind === 'diesel'
  return isEngine && of === 'efficiency_car' ? { ...POWERTRAINS[kind], ...SWITCHED_OFF } : POWERTRAINS[kind]
}
