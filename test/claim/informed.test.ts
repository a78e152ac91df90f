import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { roadModel } from '../../src/claim/model/generalised.ts'
import { informedDemands, informedDifference, LEAST_INFORMED_DRIVES } from '../../src/claim/model/informed.ts'
import type { Observation } from '../../src/claim/model/observation.ts'
import type { Scatter } from '../../src/claim/model/scatter.ts'
import { randomOf } from '../simulator/random.ts'
import { emptyRow } from './synthetic-campaign.ts'

const DRAWS = 4000

/** Drives of two setups whose demand is wrong by `conditionsSd`, each by itself, and whose fuel by `fuelSd`. */
function observations(
  count: number,
  conditionsSd: number,
  fuelSd: number,
  errors: (i: number) => number,
): Observation[] {
  return Array.from({ length: count }, (_, i) => {
    const z = drawsOf(`test/informed/${i}`, DRAWS, 1)
    const demandDraws = z.map((value) => 500 * Math.exp(conditionsSd * value))
    return {
      run: {
        id: `run-${i}`,
        route: 0,
        setup: i % 2 === 0 ? 'a' : 'b',
        startTime: 86_400 * i,
        endTime: 86_400 * i + 3600,
        distanceM: 50_000,
        row: emptyRow(),
        demandDraws,
        nominalDemandJPerM: 500,
        nominalDragJPerM: 250,
        leftOut: null,
      },
      way: 'l',
      y: (i % 2) * 0.05 + errors(i),
      errors: [{ source: 'fills', name: `fill/${i}`, sd: fuelSd }],
      conditions: z.map((value) => -conditionsSd * value),
      session: `${i}`,
    }
  })
}
const known: Scatter = {
  points: [{ point: { repeatability: 1e-6, sessionShare: 0, ways: {} }, probability: 1 }],
  centre: { repeatability: 1e-6, sessionShare: 0, ways: {} },
}

describe('informedDemands', () => {
  it('shrinks a residual by the share of its variance that is of the conditions', () => {
    // Normal theory: of a residual r within its setup, c²/(c² + f²) is of the conditions, and c²f²/(c² + f²) is left of
    // their variance, but for what the level of the setup costs.
    const [c, f] = [0.03, 0.01]
    const residual = (i: number): number => [0.04, 0, -0.04, 0][i % 4]
    const informed = informedDemands(roadModel(observations(40, c, f, residual)), known)!
    const share = c ** 2 / (c ** 2 + f ** 2)
    const between = informedDifference(informed, 'run-2', 'run-0')!
    // 4,000 draws of independent errors go together by chance, by 0.016.
    expect(between.log).toBeCloseTo(0.08 * share, 2)
    expect(between.sd / Math.sqrt(2 * share * f ** 2)).toBeCloseTo(1, 1)
  })

  it('takes no change of the vehicle for weather: setups have levels of their own', () => {
    const informed = informedDemands(roadModel(observations(20, 0.03, 0.01, () => 0)), known)!
    // All of the 5 % between the setups may be the vehicle's.
    expect(informedDifference(informed, 'run-0', 'run-1')!.log).toBeCloseTo(0, 6)
  })

  it('says nothing of few drives', () => {
    expect(informedDemands(roadModel(observations(LEAST_INFORMED_DRIVES - 1, 0.03, 0.01, () => 0)), known)).toBeNull()
  })

  it('holds what is true as often as it says, and is narrower than what the reports alone say', () => {
    const [c, f, count, campaigns] = [0.02, 0.01, 8, 200]
    let [held, pairs] = [0, 0]
    for (let n = 0; n < campaigns; n++) {
      const random = randomOf(`informed/${n}`)
      const truth = Array.from({ length: count }, () => c * random.normal())
      const informed = informedDemands(
        roadModel(observations(count, c, f, (i) => truth[i] + f * random.normal())),
        known,
      )!
      const { log, sd } = informedDifference(informed, 'run-0', 'run-2')!
      if (Math.abs(log - (truth[2] - truth[0])) <= 1.644854 * sd) held++
      pairs++
      expect(sd).toBeLessThan(0.75 * Math.SQRT2 * c)
    }
    // 200 campaigns at 90 %: a standard deviation of 2.1 points.
    expect(held / pairs).toBeGreaterThan(0.84)
    expect(held / pairs).toBeLessThan(0.96)
  })
})
