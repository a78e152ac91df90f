import { describe, expect, it } from 'vitest'
import { elevationGain, GAIN_SMOOTHING_M, smoothElevation } from '../../src/track/elevation.ts'
import { normalDraws } from './tracks.ts'

const distances = (lengthM: number, stepM: number) =>
  Float64Array.from({ length: Math.floor(lengthM / stepM) + 1 }, (_, i) => i * stepM)

/** Hills that begin on a crest. */
const hills = (distanceM: Float64Array, heightM: number, periodM: number) =>
  distanceM.map((d) => 100 + heightM * Math.cos((2 * Math.PI * d) / periodM))

describe('elevationGain', () => {
  // A sine of amplitude a over n periods climbs 2·a·n: by definition.
  it.each([
    { a: 10, n: 5 },
    { a: 50, n: 3 },
    { a: 3, n: 20 },
  ])('is 2·a·n for a sine: amplitude $a m, $n periods', ({ a, n }) => {
    const d = distances(n * 2000, 10)
    const { gainM, lossM } = elevationGain(hills(d, a, 2000), d)
    expect(gainM).toBeCloseTo(2 * a * n, 1)
    expect(lossM).toBeCloseTo(2 * a * n, 1)
  })

  it('leaves out ripples below the threshold and counts what exceeds it whole', () => {
    const d = distances(10000, 10)
    const ripple = d.map((_, i) => (i % 2 === 0 ? 0 : 4))
    expect(elevationGain(ripple, d, { thresholdM: 5 })).toEqual({ gainM: 0, lossM: 0 })
    expect(elevationGain(ripple, d, { thresholdM: 3 })).toEqual({ gainM: 2000, lossM: 2000 })
    const ramp = d.map((m, i) => m / 100 + ripple[i])
    expect(elevationGain(ramp, d, { thresholdM: 5 }).gainM).toBeCloseTo(100 + 4 - 0.1, 6)
  })

  it('skips NaN, and is 0 of nothing', () => {
    const d = distances(4000, 10)
    const e = hills(d, 20, 2000)
    e[0] = Number.NaN
    e.fill(Number.NaN, 140, 160)
    const { gainM, lossM } = elevationGain(e, d)
    expect(gainM).toBeCloseTo(80, 9)
    expect(lossM).toBeCloseTo(80 - (120 - e[1]), 9)
    expect(elevationGain(new Float64Array(5).fill(Number.NaN), distances(40, 10))).toEqual({ gainM: 0, lossM: 0 })
  })
})

describe('smoothElevation', () => {
  it('keeps a constant grade as it is, to the ends', () => {
    const d = distances(5000, 7)
    const smooth = smoothElevation(
      d,
      d.map((m) => 50 + 0.04 * m),
      d,
    )
    for (let i = 0; i < d.length; i++) expect(smooth[i]).toBeCloseTo(50 + 0.04 * d[i], 6)
  })

  // The tricube-weighted mean of a cosine over ± h, by quadrature; a local line has the same value at a crest.
  const keptHeight = (periodM: number, h: number) => {
    let [sum, weight] = [0, 0]
    for (let d = -h; d <= h; d += 0.01) {
      const w = (1 - Math.abs(d / h) ** 3) ** 3
      sum += w * Math.cos((2 * Math.PI * d) / periodM)
      weight += w
    }
    return sum / weight
  }

  it.each([4, 6, 10])('flattens a hill of %d half-widths as the kernel says', (ratio) => {
    const periodM = ratio * GAIN_SMOOTHING_M
    const d = distances(12 * periodM, 10)
    const smooth = smoothElevation(d, hills(d, 20, periodM), d)
    const inside = smooth.subarray(Math.round(d.length / 6), Math.round((5 * d.length) / 6))
    const height = (Math.max(...inside) - Math.min(...inside)) / 2
    expect(height / 20 / keptHeight(periodM, GAIN_SMOOTHING_M)).toBeGreaterThan(0.97)
    expect(height / 20 / keptHeight(periodM, GAIN_SMOOTHING_M)).toBeLessThan(1.03)
  })

  it('passes by single wild values, and makes the gain of a noisy hill what it is', () => {
    const normal = normalDraws(5)
    const d = distances(10000, 15)
    const noisy = hills(d, 30, 5000).map((e, i) => e + 2 * normal() + (i % 40 === 0 ? 60 : 0))
    const smooth = smoothElevation(d, noisy, d)
    const truth = hills(d, 30, 5000)
    const worst = smooth.reduce((most, e, i) => Math.max(most, Math.abs(e - truth[i])), 0)
    expect(worst).toBeLessThan(4)
    const { gainM } = elevationGain(smooth, d)
    expect(Math.abs(gainM / 120 - 1)).toBeLessThan(0.05)
    expect(elevationGain(noisy, d, { thresholdM: 0 }).gainM).toBeGreaterThan(1000)
  })

  it('says nothing where no value is within 500 m', () => {
    const at = Float64Array.of(0, 50, 100, 150, 3000, 3050, 3100)
    const smooth = smoothElevation(
      at,
      at.map(() => 7),
      distances(3100, 100),
    )
    expect(smooth[3]).toBeCloseTo(7, 9)
    expect(smooth[15]).toBeNaN()
    expect(smooth[30]).toBeCloseTo(7, 9)
    expect(smoothElevation(new Float64Array(0), new Float64Array(0), at)[0]).toBeNaN()
  })
})
