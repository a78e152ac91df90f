import { STANDARD_GRAVITY } from '../base/units.ts'
import type { Powertrain, VehicleClass, VehicleSettings } from '../read/types.ts'
import { ROLLING_TEMPERATURE_PER_K, rollingAtReference } from './road-load.ts'

/** A value with its standard deviation. */
export interface Uncertain {
  value: number
  sd: number
}

/** The reference vehicle: never changed, driven through every run. */
export interface Vehicle {
  massKg: Uncertain
  /** Drag coefficient times frontal area at zero yaw, m². */
  dragAreaM2: Uncertain
  /** At 20 °C. */
  rollingResistance: Uncertain
  /** Relative fall of the rolling resistance per kelvin. */
  rollingTemperaturePerK: Uncertain
  /** Relative rise of the drag area at 10° of yaw; grows with the square of the yaw. */
  dragYawRise: Uncertain
  /** Force that grows with speed and is neither drag nor rolling, N/(m/s): the middle term of a coast-down. */
  speedForceNPerMps: number
  /** Share of the mass that the turning parts add in acceleration. */
  rotatingShare: number
  /** Height at which the wind acts on the vehicle, m above the road. */
  referenceHeightM: number
  powertrain: PowertrainModel
}

/**
 * Energy needed while the wheels take work: idlePowerW · time + frictionN · distance + work / efficiency (a Willans line
 * whose constant part turns with the engine: in the upper gears so many revolutions a metre). While the wheels give
 * work back, `recovery` of it comes off; without a battery it can save the engine's own friction but no more than that
 * (fuel is cut off in overrun).
 */
export interface PowertrainModel {
  kind: Powertrain
  /** Power for idling and accessories, at the point where the slope begins, W. */
  idlePowerW: Uncertain
  /** Friction of the engine that goes with the road, N; scales with idlePowerW's draws. */
  frictionN: number
  /** Wheel work per energy needed, of the slope alone. */
  efficiency: number
  /** Share of the work given back, less the driveline's losses, that comes off the energy needed. */
  recovery: Uncertain
  /** Whether more can come back than is needed at that moment: true with a battery. */
  stores: boolean
}

/** Common practice, no source: middle values of current vehicles. Mass with driver, kg; drag area, m²; height of the wind's action, m. */
const CLASS_DEFAULTS: Record<VehicleClass, { massKg: number; dragAreaM2: number; rolling: number; heightM: number }> = {
  small_car: { massKg: 1100, dragAreaM2: 0.62, rolling: 0.01, heightM: 0.75 },
  car: { massKg: 1500, dragAreaM2: 0.65, rolling: 0.01, heightM: 0.75 },
  suv: { massKg: 1900, dragAreaM2: 0.85, rolling: 0.01, heightM: 0.9 },
  van: { massKg: 2300, dragAreaM2: 1.5, rolling: 0.0095, heightM: 1.2 },
  pickup: { massKg: 2200, dragAreaM2: 1.1, rolling: 0.011, heightM: 1 },
  motorhome: { massKg: 3400, dragAreaM2: 2.4, rolling: 0.0095, heightM: 1.5 },
  truck: { massKg: 18_000, dragAreaM2: 5.5, rolling: 0.0065, heightM: 2 },
  motorcycle: { massKg: 280, dragAreaM2: 0.4, rolling: 0.016, heightM: 0.8 },
}

/** Relative standard deviations where the user states none; common practice, no source. */
const DEFAULT_RELATIVE_SD = { mass: 0.05, dragArea: 0.1, rolling: 0.15 }

/**
 * Constants of the powertrains; common practice, no source: a friction mean effective pressure of 1.3 bar, about a litre
 * of displacement per 1000 kg and 1100 revolutions a kilometre in the upper gears give 0.07 N/kg and, idling at 900 a
 * minute, 1 W/kg. The slope's efficiency is that of the driveline, since demand is counted at the engine's shaft or at
 * the battery's terminals.
 */
const POWERTRAINS: Record<
  Powertrain,
  { idleWPerKg: number; frictionNPerKg: number; efficiency: number; recovery: Uncertain; stores: boolean }
> = {
  petrol: { idleWPerKg: 1, frictionNPerKg: 0.07, efficiency: 0.9, recovery: { value: 1, sd: 0 }, stores: false },
  diesel: { idleWPerKg: 0.9, frictionNPerKg: 0.06, efficiency: 0.9, recovery: { value: 1, sd: 0 }, stores: false },
  hybrid: {
    idleWPerKg: 0.5,
    frictionNPerKg: 0.035,
    efficiency: 0.88,
    recovery: { value: 0.45, sd: 0.15 },
    stores: true,
  },
  electric: { idleWPerKg: 0.25, frictionNPerKg: 0, efficiency: 0.86, recovery: { value: 0.6, sd: 0.12 }, stores: true },
}

/**
 * The reference vehicle from campaign.yaml, with its class's values where nothing is stated.
 *
 * @source rotating masses: 3 % of the vehicle's mass, SAE J2263 as summarised by tnlab.org; UN GTR 15 Annex 4 (from memory)
 */
export function vehicleOf(settings: VehicleSettings): Vehicle {
  const defaults = CLASS_DEFAULTS[settings.class]
  const kind = settings.powertrain ?? 'petrol'
  const powertrain = POWERTRAINS[kind]
  const massKg = stated(settings.massKg, settings.massUncertaintyKg, defaults.massKg, DEFAULT_RELATIVE_SD.mass)
  const coast = settings.coastDown
  const weightN = massKg.value * STANDARD_GRAVITY
  // Lorries have small engines for their mass.
  const engineKg = Math.min(massKg.value, 4000)
  const idleW = powertrain.idleWPerKg * engineKg
  return {
    massKg,
    dragAreaM2: coast
      ? {
          value: (2 * coast.cNPerMps2) / coast.referenceDensityKgM3,
          sd: 0.03 * ((2 * coast.cNPerMps2) / coast.referenceDensityKgM3),
        }
      : stated(settings.dragAreaM2, settings.dragAreaUncertaintyM2, defaults.dragAreaM2, DEFAULT_RELATIVE_SD.dragArea),
    rollingResistance: coast
      ? rollingOfCoastDown(coast.aN / weightN, coast.referenceTemperatureK)
      : stated(
          settings.rollingResistance,
          settings.rollingResistanceUncertainty,
          defaults.rolling,
          DEFAULT_RELATIVE_SD.rolling,
        ),
    rollingTemperaturePerK: ROLLING_TEMPERATURE_PER_K,
    dragYawRise: { value: 0.05, sd: 0.04 },
    speedForceNPerMps: coast?.bNPerMps ?? 0,
    rotatingShare: 0.03,
    referenceHeightM: settings.referenceHeightM ?? defaults.heightM,
    powertrain: {
      kind,
      idlePowerW: { value: idleW, sd: 0.3 * idleW },
      frictionN: powertrain.frictionNPerKg * engineKg,
      efficiency: powertrain.efficiency,
      recovery: powertrain.recovery,
      stores: powertrain.stores,
    },
  }
}

function stated(value: number | null, sd: number | null, fallback: number, relativeSd: number): Uncertain {
  if (value === null) return { value: fallback, sd: relativeSd * fallback }
  // A stated value without its uncertainty is taken to be known twice as well as the class's.
  return { value, sd: sd ?? (relativeSd / 2) * value }
}

function rollingOfCoastDown(measured: number, measuredAtK: number): Uncertain {
  const value = rollingAtReference(measured, ROLLING_TEMPERATURE_PER_K.value, measuredAtK)
  return { value, sd: 0.05 * value }
}

/** At this speed classes are held against each other, m/s; air of 1.2 kg/m³. */
const CLASS_SPEED_MPS = 20

/** What a vehicle of a class needs on a level road at a steady speed, N, its engine's friction with it. */
function classForceN(of: VehicleClass, kind: Powertrain): number {
  const { massKg, dragAreaM2, rolling } = CLASS_DEFAULTS[of]
  const { efficiency, frictionNPerKg } = POWERTRAINS[kind]
  const wheelN = massKg * STANDARD_GRAVITY * rolling + 0.6 * dragAreaM2 * CLASS_SPEED_MPS * CLASS_SPEED_MPS
  return wheelN / efficiency + frictionNPerKg * Math.min(massKg, 4000)
}

/**
 * The class of vehicle that needs so many times as much as the stated one.
 * @returns null where the vehicle is stated by more than its class, or no class comes nearer than the stated one
 */
export function classForDemand(
  settings: VehicleSettings,
  times: number,
): { class: VehicleClass; times: number } | null {
  if (settings.massKg !== null || settings.dragAreaM2 !== null || settings.coastDown !== null) return null
  const kind = settings.powertrain ?? 'petrol'
  const own = classForceN(settings.class, kind)
  const classes = Object.keys(CLASS_DEFAULTS) as VehicleClass[]
  const ratios = classes.map((name) => ({ class: name, times: classForceN(name, kind) / own }))
  const away = (ratio: { times: number }): number => Math.abs(Math.log(ratio.times / times))
  const nearest = ratios.reduce((best, next) => (away(next) < away(best) ? next : best))
  return nearest.class === settings.class ? null : nearest
}
