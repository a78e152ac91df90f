import type { Powertrain, VehicleClass } from '../read/types.ts'
import type { Uncertain } from './vehicle.ts'

/**
 * How much easier warmer tyres roll, per kelvin about 20 °C. UN R117 has 0.008 for car tyres, 0.010 for those of vans and
 * light lorries, 0.006 for those of heavy ones, about 25 °C, which is 0.0083, 0.0105 and 0.0062 about 20 °C; the whole
 * vehicles of UN GTR 15 have 0.0086. The deviation is that of tyres of one class.
 * @source UN R117 Annex 6 §6.2 (C1; C2 and C3 up to index 121; C3 above); UN GTR 15 Annex 4 §4.5 (K0), both from memory
 */
const TYRES = {
  car: { value: 8.6e-3, sd: 1.8e-3 },
  van: { value: 10.5e-3, sd: 2.2e-3 },
  heavy: { value: 6.2e-3, sd: 1.5e-3 },
} satisfies Record<string, Uncertain>

/** What is taken of a vehicle of which nothing else is stated. */
export interface ClassValues {
  /** With driver. */
  massKg: number
  dragAreaM2: number
  rolling: number
  rollingTemperaturePerK: Uncertain
  /** Relative rise of the drag area at 10° of yaw. */
  yawRise: Uncertain
  /** Height at which the wind acts, m. */
  heightM: number
}

/**
 * Middle values of current vehicles; common practice, no source. The rise of drag with yaw is 15 to 30 % at 10° for vans
 * and lorries, whose edges are sharp and whose gaps are open, and some percent for cars (from memory).
 */
export const CLASSES: Record<VehicleClass, ClassValues> = {
  small_car: {
    massKg: 1100,
    dragAreaM2: 0.62,
    rolling: 0.01,
    rollingTemperaturePerK: TYRES.car,
    yawRise: { value: 0.05, sd: 0.04 },
    heightM: 0.75,
  },
  car: {
    massKg: 1500,
    dragAreaM2: 0.65,
    rolling: 0.01,
    rollingTemperaturePerK: TYRES.car,
    yawRise: { value: 0.05, sd: 0.04 },
    heightM: 0.75,
  },
  suv: {
    massKg: 1900,
    dragAreaM2: 0.85,
    rolling: 0.01,
    rollingTemperaturePerK: TYRES.car,
    yawRise: { value: 0.06, sd: 0.04 },
    heightM: 0.9,
  },
  van: {
    massKg: 2300,
    dragAreaM2: 1.5,
    rolling: 0.0095,
    rollingTemperaturePerK: TYRES.van,
    yawRise: { value: 0.15, sd: 0.08 },
    heightM: 1.2,
  },
  pickup: {
    massKg: 2200,
    dragAreaM2: 1.1,
    rolling: 0.011,
    rollingTemperaturePerK: TYRES.van,
    yawRise: { value: 0.08, sd: 0.05 },
    heightM: 1,
  },
  motorhome: {
    massKg: 3400,
    dragAreaM2: 2.4,
    rolling: 0.0095,
    rollingTemperaturePerK: TYRES.van,
    yawRise: { value: 0.15, sd: 0.08 },
    heightM: 1.5,
  },
  truck: {
    massKg: 18_000,
    dragAreaM2: 5.5,
    rolling: 0.0065,
    rollingTemperaturePerK: TYRES.heavy,
    yawRise: { value: 0.2, sd: 0.08 },
    heightM: 2,
  },
  motorcycle: {
    massKg: 280,
    dragAreaM2: 0.4,
    rolling: 0.016,
    rollingTemperaturePerK: TYRES.car,
    yawRise: { value: 0.05, sd: 0.04 },
    heightM: 0.8,
  },
}

/**
 * Constants of the powertrains. Idling: a car with a petrol engine of 2.0 l takes 0.61 l/h without load (DOE Fact 861),
 * which is 5.5 kW of heat, of which an engine's slope makes 0.4: 1.5 W/kg. With 0.07 N/kg of friction along the road that
 * is 2.9 W/kg at 20 m/s, as from a mean effective pressure of 1.9 bar for friction and pumping, 1.4 l of displacement per
 * 1000 kg and 1100 revolutions a kilometre in the upper gears. The slope's efficiency is that of the driveline, since
 * demand is counted at the engine's shaft or at the battery's terminals. Fuel is cut off in overrun, but not at low speeds,
 * with a cold engine or between gears: 0.7 ± 0.3 of what that could save.
 * @source idling: US DOE, Fact of the Week 861 (2015, from memory); all else common practice, no source
 */
export const POWERTRAINS: Record<
  Powertrain,
  { idleWPerKg: number; frictionNPerKg: number; efficiency: number; recovery: Uncertain; stores: boolean }
> = {
  petrol: {
    idleWPerKg: 1.5,
    frictionNPerKg: 0.07,
    efficiency: 0.9,
    recovery: { value: 0.7, sd: 0.3 },
    stores: false,
  },
  diesel: {
    idleWPerKg: 1.3,
    frictionNPerKg: 0.06,
    efficiency: 0.9,
    recovery: { value: 0.7, sd: 0.3 },
    stores: false,
  },
  hybrid: {
    idleWPerKg: 0.5,
    frictionNPerKg: 0.035,
    efficiency: 0.88,
    recovery: { value: 0.45, sd: 0.15 },
    stores: true,
  },
  electric: { idleWPerKg: 0.25, frictionNPerKg: 0, efficiency: 0.86, recovery: { value: 0.6, sd: 0.12 }, stores: true },
}
