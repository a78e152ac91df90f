import { describe, expect, it } from 'vitest'
import { partsOfClaims } from '../../src/claim/derived.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { claimed, pair } from './small-campaigns.ts'

/** Two setups whose fuel differs by 6 %, and a trip computer that says what it says of the second one. */
function withTripComputer(ofChanged: number) {
  const campaign = pair({}, -6)
  for (const { row, setup, distanceM } of campaign.runs) {
    const truth = (1e5 * row.fuelLitres) / distanceM
    row.tripComputerLitresPer100Km = setup === 'bare' ? truth : truth * ofChanged
  }
  return campaign
}

describe('a trip computer that disagrees with the pump', () => {
  const alone = claimed(pair({}, -6)).claims[0]
  const campaign = withTripComputer(1.3)
  const result = claimed(campaign)
  const [claim] = result.claims
  const width = ({ low95, high95 }: { low95: number; high95: number }) => high95 - low95

  it('leaves the claim to the pump, whose errors count for more by the Birge ratio', () => {
    expect(claim.ways).toEqual(['l'])
    const factor = claim.logEffects.adjusted!.widenedBy
    expect(factor).toBeGreaterThan(2)
    const wider = width(claim.adjusted!.consumptionChangePct) / width(alone.adjusted!.consumptionChangePct)
    expect(wider / factor).toBeGreaterThan(0.8)
  })

  it('is the reason why the change is not shown: conditions do not explain it', () => {
    expect([claim.verdict, claim.heldBack]).toEqual(['unresolved', 'evidence-apart'])
    expect(toldClaim(claim, campaign.runs).reason).toContain('the ways of measuring the consumption disagree')
  })

  it('widens what another drive would leave, and the parts, by as much', () => {
    const more = claim.nextSteps.find(({ step }) => step === 'more-runs')!
    const usual = alone.nextSteps.find(({ step }) => step === 'more-runs')!
    const gain = ({ widthAfterPct, widthBeforePct }: typeof more) => widthAfterPct / widthBeforePct
    expect(gain(more)).toBeGreaterThan(gain(usual) - 0.1)
    const [part] = partsOfClaims(result, campaign.settings)!.effects
    expect(width(part.consumptionChangePct!)).toBeGreaterThan(0.8 * width(claim.adjusted!.consumptionChangePct))
  })

  it('that agrees barely is fused, and all errors count for more', () => {
    const { claim } = [1.03, 1.035, 1.04, 1.045, 1.05, 1.055, 1.06, 1.065, 1.07]
      .map((factor) => ({ claim: claimed(withTripComputer(factor)).claims[0] }))
      .find(({ claim: { evidence } }) => evidence!.consistency!.p < 0.05)!
    const { consistency, fusedWidening } = claim.evidence!
    expect(consistency!.p).toBeGreaterThan(0.01)
    expect(claim.ways).toEqual(['l', 'trip computer'])
    expect(fusedWidening).toBeCloseTo(Math.sqrt(consistency!.chiSquare), 12)
    expect(claim.logEffects.adjusted!.widenedBy).toBe(fusedWidening)
  })

  it('that agrees changes nothing', () => {
    const [same] = claimed(withTripComputer(1)).claims
    expect([same.heldBack, same.logEffects.adjusted!.widenedBy]).toEqual([null, 1])
  })
})
