import { describe, expect, it } from 'vitest'
import { drawingOf } from '../../src/base/draws.ts'
import { mean, standardDeviation } from '../../src/base/statistics.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { chanceOfWet, WET_EXTRA, wetDraws, wetSpell } from '../../src/demand/wet-road.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { claimSettings, syntheticCampaign } from './synthetic-campaign.ts'

describe('a road that may be wet', () => {
  it('adds all or nothing, with the mean and spread of a Bernoulli trial times an extra', () => {
    const draw = drawingOf({ draws: 4000, seed: 3 })
    const drawn = wetDraws(0.3, 'here', draw)
    const { value, sd } = WET_EXTRA
    // E = p·m, E² + Var = p·(m² + s²), of the log-normal extra: its mean is value·exp((sd/value)²/2).
    const m = value * Math.exp((sd / value) ** 2 / 2)
    const second = value * value * Math.exp(2 * (sd / value) ** 2)
    expect(mean(drawn) / (0.3 * m)).toBeCloseTo(1, 1)
    expect(standardDeviation(drawn) / Math.sqrt(0.3 * second - (0.3 * m) ** 2)).toBeCloseTo(1, 1)
    expect(drawn.filter((extra) => extra > 0).length / 4000).toBeCloseTo(0.3, 2)
  })

  it('is one road for drives of some hours, and another on another day', () => {
    const place = { latitude: 48.2, longitude: 9.1 }
    expect(wetSpell(place, 7200)).toBe(wetSpell({ latitude: 48.3, longitude: 9.4 }, 10_800))
    expect(wetSpell(place, 7200)).not.toBe(wetSpell(place, 7200 + 86_400))
  })

  it('is the likelier the damper the air, and unlikely in dry air', () => {
    expect(chanceOfWet(0.97)).toBeCloseTo(0.5, 1)
    expect(chanceOfWet(0.4)).toBe(0.02)
    expect(chanceOfWet(0.8)).toBeGreaterThan(chanceOfWet(0.7))
  })
})

describe('a claim on roads of which nobody says whether they were wet', () => {
  const { runs, settings } = syntheticCampaign({
    seed: 'wet',
    routeKm: 400,
    setups: [
      { name: 'bare', effectPct: 0, runs: 4 },
      { name: 'skirts', effectPct: -5, runs: 4 },
    ],
  })
  const claimOf = (some: FuelRun[]) => claimsOf(some, ['the loop'], claimSettings(settings)).claims[0]
  const spelled = (spell: (run: FuelRun) => string | null): FuelRun[] =>
    runs.map((run) => ({ ...run, doubtfulSpell: spell(run) }))

  it('is supported where it is known', () => {
    expect(claimOf(runs).verdict).toBe('supported')
  })

  it('is held back where wet roads on the side that used more would explain it', () => {
    const claim = claimOf(spelled(({ setup, id }) => (setup === 'bare' ? id : null)))
    expect(claim.verdict).toBe('unresolved')
    expect(claim.heldBack).toBe('wet-unknown')
    // What is published says why, and not what to write into which file: that is the next step's.
    const { statement, reason } = toldClaim(claim, runs)
    for (const text of [statement, reason]) {
      expect(text).toContain('nobody says whether the roads were dry')
      expect(text).not.toContain('runs.csv')
    }
  })

  it('is supported where the doubt is on the side that used less, or both were driven in the same spells', () => {
    expect(claimOf(spelled(({ setup, id }) => (setup === 'skirts' ? id : null))).verdict).toBe('supported')
    expect(claimOf(spelled(() => 'one morning')).verdict).toBe('supported')
  })
})
