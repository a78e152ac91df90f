import { describe, expect, it } from 'vitest'
import { drivingOrders } from '../../src/plan/order.ts'

const letters = (runs: number, chained = false) => drivingOrders(runs, chained).map((o) => o.runs.join(''))

describe('the order to drive', () => {
  it('begins with the one that is balanced against a trend', () => {
    expect(letters(2)).toEqual(['ABBA', 'ABAB', 'AABB'])
    expect(letters(3)[0]).toBe('ABBAAB')
  })

  it('a steady trend does not shift an A-B-B-A, but every other order', () => {
    // By hand: mean position of B less that of A.
    expect(drivingOrders(2, false).map((o) => o.trendShift)).toEqual([0, 1, 2])
    expect(drivingOrders(1, false)[0].trendShift).toBe(1)
  })

  it('fills count twice for each run, but in a chain those between runs of one setup cancel', () => {
    // By hand: factors ∓1/2, two fills a run; in the chain the squares of the steps between neighbours.
    expect(drivingOrders(2, false).map((o) => o.fillVariance)).toEqual([2, 2, 2])
    expect(drivingOrders(2, true).map((o) => o.fillVariance)).toEqual([2.5, 3.5, 1.5])
  })
})
