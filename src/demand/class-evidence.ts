import { square } from '../base/arithmetic.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import type { Powertrain, VehicleClass } from '../read/campaign/settings.ts'
import { frictionAtN, powertrainValues } from './powertrains.ts'
import { CLASSES, type ClassChance, engineKg } from './vehicle-classes.ts'

/** What drives show of a vehicle whose class nobody states; NaN where they do not show it. */
export interface ClassEvidence {
  /** Middle of the drives: the speed that is passed in 2 % of the time of moving, m/s. */
  topMps: number
  /** Middle of the drives: change of speed over 3 s that is passed in 1 % of the time of moving, m/s². */
  pullMps2: number
  /** Middle of the speeds while moving, m/s. */
  usualMps: number
  /** Heat of the fuel, or electricity, that was used on a metre, J/m. */
  usedJPerM: number
  powertrain: Powertrain
}

/**
 * The classes weighed by what the drives show: the probability before times the likelihoods of the strongest pull, the top
 * speed and the energy used, brought to a sum of one. No likelihood falls below its floor, and none counts more for many
 * drives than for one: they share driver, road and load.
 */
export function weighedClasses(before: readonly ClassChance[], evidence: ClassEvidence): ClassChance[] {
  const classes = before.map((one) => one.class)
  const likelihoods = [
    raised(
      classes.map((of) => likelihoodOfPull(of, evidence.pullMps2)),
      FLOORS.motion,
    ),
    raised(
      classes.map((of) => likelihoodOfTop(of, evidence.topMps)),
      FLOORS.motion,
    ),
    raised(
      classes.map((of) => likelihoodOfEnergy(of, evidence)),
      FLOORS.energy,
    ),
  ]
  const weights = before.map(({ probability }, i) => likelihoods.reduce((product, of) => product * of[i], probability))
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  return before.map((one, i) => ({ class: one.class, probability: weights[i] / total }))
}

/**
 * The least that a likelihood falls to, as a share of that of the best class: a car may be driven on a test track as gently
 * as a lorry, a lorry without load pulls away like a van, and one table in thirty is in another unit than its head says.
 * Common practice, no source.
 */
const FLOORS = { motion: 0.1, energy: 0.03 }

/** As shares of the highest, no lower than a floor; all 1 where nothing is known. */
function raised(likelihoods: number[], floor: number): number[] {
  if (likelihoods.some(Number.isNaN)) return likelihoods.map(() => 1)
  const most = Math.max(...likelihoods)
  return likelihoods.map((one) => (most > 0 ? floor + ((1 - floor) * one) / most : 1))
}

/** Density of a normal variable. */
const normal = (value: number, middle: number, sd: number): number =>
  Math.exp(-0.5 * square((value - middle) / sd)) / sd

/**
 * The strongest pull of a drive, m/s²: middle and standard deviation of its logarithm. Drives of cars with a fix a second
 * have 0.7 to 2.2, 1.7 in the middle (16 drives of one car of 3 km and more, iowa-drives), and 1.1 to 1.8, 1.4 in the middle
 * (13 recordings of six trips, mobilitynet).
 * Lorries have some 10 kW a tonne with their load, 0.4 to 1 m/s², and pull away like a motorhome without. Common practice,
 * no source, for all but cars.
 */
const PULLS: Partial<Record<VehicleClass, number>> = { motorcycle: 1.8, van: 1.4, motorhome: 1.1 }
const PULL_OF_CARS = 1.5
const LOG_PULL_SD = 0.3
const LORRY_PULLS = { loaded: 0.7, empty: 1.2, emptyShare: 0.4 }
/** One campaign in four is driven so evenly that its strongest pull tells nothing. Common practice, no source. */
const STEADY = { share: 0.25, middle: 0.6, logSd: 1 }

function likelihoodOfPull(of: VehicleClass, pullMps2: number): number {
  const log = Math.log(pullMps2)
  const about = (middle: number): number => normal(log, Math.log(middle), LOG_PULL_SD)
  const { loaded, empty, emptyShare } = LORRY_PULLS
  const ofClass =
    of === 'truck' ? (1 - emptyShare) * about(loaded) + emptyShare * about(empty) : about(PULLS[of] ?? PULL_OF_CARS)
  return (1 - STEADY.share) * ofClass + STEADY.share * normal(log, Math.log(STEADY.middle), STEADY.logSd)
}

/**
 * The limiter of lorries holds 90 km/h (25 m/s), beyond which they only roll downhill. Where there is none they go up to
 * 30 m/s: the chance that one goes faster than a speed falls from 0.9 at 25 m/s to 0.1 at 30. All others pass both.
 * @source Directives 92/6/EEC and 2002/85/EC (from memory); without a limiter: common practice, no source
 */
const TOP_OF_LORRIES = { middleMps: 27.5, scaleMps: 1.14 }

const likelihoodOfTop = (of: VehicleClass, topMps: number): number =>
  of === 'truck' ? 1 / (1 + Math.exp((topMps - TOP_OF_LORRIES.middleMps) / TOP_OF_LORRIES.scaleMps)) : 1

/**
 * Standard deviation of the logarithm of the energy used on a metre about what the class's middle vehicle needs at that
 * speed: vehicles of one class (0.2), hills, stops and cold engines (0.3). Common practice, no source.
 */
const LOG_ENERGY_SD = 0.35
/**
 * Energy needed over the heat of the fuel, or over what was charged; see `claim/level.ts`. Motorcycles have small engines of
 * high speed that idle fast. Common practice, no source.
 */
const EFFICIENCY = { fuel: 0.4, fuelOfMotorcycle: 0.25, electric: 0.85 }
/** Kinetic energy that is braked away on a metre, J/kg: a stop from 60 km/h on each 2 km. Common practice, no source. */
const BRAKED_J_PER_KG_M = 0.07

function likelihoodOfEnergy(of: VehicleClass, { usedJPerM, usualMps, powertrain }: ClassEvidence): number {
  const neededN = neededForceN(of, powertrain, usualMps) + BRAKED_J_PER_KG_M * CLASSES[of].massKg
  const { electric, fuel, fuelOfMotorcycle } = EFFICIENCY
  const efficiency = powertrain === 'electric' ? electric : of === 'motorcycle' ? fuelOfMotorcycle : fuel
  return normal(Math.log((usedJPerM * efficiency) / neededN), 0, LOG_ENERGY_SD)
}

/**
 * What a vehicle of a class needs on a level road at a steady speed, N: at the engine's shaft, its friction and idling with
 * it, or at the battery's terminals. Air of 1.2 kg/m³.
 */
export function neededForceN(of: VehicleClass, kind: Powertrain, speedMps: number): number {
  const { massKg, dragAreaM2, rolling } = CLASSES[of]
  const { efficiency, frictionN, idleW, perKg } = powertrainValues(kind, of)
  const wheelN = massKg * STANDARD_GRAVITY * rolling + 0.6 * dragAreaM2 * speedMps * speedMps
  return wheelN / efficiency + (frictionAtN(frictionN, speedMps) + idleW / speedMps) * (perKg ? engineKg(massKg) : 1)
}
