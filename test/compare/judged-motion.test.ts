import { describe, expect, it } from 'vitest'
import type { Contributions } from '../../src/compare/contribution-draws.ts'
import { withJudgedMotion } from '../../src/compare/judged-motion.ts'

const share = (meanPct: number, half: number) => ({
  meanPct,
  low90Pct: meanPct - half,
  high90Pct: meanPct + half,
})
const SHARES: Contributions = {
  airDensity: share(1, 0.1),
  wind: share(2, 3),
  rollingTemperature: share(0, 0.2),
  speed: share(-4, 1),
  route: share(0.5, 0.1),
}

describe('withJudgedMotion', () => {
  it('gives the change of the mean to the speed, so that the shares add up to the judged difference', () => {
    const judged = withJudgedMotion(SHARES, share(-0.5, 4), share(1.5, 4))
    const sum = Object.values(judged).reduce((total, { meanPct }) => total + meanPct, 0)
    expect(sum).toBeCloseTo(1.5, 12)
    expect({ ...judged, speed: null }).toEqual({ ...SHARES, speed: null })
  })

  // Independent errors add in their squares: 3² + 4² = 5².
  it('widens the speed by what widened the difference', () => {
    const { speed } = withJudgedMotion({ ...SHARES, speed: share(0, 3) }, share(-0.5, 3), share(-0.5, 5))
    expect(speed.high90Pct).toBeCloseTo(5, 12)
    expect(speed.low90Pct).toBeCloseTo(-5, 12)
  })
})
