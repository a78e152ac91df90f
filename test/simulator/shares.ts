import type { TrueMotion } from './driver.ts'
import type { Road } from './road.ts'
import { demandUnder, type Met, truthOf, type Vehicle } from './vehicle.ts'
import type { Weather } from './weather.ts'

/** A simulated drive with what it met and took. */
export interface TrueDrive {
  motion: TrueMotion
  seed: string
  met: Met
  demandJPerM: number
}

/** What each condition truly makes of a difference, percent; they add up to it. */
export interface TrueShares {
  air_density: number
  wind: number
  rolling_temperature: number
  speed: number
  route: number
}

const CONDITIONS = ['air_density', 'wind', 'rolling_temperature', 'speed'] as const

/**
 * What each condition truly makes of the difference of two drives of one road, in the simulator's own physics: density,
 * wind with its gusts, temperature of the tyres and motion are taken from one drive or the other at each place, in all
 * combinations, and shared out by the mean over all orders of exchanging them.
 *
 * @source Shapley, "A value for n-person games", Contributions to the Theory of Games II (1953) 307
 */
export function trueShares(road: Road, vehicle: Vehicle, a: TrueDrive, b: TrueDrive): TrueShares {
  const mets = [a.met, b.met]
  const demandOf = (fromB: ReadonlySet<string>): number => {
    const of = (condition: (typeof CONDITIONS)[number]): 0 | 1 => (fromB.has(condition) ? 1 : 0)
    const mover = [a, b][of('speed')]
    const taken = {
      density: mets[of('air_density')],
      wind: mets[of('wind')],
      warmth: mets[of('rolling_temperature')],
    }
    return demandUnder(road, mover.motion, vehicle, mover.seed, taken)
  }
  const known = new Map<string, number>()
  const demand = (fromB: readonly string[]): number => {
    const key = CONDITIONS.filter((condition) => fromB.includes(condition)).join()
    const found = known.get(key) ?? demandOf(new Set(fromB))
    known.set(key, found)
    return found
  }
  const shares = { air_density: 0, wind: 0, rolling_temperature: 0, speed: 0 }
  const all = orders(CONDITIONS)
  for (const order of all) {
    order.forEach((condition, at) => {
      const before = demand(order.slice(0, at))
      shares[condition] += (100 * (demand(order.slice(0, at + 1)) - before)) / demand([]) / all.length
    })
  }
  const shared = shares.air_density + shares.wind + shares.rolling_temperature + shares.speed
  return { ...shares, route: 100 * (b.demandJPerM / a.demandJPerM - 1) - shared }
}

/** A drive with what it met at every node; between the nodes that it touched, what it met last. */
export function trueDrive(
  road: Road,
  weather: Weather,
  vehicle: Vehicle,
  { motion, startS, seed }: { motion: TrueMotion; startS: number; seed: string },
): TrueDrive {
  const column = (): Float64Array => new Float64Array(road.count).fill(Number.NaN)
  const met = { head: column(), cross: column(), density: column(), tyreC: column() }
  const { demandJPerM } = truthOf(road, motion, weather, vehicle, startS, seed, met)
  for (const values of Object.values(met)) {
    for (let i = 1; i < values.length; i++) if (Number.isNaN(values[i])) values[i] = values[i - 1]
  }
  return { motion, seed, met, demandJPerM }
}

const orders = <T>(items: readonly T[]): T[][] =>
  items.length === 0
    ? [[]]
    : items.flatMap((item) => orders(items.filter((other) => other !== item)).map((rest) => [item, ...rest]))
