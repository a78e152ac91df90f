import { describe, expect, it } from 'vitest'
import type { AlongRoad } from '../../../src/report/along-data.ts'
import { gradientPct } from '../../../src/report/page/road/gradient.ts'

/** A road of 5 km in 250 cells of 20 m, with the height at each place along it. */
const roadWith = (heightAt: (alongM: number) => number): AlongRoad => ({
  id: 'road',
  lengthM: 5000,
  cells: 250,
  latitude: new Float64Array(251),
  longitude: new Float64Array(251),
  elevation: {
    heightM: Float64Array.from({ length: 250 }, (_, i) => heightAt((i + 0.5) * 20)),
    spreadM: new Float64Array(250),
    witnesses: 3,
    terrain: false,
  },
})

// Gradient: rise over distance, percent, by definition.
describe('the gradient of a road', () => {
  it('is the rise over the distance, positive uphill, to its very ends', () => {
    for (const pct of gradientPct(roadWith((along) => 100 + 0.03 * along))) expect(pct).toBeCloseTo(3, 9)
    for (const pct of gradientPct(roadWith((along) => 100 - 0.07 * along))) expect(pct).toBeCloseTo(-7, 9)
  })

  it('of a sine differs from its derivative by what the mean over 200 m takes off', () => {
    const [highM, longM] = [10, 2500]
    const wave = (2 * Math.PI) / longM
    const found = gradientPct(roadWith((along) => highM * Math.sin(wave * along)))
    // Mean of cos over ±100 m about a place: its value there times sin(100 k) / (100 k).
    const share = Math.sin(100 * wave) / (100 * wave)
    for (let i = 5; i < 245; i++) {
      const expected = 100 * highM * wave * Math.cos(wave * (i + 0.5) * 20) * share
      expect(found[i]).toBeCloseTo(expected, 9)
    }
  })

  it('is not known where no height is', () => {
    expect(gradientPct({ ...roadWith(() => 0), elevation: null }).every(Number.isNaN)).toBe(true)
    const found = gradientPct(roadWith((along) => (along > 2500 ? Number.NaN : 0)))
    expect(found[10]).toBe(0)
    expect(found[200]).toBeNaN()
  })
})
