import { describe, expect, it } from 'vitest'
import { MOTION_PRIORS, trueMotion } from '../../src/compare/recorded-motion.ts'
import { randomOf } from '../simulator/random.ts'

describe('trueMotion', () => {
  it('leaves differences of sound recordings as they are', () => {
    const parts = [0.2, 0.26, 0.31].map((log) => ({ log, sd: 0.001, commonSd: 0 }))
    const { log } = trueMotion(parts)
    parts.forEach((part, i) => {
      expect(log[i]).toBeCloseTo(part.log, 2)
    })
  })

  it('takes differences of noisy recordings for noise', () => {
    const { log } = trueMotion([0.2, 0.25, 0.31].map((value) => ({ log: value, sd: 0.2, commonSd: 0 })))
    expect(log[2] - log[0]).toBeLessThan(0.02)
    expect(log[2] - log[0]).toBeGreaterThan(0)
  })

  it('draws the noisy drive towards the sound ones, and not these towards it', () => {
    const { log, sd } = trueMotion([
      { log: 0.2, sd: 0.003, commonSd: 0 },
      { log: 0.21, sd: 0.003, commonSd: 0 },
      { log: 0.6, sd: 0.2, commonSd: 0 },
    ])
    expect(Math.abs(log[0] - 0.2)).toBeLessThan(0.002)
    expect(log[2]).toBeLessThan(0.3)
    expect(sd[2]).toBeGreaterThan(5 * sd[0])
  })

  it('a single drive keeps its own value', () => {
    expect(trueMotion([{ log: 0.3, sd: 0.05, commonSd: 0 }]).log[0]).toBeCloseTo(0.3, 12)
  })

  // Spreads of driving drawn from the prior, drives and noise from the model itself: the intervals must hold the truth.
  it.each([0.005, 0.02, 0.1])('90 % intervals of differences hold the truth, with noise of %s', (noise) => {
    const random = randomOf(`recorded-motion/${noise}`)
    let [held, all] = [0, 0]
    for (let n = 0; n < 300; n++) {
      const spread = MOTION_PRIORS.spread.median * Math.exp(MOTION_PRIORS.spread.logSd * random.normal())
      const truth = Array.from({ length: 4 }, () => 0.25 + spread * random.normal())
      const { log, sd } = trueMotion(truth.map((t) => ({ log: t + noise * random.normal(), sd: noise, commonSd: 0 })))
      for (const [a, b] of [
        [0, 1],
        [2, 3],
      ]) {
        const off = Math.abs(log[a] - log[b] - (truth[a] - truth[b]))
        all++
        if (off <= 1.645 * Math.sqrt(sd[a] * sd[a] + sd[b] * sd[b])) held++
      }
    }
    // 600 pairs, two of one spread: 90 % within 4.5 points.
    expect(held / all).toBeGreaterThan(0.855)
    expect(held / all).toBeLessThan(0.945)
  })
})
