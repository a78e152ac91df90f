import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { consumptionsOf } from '../../src/claim/fuel/consumption.ts'
import { attributedErrors } from '../../src/claim/model/attributed.ts'
import { effectOf, sourceVariances } from '../../src/claim/model/effects.ts'
import { observed } from '../../src/claim/model/observation.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

/** A drive whose demand has these standard deviations by these names, and bends in the first of them. */
function driven(id: string, day: number, sds: Record<string, number>, seed: number, bend = 0): FuelRun {
  const names = Object.keys(sds)
  const columns = names.map((name) => drawsOf(name, 400, seed))
  const demandDraws = columns[0].map((first, k) =>
    Math.exp(7 + names.reduce((sum, name, i) => sum + sds[name] * columns[i][k], 0) + bend * first * first),
  )
  return {
    id,
    route: 0,
    setup: id[0],
    startTime: day * 86_400,
    endTime: day * 86_400 + 3600,
    distanceM: 1e5,
    row: emptyRow({ setup: id[0], fuelKg: 8 }),
    demandDraws,
    drawnFrom: names,
    nominalDemandJPerM: Math.exp(7),
    nominalDragJPerM: 100,
    leftOut: null,
  }
}

const settings = (seed: number) => claimSettings({ baseline: 'a', seed })

/** Variance that the conditions give the difference b − a. */
function conditionsVariance(runs: FuelRun[], seed: number): number {
  const terms = consumptionsOf(runs, 'kg', 'a', settings(seed)).map((c) => ({
    observation: observed(c, 'adjusted', c.run.id),
    factor: c.run.setup === 'b' ? 1 : -1,
  }))
  return sourceVariances(effectOf(terms, { points: [], centre: { repeatability: 0, sessionShare: 0, ways: {} } }))
    .conditions
}

describe('errors of the conditions by name', () => {
  // Variances of independent errors add up, whatever the draws of two names happen to have in common:
  // (0.05 − 0.03)² + 0.02² + 0.01² = 9e-4.
  const pair = (seed: number, bend = 0): FuelRun[] => [
    driven('a1', 0, { mass: 0.05, 'air a': 0.02 }, seed, bend),
    driven('b1', 1, { mass: 0.03, 'air b': 0.01 }, seed, bend),
  ]

  it('are the root of the sum of squares at every seed', () => {
    for (let seed = 1; seed <= 20; seed++) expect(conditionsVariance(pair(seed), seed)).toBeCloseTo(9e-4, 12)
  })

  it('by the draws alone they go with the seed, by some percent', () => {
    const byDraws = (seed: number): number =>
      conditionsVariance(
        pair(seed).map(({ drawnFrom: _, ...run }) => run),
        seed,
      )
    const apart = Array.from({ length: 20 }, (_, i) => Math.abs(byDraws(i + 1) / 9e-4 - 1))
    expect(Math.max(...apart)).toBeGreaterThan(0.02)
  })

  it('what bends in all drives alike cancels, and does not disturb what is linear', () => {
    for (let seed = 1; seed <= 20; seed++) expect(conditionsVariance(pair(seed, 0.02), seed) / 9e-4).toBeCloseTo(1, 2)
  })

  it('are not told by names where there are too many, or some are not known', () => {
    const many = Object.fromEntries(Array.from({ length: 134 }, (_, i) => [`n${i}`, 0.001]))
    expect(attributedErrors([driven('a1', 0, many, 1)], settings(1)).size).toBe(0)
    const [a, b] = pair(1)
    expect(attributedErrors([a, { ...b, drawnFrom: [] }], settings(1)).size).toBe(0)
  })
})
