import { STANDARD_GRAVITY } from '../base/units.ts'
import type { Powertrain, VehicleClass, VehicleSettings } from '../read/campaign/settings.ts'
import { type ClassEvidence, neededForceN, weighedClasses } from './class-evidence.ts'
import { powertrainValues } from './powertrains.ts'
import { rollingAtReference } from './road-load.ts'
import {
  CLASSES,
  type ClassChance,
  classOfSize,
  contradicts,
  drawnClasses,
  engineKg,
  isDrivenBy,
  UNSTATED,
  type Uncertain,
  VEHICLE_CLASSES,
} from './vehicle-classes.ts'

export type { Uncertain } from './vehicle-classes.ts'

/** The reference vehicle: never changed, driven through every run. */
export interface Vehicle {
  /** The class whose values hold where nothing else is stated. */
  class: VehicleClass
  /** What it may be where nothing tells the class, which is then drawn; empty where it is stated. */
  classes: readonly ClassChance[]
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
 * Energy needed while the wheels take work: idlePowerW · time + friction · distance + work / efficiency (a Willans line
 * whose constant part turns with the engine: in the upper gears so many revolutions a metre, of which each takes more the
 * faster it is). While the wheels give work back, `recovery` of it comes off; without a battery it can save the engine's own
 * friction but no more than that (fuel is cut off in overrun). How the constant part divides into time and distance, and
 * what of it grows with speed, depends on engine, gears and gearbox, and is drawn (`SharedDraws`).
 */
export interface PowertrainModel {
  kind: Powertrain
  /** Power for idling, at the point where the slope begins, W; its deviation is that of idling and friction together. */
  idlePowerW: Uncertain
  /** Friction of the engine that goes with the road, at FRICTION_SPEED_MPS, N. */
  frictionN: number
  /** Electricity for accessories over what the powertrain needs for it. */
  accessoryEfficiency: number
  /** Wheel work per energy needed, of the slope alone. */
  efficiency: number
  /** Share of the work given back, less the driveline's losses, that comes off the energy needed. */
  recovery: Uncertain
  /** Whether more can come back than is needed at that moment: true with a battery. */
  stores: boolean
}

/** The class that is taken where nothing of the vehicle is stated. */
const USUAL_CLASS: VehicleClass = 'car'

const measuredDragAreaM2 = ({ coastDown, dragAreaM2 }: VehicleSettings): number | null =>
  coastDown ? (2 * coastDown.cNPerMps2) / coastDown.referenceDensityKgM3 : dragAreaM2

/**
 * The class whose values hold for what is not stated: the stated class, or the one that the stated mass, drag area and
 * powertrain fit where they contradict it or no class is stated.
 */
export function classOf(settings: VehicleSettings): VehicleClass {
  const { massKg, powertrain } = settings
  const known = { massKg, powertrain, dragAreaM2: measuredDragAreaM2(settings) }
  if (settings.class !== null && !contradicts(known, settings.class)) return settings.class
  const isSized = known.massKg !== null || known.dragAreaM2 !== null
  if (isSized) return classOfSize(known)
  return powertrain === null || isDrivenBy(powertrain, USUAL_CLASS) ? USUAL_CLASS : classOfSize(known)
}

/** Whether nothing is stated that would tell the class. */
export const isUnstated = (settings: VehicleSettings): boolean =>
  settings.isClassGuessed === true ||
  (settings.class === null &&
    settings.massKg === null &&
    settings.rollingResistance === null &&
    measuredDragAreaM2(settings) === null &&
    settings.powertrain !== 'human')

/** The stated powertrain, or that of the class. */
export const powertrainOf = (settings: VehicleSettings): Powertrain =>
  settings.powertrain ?? CLASSES[classOf(settings)].powertrain

/** The reference vehicle from campaign.yaml, with its class's values where nothing is stated. */
export function vehicleOf(settings: VehicleSettings): Vehicle {
  const of = classOf(settings)
  const defaults = CLASSES[of]
  const { relativeSd } = defaults
  const kind = powertrainOf(settings)
  const values = powertrainValues(kind, of)
  const massKg = stated(settings.massKg, settings.massUncertaintyKg, defaults.massKg, relativeSd.mass)
  const coast = settings.coastDown
  const coastedM2 = coast && measuredDragAreaM2(settings)
  const weightN = massKg.value * STANDARD_GRAVITY
  // Lorries have small engines for their mass.
  const times = values.perKg ? engineKg(massKg.value) : 1
  const idleW = values.idleW * times
  return {
    class: of,
    classes: isUnstated(settings) ? drawnClasses(of) : [],
    massKg,
    dragAreaM2: coastedM2
      ? { value: coastedM2, sd: coastedM2 * relativeOr(coast.cSdNPerMps2, coast.cNPerMps2, 0.03) }
      : stated(settings.dragAreaM2, settings.dragAreaUncertaintyM2, defaults.dragAreaM2, relativeSd.dragArea),
    rollingResistance: coast
      ? rollingOfCoastDown(coast, weightN, defaults.rollingTemperaturePerK.value)
      : stated(settings.rollingResistance, settings.rollingResistanceUncertainty, defaults.rolling, relativeSd.rolling),
    rollingTemperaturePerK: defaults.rollingTemperaturePerK,
    dragYawRise: defaults.yawRise,
    speedForceNPerMps: coast?.bNPerMps ?? 0,
    rotatingShare: defaults.rotatingShare,
    referenceHeightM: settings.referenceHeightM ?? defaults.heightM,
    powertrain: {
      kind,
      idlePowerW: { value: idleW, sd: 0.3 * idleW },
      frictionN: values.frictionN * times,
      accessoryEfficiency: hasBattery(kind) ? 1 : ALTERNATOR_EFFICIENCY,
      efficiency: values.efficiency,
      recovery: values.recovery,
      stores: values.stores,
    },
  }
}

/** Alternator and belt of a car, dynamo of a bicycle. Common practice, no source. */
const ALTERNATOR_EFFICIENCY = 0.6
const hasBattery = (kind: Powertrain): boolean => kind === 'electric' || kind === 'hybrid'

function stated(value: number | null, sd: number | null, fallback: number, relativeSd: number): Uncertain {
  if (value === null) return { value: fallback, sd: relativeSd * fallback }
  // A stated value without its uncertainty is taken to be known twice as well as the class's.
  return { value, sd: sd ?? (relativeSd / 2) * value }
}

/** A stated standard deviation as a share of the value, or else a usual share. */
const relativeOr = (sd: number | null | undefined, value: number, usual: number): number =>
  sd == null || !(value > 0) ? usual : sd / value

function rollingOfCoastDown(
  { aN, aSdN, referenceTemperatureK }: NonNullable<VehicleSettings['coastDown']>,
  weightN: number,
  fallPerK: number,
): Uncertain {
  const value = rollingAtReference(aN / weightN, fallPerK, referenceTemperatureK)
  return { value, sd: value * relativeOr(aSdN, aN, 0.05) }
}

/**
 * The vehicle as its drives show it: where nothing is stated and nothing speaks for a light one, its classes are drawn as
 * often as they fit what was driven and used.
 */
export const asSeen = (vehicle: Vehicle, evidence: ClassEvidence): Vehicle =>
  vehicle.classes === UNSTATED ? { ...vehicle, classes: weighedClasses(UNSTATED, evidence) } : vehicle

/** At this speed classes are held against each other, m/s. */
const CLASS_SPEED_MPS = 20

/**
 * The class of vehicle that needs so many times as much as the stated one.
 * @returns null where the vehicle is stated by more than its class, or no class comes nearer than the stated one
 */
export function classForDemand(
  settings: VehicleSettings,
  times: number,
): { class: VehicleClass; times: number } | null {
  if (settings.massKg !== null || settings.dragAreaM2 !== null || settings.coastDown !== null) return null
  const taken = classOf(settings)
  const kind = powertrainOf(settings)
  const own = neededForceN(taken, kind, CLASS_SPEED_MPS)
  const ratios = VEHICLE_CLASSES.filter((name) => isDrivenBy(kind, name)).map((name) => ({
    class: name,
    times: neededForceN(name, kind, CLASS_SPEED_MPS) / own,
  }))
  const away = (ratio: { times: number }): number => Math.abs(Math.log(ratio.times / times))
  const nearest = ratios.reduce((best, next) => (away(next) < away(best) ? next : best))
  return nearest.class === taken ? null : nearest
}
