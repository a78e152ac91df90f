import { square } from '../base/arithmetic.ts'
import { radians } from '../base/units.ts'

export const SIN2_10_DEG = square(Math.sin(radians(10)))
/** Beyond 25° the rise of drag with yaw no longer follows the square. */
export const SIN2_25_DEG = square(Math.sin(radians(25)))
/** Share of a gust's variance that adds to the mean of Va·(V + h): all of the part along, half of the part across. */
export const GUST_SHARE = 1.5

/**
 * Mean of Va·(V + h) over the gusts, raised by what drag gains with yaw, (m/s)²: times ½ρ·CdA it is the drag force.
 *
 * @param alongMps air speed against the motion, V + h; negative when the wind overtakes the vehicle
 * @param acrossMps crosswind at the vehicle, either side
 * @param yawRise relative rise of the drag area at 10° of yaw; it grows with sin² of the yaw, up to 25°
 * @param gustMps standard deviation of the gusts, of each component
 */
export function dragTerm(alongMps: number, acrossMps: number, yawRise: number, gustMps: number): number {
  const across2 = acrossMps * acrossMps
  const airspeed2 = alongMps * alongMps + across2
  const sin2Yaw = airspeed2 > 0 ? Math.min(SIN2_25_DEG, across2 / airspeed2) : 0
  return (1 + (yawRise * sin2Yaw) / SIN2_10_DEG) * (Math.sqrt(airspeed2) * alongMps + GUST_SHARE * gustMps * gustMps)
}

/**
 * Energy drawn, at the engine's shaft or the battery's terminals, for some work at the wheels over some time, J.
 *
 * @param workJ at the wheels; negative when they give work back
 * @param idleJ what friction, idling and accessories take over that time
 * @param efficiency of the driveline
 * @param recovery share of the work given back that comes off the energy drawn
 * @param leastJ 0 where nothing can be stored, −Infinity with a battery
 */
export function drawnJ(workJ: number, idleJ: number, efficiency: number, recovery: number, leastJ: number): number {
  return workJ > 0 ? idleJ + workJ / efficiency : Math.max(leastJ, idleJ + recovery * efficiency * workJ)
}

/** The least that a powertrain can draw, see `drawnJ`. */
export const leastDrawnJ = (stores: boolean): number => (stores ? Number.NEGATIVE_INFINITY : 0)
