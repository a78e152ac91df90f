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

  it('spreads the fewer drives so that a steady trend cancels wherever their number allows, and gives an order once', () => {
    for (const [change, baseline] of [
      [6, 2],
      [2, 6],
      [12, 4],
      [4, 3],
      [12, 3],
      [5, 2],
      [9, 4],
    ]) {
      const orders = drivingOrders(change, false, baseline)
      // By hand: the fewer ones' mean place is the middle of all where it can be; an odd number among an even one is half a step off.
      const fewer = Math.min(change, baseline)
      const isOff = fewer % 2 === 1 && (change + baseline) % 2 === 0
      const least = isOff ? 0.5 * (1 / change + 1 / baseline) : 0
      expect(Math.abs(orders[0].trendShift)).toBeCloseTo(least, 10)
      expect(orders.map((o) => o.name)).toEqual(['spread', 'A-A-B-B'])
      expect(orders[0].runs.filter((run) => run === 'A').length).toBe(baseline)
    }
    expect(drivingOrders(6, false, 2)[0].runs.join('')).toBe('BBABBABB')
    expect(letters(1)).toEqual(['AB'])
  })

  it('fills count twice for each run, but in a chain those between runs of one setup cancel', () => {
    // By hand: factors ∓1/2, two fills a run; in the chain the squares of the steps between neighbours.
    expect(drivingOrders(2, false).map((o) => o.fillVariance)).toEqual([2, 2, 2])
    expect(drivingOrders(2, true).map((o) => o.fillVariance)).toEqual([2.5, 3.5, 1.5])
  })
})
