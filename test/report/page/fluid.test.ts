import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { distancePerFuelPct } from '../../../src/report/page/claims/effects.ts'
import { across, bandOver, pathOver, scaleFor, ticksOf } from '../../../src/report/page/road/fluid.ts'

describe('scales', () => {
  it('places values across a drawing', () => {
    expect(across({ from: -10, to: 10 }, 0)).toBe('50%')
    expect(across({ from: -10, to: 10 }, 40)).toBe('100%')
  })

  it('have round ticks inside, none twice', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e5, max: 1e5, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
        (from, width) => {
          const scale = { from, to: from + width }
          const ticks = ticksOf(scale, 5)
          expect(ticks.length).toBeGreaterThan(0)
          expect(ticks.length).toBeLessThan(8)
          expect(new Set(ticks).size).toBe(ticks.length)
          for (const tick of ticks)
            expect(Math.min(tick - from, scale.to - tick)).toBeGreaterThan(-1e-6 * (width + Math.abs(from)))
        },
      ),
    )
  })

  it('hold all values and the anchors, whatever is not known', () => {
    const { from, to } = scaleFor([3, Number.NaN, 7], [0])
    expect(from).toBeLessThan(0)
    expect(to).toBeGreaterThan(7)
    expect(scaleFor([Number.NaN])).toEqual({ from: 0, to: 1 })
  })
})

describe('lines', () => {
  const scale = { from: 0, to: 10 }
  it('break where nothing is known', () => {
    expect(pathOver([0, 10, Number.NaN, 5], scale, 100)).toBe('M1250 1000l2500-1000M8750 500h1')
    expect(bandOver([0, 0, Number.NaN, 1], [10, 10, Number.NaN, 2], scale, 100).match(/M/g)).toHaveLength(2)
  })
})

describe('the two conventions', () => {
  // design.md, section 6: 10 % more distance per litre is 9.1 % less fuel.
  it('are each other’s inverse', () => {
    expect(distancePerFuelPct(-100 / 11)).toBeCloseTo(10, 10)
    expect(distancePerFuelPct(0)).toBe(0)
  })
})
