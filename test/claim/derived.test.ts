import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import { partsOfClaims, senseOfClaim } from '../../src/claim/derived.ts'
import { evidenceRecords } from '../../src/claim/evidence/evidence-records.ts'
import type { ClaimSettings, FuelRun } from '../../src/claim/types.ts'
import { randomOf } from '../simulator/random.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

/** True effects of the parts, ln. */
const PARTS: Record<string, number> = { covers: -0.03, skirts: -0.05, tail: -0.015 }
const SETUPS: Record<string, string[]> = {
  bare: [],
  one: ['covers'],
  two: ['covers', 'skirts'],
  three: ['covers', 'skirts', 'tail'],
}
const K = 400
/** Errors as the program believes them: run to run, of the demand, of a fill (litres), of a trip computer. */
const SD = { run: 0.008, demand: 0.01, fillLitres: 0.1, trip: 0.02 }

/** A campaign on one road of 160 km at 8 l/100 km whose errors are those believed. */
function campaign(seed: string, setups: string[], repeats: number): { runs: FuelRun[]; settings: ClaimSettings } {
  const random = randomOf(`derived/${seed}`)
  const scale = Math.exp(0.05 * random.normal())
  const runs = Array.from({ length: repeats }, (_, n) => setups.map((setup) => ({ setup, n })))
    .flat()
    .map(({ setup, n }, i): FuelRun => {
      const id = `${setup}-${n}`
      const trueDemand = 1000 * Math.exp(0.03 * random.normal())
      const believed = trueDemand * Math.exp(SD.demand * random.normal())
      const effect = SETUPS[setup].reduce((sum, part) => sum + PARTS[part], 0)
      const per100Km = 8 * (trueDemand / 1000) * Math.exp(effect + SD.run * random.normal())
      const fuelLitres = per100Km * 1.6 + SD.fillLitres * (random.normal() - random.normal())
      const tripComputerLitresPer100Km = scale * per100Km * Math.exp(SD.trip * random.normal())
      return {
        id,
        route: 0,
        setup,
        startTime: 1e9 + 86_400 * i,
        endTime: 1e9 + 86_400 * i + 6000,
        distanceM: 160_000 + i,
        row: emptyRow({ track: `${id}.gpx`, setup, fuelLitres, tripComputerLitresPer100Km }),
        demandDraws: drawsOf(`air/${seed}/${id}`, K, 1).map((z) => believed * Math.exp(SD.demand * z)),
        nominalDemandJPerM: believed,
        nominalDragJPerM: 0.6 * believed,
        leftOut: null,
      }
    })
  return { runs, settings: claimSettings({ setups: SETUPS, fillRepeatabilityLitres: SD.fillLitres, draws: K }) }
}

const claimed = (seed: string, setups: string[], repeats: number) => {
  const { runs, settings } = campaign(seed, setups, repeats)
  const result = claimsOf(runs, ['road'], settings)
  return { runs, settings, result }
}

describe('parts of simulated campaigns', () => {
  it('hold the true effect in their 95 % intervals, and are no wider than the errors put in', () => {
    const campaigns = 40
    let held = 0
    let halfWidths = 0
    for (let i = 0; i < campaigns; i++) {
      const { result, settings } = claimed(`parts ${i}`, Object.keys(SETUPS), 3)
      for (const { part, consumptionChangePct: change } of partsOfClaims(result, settings)?.effects ?? []) {
        if (!change) throw new Error(`${part} is told`)
        const truth = 100 * Math.expm1(PARTS[part])
        if (change.low95 <= truth && truth <= change.high95) held++
        halfWidths += (change.high95 - change.low95) / 2 / (3 * campaigns)
      }
    }
    // 120 intervals, three to a campaign and not independent: three binomial standard deviations below 95 %.
    expect(held / (3 * campaigns)).toBeGreaterThan(0.89)
    // Each run: fills √2 · 0.1 l in 12.8 l, demand 1 %, run to run 0.8 %: 1.69 %. Two means of three: 1.38 %, times 1.96.
    // What is believed of the repeatability before there are repeats adds up to a fifth.
    expect(halfWidths / 2.7).toBeGreaterThan(0.9)
    expect(halfWidths / 2.7).toBeLessThan(1.2)
  })

  it('agree with the claim where a setup is one part', () => {
    for (const isFused of [true, false]) {
      const { runs, settings } = campaign('one part', ['bare', 'one'], 3)
      const row = (run: FuelRun) => (isFused ? run.row : { ...run.row, tripComputerLitresPer100Km: Number.NaN })
      const given = runs.map((run) => ({ ...run, row: row(run) }))
      const result = claimsOf(given, ['road'], settings)
      const [claim] = result.claims
      expect(claim.byFuelAlone !== null).toBe(isFused)
      const [mine, its] = [partsOfClaims(result, settings)!.effects[0], claim.adjusted!].map(
        (e) => e.consumptionChangePct!,
      )
      // By the fuel alone runs are weighed by variances that 400 draws know to some 10 %: a tenth of the change's standard
      // deviation. With the other readings both are one estimate.
      const sd = (its.high95 - its.low95) / 3.92
      const within = isFused ? 1e-9 : 0.1
      expect(Math.abs(mine.estimate - its.estimate)).toBeLessThan(within * sd)
      expect(Math.abs((mine.high95 - mine.low95) / 3.92 / sd - 1)).toBeLessThan(within)
    }
  })

  it('name what never came apart', () => {
    const { result, settings } = claimed('nested', ['bare', 'two'], 2)
    const parts = partsOfClaims(result, settings)
    expect(parts?.groups).toHaveLength(1)
    expect(parts?.groups[0]).toMatchObject({
      parts: ['covers', 'skirts'],
      separatingRun: { parts: ['covers'], setup: 'one' },
    })
  })

  it('do not exist without fuel', () => {
    const { runs, settings } = campaign('dry', ['bare', 'one'], 1)
    const dry = runs.map((run) => ({ ...run, row: emptyRow() }))
    expect(partsOfClaims(claimsOf(dry, ['road'], settings), settings)).toBeNull()
  })
})

describe('fuel and trip computer together', () => {
  it('hold the truth as often as the fuel alone, more narrowly, and are the headline where they agree', () => {
    const campaigns = 100
    const tally = { fused: 0, held: 0, heldByFuel: 0, half: 0, halfByFuel: 0 }
    for (let i = 0; i < campaigns; i++) {
      const { result } = claimed(`fused ${i}`, ['bare', 'two'], 3)
      const claim = result.claims.find(({ setup }) => setup === 'two')!
      const agree = (claim.evidence?.consistency?.p ?? 0) >= 0.01
      expect(claim.ways).toEqual(agree ? ['l', 'trip computer'] : ['l'])
      expect(claim.byFuelAlone !== null).toBe(agree)
      const { low95, high95 } = claim.adjusted!.consumptionChangePct
      const byFuel = (claim.byFuelAlone ?? claim.adjusted)!.consumptionChangePct
      const truth = 100 * Math.expm1(-0.08)
      if (agree) tally.fused++
      if (low95 <= truth && truth <= high95) tally.held++
      if (byFuel.low95 <= truth && truth <= byFuel.high95) tally.heldByFuel++
      // Where they agree barely all is widened on purpose.
      if (!agree || claim.evidence!.fusedWidening > 1) continue
      tally.half += (high95 - low95) / 2
      tally.halfByFuel += (byFuel.high95 - byFuel.low95) / 2
    }
    // Three binomial standard deviations of 100 about 95 %: 6.5 %.
    expect(tally.held / campaigns).toBeGreaterThan(0.885)
    expect(tally.heldByFuel / campaigns).toBeGreaterThan(0.885)
    // Chance alone makes 1 of 100 disagree: 3 standard deviations more are 4.
    expect(tally.fused / campaigns).toBeGreaterThan(0.95)
    // A trip computer of 2 % beside fills of 1.1 % and demand and repeats of 1.3 %: an oracle gains some 9 %.
    expect(tally.half / tally.halfByFuel).toBeLessThan(0.97)
  })
})

describe('evidence of simulated campaigns', () => {
  it('disagrees in about 5 % of campaigns whose pump and trip computer are both right, and the mean holds the truth', () => {
    const campaigns = 100
    let disagree = 0
    let held = 0
    for (let i = 0; i < campaigns; i++) {
      const { result } = claimed(`evidence ${i}`, ['bare', 'two'], 2)
      const claim = result.claims.find(({ setup }) => setup === 'two')
      const consistency = claim?.evidence?.consistency
      if (!consistency) throw new Error('two ways of measuring were given')
      if (consistency.p < 0.05) disagree++
      if (Math.abs(consistency.weightedMean + 0.08) < 1.96 * consistency.standardError) held++
    }
    // Three binomial standard deviations about 5 and 95 %: 6.5 %.
    expect(disagree / campaigns).toBeLessThan(0.115)
    expect(held / campaigns).toBeGreaterThan(0.885)
  })

  it('notices a pump that lies about one setup', () => {
    const { runs, settings } = campaign('liar', ['bare', 'two'], 3)
    const off = runs.map((run) =>
      run.setup === 'two' ? { ...run, row: { ...run.row, fuelLitres: run.row.fuelLitres * 0.9 } } : run,
    )
    const result = claimsOf(off, ['road'], settings)
    const claim = result.claims.find(({ setup }) => setup === 'two')
    const evidence = claim?.evidence
    expect(evidence?.consistency?.p).toBeLessThan(0.01)
    expect(evidence && evidenceRecords(evidence).at(-1)).toMatchObject({ kind: 'consistency', agree: false })
  })

  it('stands without a pump', () => {
    const { runs, settings } = campaign('no pump', ['bare', 'two'], 2)
    const dry = runs.map((run) => ({ ...run, row: { ...run.row, fuelLitres: Number.NaN } }))
    const result = claimsOf(dry, ['road'], settings)
    const claim = result.claims.find(({ setup }) => setup === 'two')
    const evidence = claim?.evidence
    expect(evidence?.estimates.map(({ kind }) => kind)).toEqual(['trip computer'])
    expect(evidence?.adjusted).toBe(true)
  })
})

describe('the sense check of a claim', () => {
  it('uses the claim’s own runs', () => {
    const { runs, result } = claimed('sense', ['bare', 'two'], 2)
    const claim = result.claims.find(({ setup }) => setup === 'two')
    const sense = claim ? senseOfClaim(claim, runs) : null
    expect(sense?.dragShare).toBeCloseTo(0.6, 12)
    expect(sense?.impliedDragAreaChangePct.estimate).toBeCloseTo(
      (claim?.adjusted?.consumptionChangePct.estimate ?? 0) / 0.6,
      9,
    )
  })
})
