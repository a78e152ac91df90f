import { describe, expect, it } from 'vitest'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { claimSettings, syntheticCampaign } from './synthetic-campaign.ts'

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
