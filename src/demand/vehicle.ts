import { STANDARD_GRAVITY } from '../base/units.ts'
import type { Powertrain, VehicleClass, VehicleSettings } from '../read/types.ts'
import { rollingAtReference } from './road-load.ts'
import { CLASSES, POWERTRAINS } from './vehicle-classes.ts'

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
 * (fuel is cut off in overrun). How the constant part divides into time and distance depends on gears and gearbox, and is
 * drawn (`SharedDraws`).
 */
export interface PowertrainModel {
  kind: Powertrain
  /** Power for idling, at the point where the slope begins, W; its deviation is that of idling and friction together. */
  idlePowerW: Uncertain
  /** Friction of the engine that goes with the road, N. */
  frictionN: number
  /** Wheel work per energy needed, of the slope alone. */
  efficiency: number
  /** Share of the work given back, less the driveline's losses, that comes off the energy needed. */
  recovery: Uncertain
  /** Whether more can come back than is needed at that moment: true with a battery. */
  stores: boolean
}

/** Relative standard deviations where the user states none; common practice, no source. */
const DEFAULT_RELATIVE_SD = { mass: 0.05, dragArea: 0.1, rolling: 0.15 }

/**
 * The reference vehicle from campaign.yaml, with its class's values where nothing is stated.
 *
 * @source rotating masses: 3 % of the vehicle's mass, SAE J2263 as summarised by tnlab.org; UN GTR 15 Annex 4 (from memory)
 */
export function vehicleOf(settings: VehicleSettings): Vehicle {
  const defaults = CLASSES[settings.class]
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
      ? rollingOfCoastDown(coast.aN / weightN, coast.referenceTemperatureK, defaults.rollingTemperaturePerK.value)
      : stated(
          settings.rollingResistance,
          settings.rollingResistanceUncertainty,
          defaults.rolling,
          DEFAULT_RELATIVE_SD.rolling,
        ),
    rollingTemperaturePerK: defaults.rollingTemperaturePerK,
    dragYawRise: defaults.yawRise,
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

function rollingOfCoastDown(measured: number, measuredAtK: number, fallPerK: number): Uncertain {
  const value = rollingAtReference(measured, fallPerK, measuredAtK)
  return { value, sd: 0.05 * value }
}

/** At this speed classes are held against each other, m/s; air of 1.2 kg/m³. */
const CLASS_SPEED_MPS = 20

/** What a vehicle of a class needs on a level road at a steady speed, N, its engine's friction with it. */
function classForceN(of: VehicleClass, kind: Powertrain): number {
  const { massKg, dragAreaM2, rolling } = CLASSES[of]
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
  const classes = Object.keys(CLASSES) as VehicleClass[]
  const ratios = classes.map((name) => ({ class: name, times: classForceN(name, kind) / own }))
  const away = (ratio: { times: number }): number => Math.abs(Math.log(ratio.times / times))
  const nearest = ratios.reduce((best, next) => (away(next) < away(best) ? next : best))
  return nearest.class === settings.class ? null : nearest
}
