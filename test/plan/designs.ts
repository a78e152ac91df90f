import type { EffectTest } from '../../src/plan/power.ts'

/** Two groups of `count` values each with one standard deviation that is estimated from them. */
export const twoGroups = (count: number, sd: number): EffectTest => ({
  standardError: sd * Math.sqrt(2 / count),
  degreesOfFreedom: 2 * (count - 1),
})

/** Differences of `count` pairs with the standard deviation of a difference. */
export const pairs = (count: number, sd: number): EffectTest => ({
  standardError: sd / Math.sqrt(count),
  degreesOfFreedom: count - 1,
})
