import { describe, expect, it } from 'vitest'
import { type ClaimsResult, claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { claimed, exact, pair, plain } from './small-campaigns.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

/** What a claim says, without what carries the run's place in memory. */
const said = (result: ClaimsResult) =>
  result.claims.map(({ logEffects: _, runs, baselineRuns, leftOut, drift, evidence, ...rest }) => ({
    ...rest,
    drift: drift?.changeOverSpanPct,
    evidence: evidence?.estimates.map(({ logChange, logSd }) => [logChange, logSd]),
    counts: [runs.length, baselineRuns.length, leftOut.length],
  }))

describe('a claim', () => {
  const runs = exact([
    { setup: 'bare', litres: 13, day: 0 },
    { setup: 'skirts', litres: 12.2, day: 1 },
    { setup: 'bare', litres: 13.02, day: 2 },
    { setup: 'skirts', litres: 12.25, day: 3 },
    { setup: 'bare', litres: 12.98, day: 4 },
    { setup: 'skirts', litres: 12.15, day: 5 },
  ])

  it('is supported where the interval of a change stays clear of zero', () => {
    const [claim] = claimsOf(runs, ['the loop'], plain).claims
    expect(claim.verdict).toBe('supported')
    // 12.2 against 13.0 litres.
    expect(claim.adjusted!.consumptionChangePct.estimate).toBeCloseTo(100 * (12.2 / 13 - 1), 2)
    expect(claim.adjusted!.distancePerFuelChangePct.estimate).toBeCloseTo(100 * (13 / 12.2 - 1), 2)
    expect(claim.raw!.consumptionChangePct.estimate).toBeCloseTo(claim.adjusted!.consumptionChangePct.estimate, 6)
    expect(claim.measuredPer100Km).toMatchObject({ unit: 'l', baseline: expect.closeTo(8.125, 9) })
    expect(claim.runs).toEqual(['run-1', 'run-3', 'run-5'])
    expect(Object.values(claim.uncertaintyShares!).reduce((sum, s) => sum + s, 0)).toBeCloseTo(1, 12)
  })

  it('is explained by conditions where the demand had the same change', () => {
    const same = runs.map((r) =>
      r.setup === 'skirts' ? { ...r, demandDraws: new Float64Array(400).fill(1000 * (12.2 / 13)) } : r,
    )
    const [claim] = claimsOf(same, ['the loop'], plain).claims
    expect(claim.verdict).toBe('explained by conditions')
    expect(toldClaim(claim, same).reason).toContain('conditions explain the difference')
    expect(claim.adjusted!.consumptionChangePct.estimate).toBeCloseTo(0, 1)
    expect(claim.conditionsChangePct!.estimate).toBeCloseTo(100 * (12.2 / 13 - 1), 6)
  })

  it('is unresolved where the fills alone could make the change', () => {
    const [claim] = claimsOf(runs, ['the loop'], { ...plain, fillRepeatabilityLitres: 0.8 }).claims
    expect(claim.verdict).toBe('unresolved')
    expect(claim.uncertaintyShares!.fills).toBeGreaterThan(0.8)
  })

  it.each([
    ['no fuel', { row: emptyRow() }, 'no drive with skirts has a consumption'],
    ['no weather', { demandDraws: null }, 'the wind or the temperature of the drives with skirts is not known'],
    ['runs left out', { leftOut: { code: 'wet' as const } }, 'every drive with skirts is excluded'],
    ['another road', { route: 1 }, 'the baseline, bare, has no usable drive on this road'],
  ])('is not testable with %s, and says what is missing', (_, over, missing) => {
    const changed = runs.map((r) => (r.setup === 'skirts' ? { ...r, ...over } : r))
    const [claim] = claimsOf(changed, ['the loop', 'the pass'], plain).claims
    expect(claim.verdict).toBe('not testable')
    const { reason, statement } = toldClaim(claim, changed)
    expect(reason).toContain(missing)
    expect(statement).toContain(missing)
    expect(claim.adjusted).toBeNull()
  })

  it('still says what was measured where only the weather is missing', () => {
    const unknown = runs.map((r) => ({ ...r, demandDraws: null }))
    const [claim] = claimsOf(unknown, ['the loop'], plain).claims
    expect(claim.raw!.consumptionChangePct.estimate).toBeCloseTo(100 * (12.2 / 13 - 1), 2)
    expect(toldClaim(claim, unknown).statement).toContain('not corrected for any condition')
  })

  it('is made for a setup that is defined but was never driven', () => {
    const { claims } = claimsOf(runs, ['the loop'], { ...plain, setups: { ...plain.setups, tail: ['tail'] } })
    expect(claims.map((c) => [c.setup, c.verdict])).toEqual([
      ['skirts', 'supported'],
      ['tail', 'not testable'],
    ])
    expect(claims[1].missing).toEqual({ code: 'not-driven', setups: ['tail'] })
    expect(toldClaim(claims[1], runs).reason).toContain('no drive was made with tail')
  })

  it('leaves runs out with the reason', () => {
    const [claim] = claimsOf(
      runs.map((r, i) => (i === 3 ? { ...r, leftOut: { code: 'wet' as const } } : r)),
      ['the loop'],
      plain,
    ).claims
    expect(claim.runs).toEqual(['run-1', 'run-5'])
    expect(claim.leftOut).toEqual([{ id: 'run-3', reason: { code: 'wet' } }])
    expect(toldClaim(claim, runs).statement).toContain('Excluded: run-3 (its road was wet, the baseline’s was dry).')
  })

  it('can be published as one paragraph with its conditions', () => {
    const { statement } = toldClaim(claimsOf(runs, ['the loop'], plain).claims[0], runs)
    expect(statement).not.toContain('\n')
    expect(statement).toMatch(
      /^With skirts, compared with bare on the loop, the vehicle used 6\.2 % less fuel for the same distance, corrected to equal conditions \(95 % interval −\d\.\d to −\d\.\d %\); that is 6\.6 % more distance for the same fuel/,
    )
    for (const part of [
      '3 drives with skirts and 3 with bare, of 160 km each',
      'between 2025-04-30 and 2025-05-05',
      'was corrected',
      'not for rain',
      'Conditions with skirts: 12 °C, air 1.210 to 1.250 kg/m³, wind 3.4 m/s.',
      'Verdict: supported; the 95 % interval excludes zero.',
    ]) {
      expect(statement).toContain(part)
    }
  })

  it('takes the setup without parts for the baseline where none is named', () => {
    const { baseline, claims, problems } = claimsOf(runs, ['the loop'], { ...plain, baseline: null })
    expect(baseline).toBe('bare')
    expect(claims).toHaveLength(1)
    expect(problems.map((p) => p.code)).toContain('baseline-assumed')
  })

  it('claims nothing without fuel, setups or runs', () => {
    expect(claimsOf([], [], plain).claims.map((c) => c.verdict)).toEqual(['not testable'])
    expect(claimsOf([], [], claimSettings({ baseline: null })).claims).toEqual([])
  })
})

describe('what a claim does not depend on', () => {
  it('the order of rows, the names of files and ids', () => {
    const campaign = pair()
    const there = said(claimed(campaign))
    const reversed = { ...campaign, runs: [...campaign.runs].reverse() }
    expect(said(claimed(reversed))).toEqual(there)
    const renamed = campaign.runs.map((r, i) => ({
      ...r,
      id: `x${99 - i}`,
      row: { ...r.row, track: `x${99 - i}.gpx`, line: 40 - i },
    }))
    expect(said(claimed({ ...campaign, runs: renamed }))).toEqual(there)
  })

  it('a pump that is off', () => {
    const there = claimed(pair()).claims[0].adjusted!.consumptionChangePct
    const off = pair()
    for (const r of off.runs) r.row = { ...r.row, fuelLitres: r.row.fuelLitres * 1.03 }
    const scaledFills = { fillRepeatabilityLitres: 1.03 * 0.12 }
    const found = claimed(off, scaledFills).claims[0].adjusted!.consumptionChangePct
    expect(found.estimate).toBeCloseTo(there.estimate, 6)
    expect(found.low95).toBeCloseTo(there.low95, 6)
  })

  it('the size of the draws, beyond their noise', () => {
    const { runs, settings } = pair()
    const longer = runs.map((r) => ({
      ...r,
      demandDraws: Float64Array.from({ length: 1600 }, (_, k) => r.demandDraws![k % 400]),
    }))
    const few = claimsOf(runs, ['a'], settings).claims[0].adjusted!.consumptionChangePct
    const many = claimsOf(longer, ['a'], { ...settings, draws: 1600 }).claims[0].adjusted!.consumptionChangePct
    expect(few.estimate).toBeCloseTo(many.estimate, 1)
    expect(Math.abs(few.low95 / many.low95 - 1)).toBeLessThan(0.08)
  })
})

describe('routes', () => {
  const two = (): FuelRun[] => {
    const loop = pair({ seed: 'r0' }).runs
    const pass = pair({ seed: 'r1', litresPer100Km: 11 }).runs
    return [...loop, ...pass.map((r) => ({ ...r, id: `pass-${r.id}`, route: 1, startTime: r.startTime + 20 * 86_400 }))]
  }
  const settings = pair().settings

  it('are claimed apart, and pooled only when asked', () => {
    const apart = claimsOf(two(), ['the loop', 'the pass'], settings).claims
    expect(apart.map((c) => c.routeName)).toEqual(['the loop', 'the pass'])
    const all = claimsOf(two(), ['the loop', 'the pass'], { ...settings, poolRoutes: true }).claims
    expect(all.map((c) => c.pooled)).toEqual([false, false, true])
    const of = (i: number): number => all[i].adjusted!.consumptionChangePct.estimate
    expect(of(2)).toBeGreaterThan(Math.min(of(0), of(1)))
    expect(of(2)).toBeLessThan(Math.max(of(0), of(1)))
    expect(toldClaim(all[2], two()).statement).toContain('on all roads together')
  })
})

describe('electric energy', () => {
  it('is claimed like fuel, with the charger’s own errors', () => {
    const { runs, settings } = pair()
    const charged = runs.map((r) => ({
      ...r,
      row: { ...r.row, fuelLitres: Number.NaN, energyKwh: 2.2 * r.row.fuelLitres },
    }))
    const [claim] = claimsOf(charged, ['a'], { ...settings, powertrain: 'electric' }).claims
    expect(claim.measuredPer100Km!.unit).toBe('kWh')
    expect(toldClaim(claim, charged).statement).toContain('less energy')
    expect(claim.uncertaintyShares!.fuel_temperature).toBe(0)
    expect(claim.uncertaintyShares!.pump_meter).toBeLessThan(1e-9)
  })
})
