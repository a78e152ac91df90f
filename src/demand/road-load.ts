import { square } from '../base/arithmetic.ts'
import { KELVIN_AT_0_C, radians, STANDARD_GRAVITY } from '../base/units.ts'

/**
 * Every term of the road load and of what the powertrain needs for it, once, as scalar functions:
 * F = ½ρ·CdA(ψ)·Va·(V + h) + m·g·(Crr(T)·cosθ + sinθ) + m·(1 + ε)·a. What draws, best estimates, contributions and plans
 * add up is made of these; `ensemble.ts` alone writes two of them out, for speed, and a test holds it against the textbook.
 *
 * @source the road-load equation: e.g. Hucho, Aerodynamics of Road Vehicles (from memory)
 */

export const SIN2_10_DEG = square(Math.sin(radians(10)))
const PER_SIN2_10_DEG = 1 / SIN2_10_DEG
/** Beyond 25° the rise of drag with yaw no longer follows the square. Common practice, no source. */
export const SIN2_25_DEG = square(Math.sin(radians(25)))
/** Share of a gust's variance that adds to the mean of Va·(V + h): all of the part along, half of the part across. */
export const GUST_SHARE = 1.5

/**
 * Mean of Va·(V + h) over the gusts, raised by what drag gains with yaw, (m/s)²: times ½ρ·CdA it is the drag force.
 *
 * @param alongMps air speed against the motion, V + h; negative when the wind overtakes the vehicle
 * @param acrossMps crosswind at the vehicle, either side
 * @param yawRise relative rise of the drag area at 10° of yaw; it grows with the mean of sin² of the yaw, up to 25°
 * @param gustMps standard deviation of the gusts, of each component
 */
export function dragTerm(alongMps: number, acrossMps: number, yawRise: number, gustMps: number): number {
  const across2 = acrossMps * acrossMps
  const gust2 = gustMps * gustMps
  const airspeed2 = alongMps * alongMps + across2
  // Gusts across turn the air to and fro: by their variance they add to the mean of sin² of the yaw.
  const sin2Yaw = airspeed2 > 0 ? Math.min(SIN2_25_DEG, (across2 + gust2) / (airspeed2 + gust2)) : 0
  return (1 + yawRise * PER_SIN2_10_DEG * sin2Yaw) * (Math.sqrt(airspeed2) * alongMps + GUST_SHARE * gust2)
}

/** At this temperature rolling resistance is stated. @source UN GTR 15 Annex 4 (from memory) */
export const ROLLING_REFERENCE_K = KELVIN_AT_0_C + 20

/**
 * Rolling resistance, or a rolling force, at a temperature: F(T) = F20 / (1 + K0·(T − 20 °C)).
 * @param atReference the same at ROLLING_REFERENCE_K
 * @param fallPerK K0
 * @source UN GTR 15 Annex 4 §4.5 (from memory)
 */
export const rollingAt = (atReference: number, fallPerK: number, temperatureK: number): number =>
  atReference / (1 + fallPerK * (temperatureK - ROLLING_REFERENCE_K))

/** The inverse of `rollingAt`: from what was measured at a temperature. */
export const rollingAtReference = (measured: number, fallPerK: number, temperatureK: number): number =>
  measured * (1 + fallPerK * (temperatureK - ROLLING_REFERENCE_K))

/** Steeper than this no road is: what climbs more is an error of the heights. */
const STEEPEST_SINE = 0.5

/** Share of the weight that presses on the road, cosθ; 1 where there is no length to climb over. */
export function levelShare(climbM: number, distanceM: number): number {
  if (!(distanceM > 0)) return 1
  const sine = Math.min(STEEPEST_SINE, Math.abs(climbM / distanceM))
  return Math.sqrt(1 - sine * sine)
}

/**
 * Energy per kilogram that lifts and quickens the vehicle, J/kg.
 * @param kineticJPerKg gained, of the mass that moves along
 * @param rotatingShare what the turning parts add to it, ε
 */
export const liftJPerKg = (climbM: number, kineticJPerKg: number, rotatingShare: number): number =>
  STANDARD_GRAVITY * climbM + (1 + rotatingShare) * kineticJPerKg

/** Power that accessories take at the engine's shaft or the battery's terminals, W. */
export const accessoryPowerW = (
  { accessoriesW }: { accessoriesW: number },
  { accessoryEfficiency }: { accessoryEfficiency: number },
): number => accessoriesW / accessoryEfficiency

/** What idling over some time and the engine's friction, at its speed, over some distance take, J. */
export const idleJ = (idlePowerW: number, idlingS: number, frictionN: number, distanceM: number): number =>
  idlePowerW * idlingS + frictionN * distanceM

/**
 * Energy needed, at the engine's shaft or the battery's terminals, for some work at the wheels over some time, J.
 *
 * @param workJ at the wheels; negative when they give work back
 * @param idledJ what friction, idling and accessories take over that time
 * @param efficiency of the driveline
 * @param recovery share of the work given back that comes off the energy needed
 * @param leastJ 0 where nothing can be stored, −Infinity with a battery
 */
export function neededJ(workJ: number, idledJ: number, efficiency: number, recovery: number, leastJ: number): number {
  return workJ > 0 ? idledJ + workJ / efficiency : Math.max(leastJ, idledJ + recovery * efficiency * workJ)
}

/** The least that a powertrain can draw, see `neededJ`. */
export const leastNeededJ = (stores: boolean): number => (stores ? Number.NEGATIVE_INFINITY : 0)
