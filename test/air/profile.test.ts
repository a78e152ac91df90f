import { describe, expect, it } from 'vitest'
import { roughnessLengthM, windOverLand, windProfileFactor } from '../../src/air/profile.ts'
import type { TerrainClass } from '../../src/read/campaign/settings.ts'

// ln(z/z0)/ln(10/z0) with the Davenport-Wieringa roughness lengths (Stull; shodor.org/os411, roughness.html), computed by
// another program. Half of the last digit printed. null: printed as invalid.
const heights = [0.7, 1, 1.5, 2, 5]
const rows: { terrain: TerrainClass; z0: number; factors: (number | null)[] }[] = [
  { terrain: 'sea', z0: 0.0002, factors: [0.7542, 0.7872, 0.8247, 0.8513, 0.9359] },
  { terrain: 'smooth', z0: 0.005, factors: [0.6501, 0.6971, 0.7504, 0.7883, 0.9088] },
  { terrain: 'open', z0: 0.03, factors: [0.5422, 0.6036, 0.6734, 0.7229, 0.8807] },
  { terrain: 'roughly_open', z0: 0.1, factors: [0.4225, 0.5, 0.588, 0.6505, 0.8495] },
  { terrain: 'rough', z0: 0.25, factors: [0.2791, 0.3758, 0.4857, 0.5637, 0.8121] },
  { terrain: 'very_rough', z0: 0.5, factors: [0.1123, 0.2314, 0.3667, 0.4628, 0.7686] },
  { terrain: 'closed', z0: 1, factors: [null, 0, 0.1761, 0.301, 0.699] },
  { terrain: 'chaotic', z0: 2, factors: [null, null, null, 0] },
]

describe('windProfileFactor', () => {
  it.each(rows)('has the published values over $terrain terrain', ({ terrain, z0, factors }) => {
    expect(roughnessLengthM[terrain]).toBe(z0)
    factors.forEach((want, i) => {
      const got = windProfileFactor(heights[i], 10, roughnessLengthM[terrain])
      if (want === null) expect(got).toBeNaN()
      else expect(Math.abs(got - want)).toBeLessThan(5.1e-5)
    })
  })

  it('is 1 at the anemometer, whatever its height, and grows with height', () => {
    for (const anemometer of [2, 6.1, 10, 20]) expect(windProfileFactor(anemometer, anemometer, 0.03)).toBe(1)
    expect(windProfileFactor(20, 10, 0.03)).toBeGreaterThan(1)
    // From 2 m to 1 m: the ratio of both factors from 10 m.
    const direct = windProfileFactor(1, 2, 0.03)
    expect(direct).toBeCloseTo(windProfileFactor(1, 10, 0.03) / windProfileFactor(2, 10, 0.03), 12)
  })

  it('is NaN where the law says nothing', () => {
    expect(windProfileFactor(0, 10, 0.03)).toBeNaN()
    expect(windProfileFactor(3, 1, 2)).toBeNaN()
    expect(windProfileFactor(3, 2, 2)).toBeNaN()
    expect(windProfileFactor(1, 10, 0)).toBeNaN()
    expect(windProfileFactor(Number.NaN, 10, 0.03)).toBeNaN()
    expect(windProfileFactor(1, Number.NaN, 0.03)).toBeNaN()
    expect(windProfileFactor(1, 10, Number.NaN)).toBeNaN()
  })
})

describe('windOverLand', () => {
  it('is the profile of open land over open land', () => {
    for (const height of [0.5, 2, 10, 30]) {
      expect(windOverLand(height, 0.03)).toBeCloseTo(windProfileFactor(height, 10, 0.03), 12)
    }
  })

  it.each([
    // ln(60/0.03)/ln(10/0.03)·ln(10/z0)/ln(60/z0): exposure correction of WMO-No. 8 Part I ch. 5, by hand to four decimals.
    { z0: 0.1, at10M: 0.942 },
    { z0: 0.25, at10M: 0.8807 },
    { z0: 0.5, at10M: 0.8187 },
    { z0: 0.0002, at10M: 1.1225 },
  ])('at 10 m over z0 = $z0 m it is $at10M of the wind at the station', ({ z0, at10M }) => {
    expect(Math.abs(windOverLand(10, z0) - at10M)).toBeLessThan(1e-4)
  })

  it('says nothing below the roughness', () => {
    expect(windOverLand(0.7, 1)).toBeNaN()
  })
})
