import { describe, expect, it } from 'vitest'
import { studentQuantile } from '../../src/base/student.ts'
import { repeatabilityOf } from '../../src/claim/model/repeatability.ts'
import { mixtureQuantile } from '../../src/plan/mixture.ts'
import { detectableEffect, powerOf } from '../../src/plan/power.ts'
import { pairs, twoGroups } from './designs.ts'

describe('the power of a t test', () => {
  it('is that of the published example, both tails counted', () => {
    // R ?power.t.test: n = 20, delta = 1, sd = 1 → 0.8689528 with one tail (from memory); exactly two-sided 0.8689530,
    // recomputed from the formula. jstat's normal distribution is right to 1e-7.
    expect(powerOf(1, twoGroups(20, 1))).toBeCloseTo(0.868953, 6)
  })

  it.each([
    { what: 'two groups, d 1, power 0.90', size: 22.0211, effect: 1, design: twoGroups, power: 0.9 },
    { what: 'two groups, d 0.5', size: 63.766, effect: 0.5, design: twoGroups, power: 0.8 },
    { what: 'two groups, d 0.8', size: 25.525, effect: 0.8, design: twoGroups, power: 0.8 },
    { what: 'pairs, d 0.5', size: 33.367, effect: 0.5, design: pairs, power: 0.8 },
    { what: 'pairs, d 1', size: 9.938, effect: 1, design: pairs, power: 0.8 },
  ])('at the published sample size is the published one: $what', ({ size, effect, design, power }) => {
    // R ?power.t.test for the first (from memory), the others computed from the published formula with one tail;
    // sizes are rounded to three decimals, which is 2e-5 of power.
    expect(powerOf(effect, design(size, 1))).toBeCloseTo(power, 4)
    expect(detectableEffect(power, design(size, 1))).toBeCloseTo(effect, 3)
  })

  it('falls to the level of the test without an effect', () => {
    expect(powerOf(0, twoGroups(3, 1))).toBeCloseTo(0.05, 7)
  })
})

describe('the quantile of a mixture of normals', () => {
  it('is the normal one where the spread is known', () => {
    expect(mixtureQuantile(0.975, [2, 2])).toBeCloseTo(2 * 1.959964, 5)
  })

  it.each([4, 11])('is Student’s over the claims’ draws of a repeatability, with %d degrees of freedom', (df) => {
    // The prior is a scaled inverse chi-square: its mixture is Student's t by definition. 160 draws leave 1 % in the tail.
    const { draws } = repeatabilityOf([], 'test', { draws: 160, seed: 1 }, { sd: 3, degreesOfFreedom: df })
    expect(mixtureQuantile(0.975, draws) / (3 * studentQuantile(0.975, df))).toBeCloseTo(1, 1)
  })
})
