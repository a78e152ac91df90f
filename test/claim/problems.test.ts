import { describe, expect, it } from 'vitest'
import { claimsOf } from '../../src/claim/claims.ts'
import { claimProblems } from '../../src/claim/problems.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { claimProblem } from '../../src/report/words/checks/claim-problems.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

const run = (i: number, row: Partial<FuelRun['row']> = {}, over: Partial<FuelRun> = {}): FuelRun => ({
  id: `run-${i}`,
  route: 0,
  setup: i % 2 === 0 ? 'bare' : 'skirts',
  startTime: 1_746_000_000 + i * 86_400,
  endTime: 1_746_003_600 + i * 86_400,
  distanceM: 100_000,
  row: emptyRow({ line: i + 2, track: `run-${i}.gpx`, fuelLitres: 8, ...row }),
  demandDraws: new Float64Array(400).fill(1000),
  nominalDemandJPerM: 1000,
  nominalDragJPerM: 500,
  leftOut: null,
  ...over,
})

const settings = claimSettings({ setups: { bare: [], skirts: ['skirts'] } })
const codes = (runs: FuelRun[], over = {}): string[] => claimProblems(runs, { ...settings, ...over }).map((p) => p.code)

describe('the ledger’s problems', () => {
  it('finds nothing wrong with a sound one', () => {
    expect(codes([0, 1, 2, 3].map((i) => run(i)))).toEqual([])
  })

  it.each([
    [
      'a setup nobody defined',
      [run(0), run(1, {}, { setup: 'skrits' })],
      'setup-undefined',
      /"skrits".*defined are bare and skirts/,
    ],
    ['a baseline nobody drove', [run(1)], 'baseline-never-driven', /no drive has the setup "bare"/],
    [
      'fuel without a setup',
      [run(0), run(1, {}, { setup: null })],
      'fuel-without-setup',
      /1 drive with fuel or energy has no setup/,
    ],
    [
      'litres and kilograms',
      [run(0), run(1), run(2, { fuelLitres: Number.NaN, fuelKg: 6 })],
      'mixed-fuel-units',
      /in litres, 1 drive only in kilograms/,
    ],
    ['fuel and electricity', [run(0), run(1, { energyKwh: 9 })], 'fuel-and-electricity', /1 drive used both/],
    [
      '40 l for 10 km',
      [run(0), run(1, { fuelLitres: 40 }, { distanceM: 10_000 })],
      'impossible-consumption',
      /40\.00 l for 10\.0 km is 400\.0 l per 100 km, expected 0\.02 to 300/,
    ],
    [
      'a slip of the decimal point',
      [run(0), run(1), run(2, { fuelLitres: 80 })],
      'impossible-consumption',
      /80\.0 l per 100 km, expected about 8\.0/,
    ],
    [
      'an odometer that disagrees',
      [run(0, { odometerM: 104_000 })],
      'odometer-disagrees',
      /4\.0 % apart, expected at most 2 %/,
    ],
    [
      'an odometer that is always off',
      [0, 1, 2].map((i) => run(i, { odometerM: 103_000 })),
      'odometer-off',
      /3\.0 % more than GPS in all drives/,
    ],
    [
      'a chain without a fill',
      [run(0, { fillGroup: 'a', fuelLitres: Number.NaN }), run(1, { fillGroup: 'a' })],
      'fill-chain-broken',
      /in the middle of the fill group "a"/,
    ],
  ])('names %s', (_, runs, code, message) => {
    const found = claimProblems(runs as FuelRun[], settings).find((p) => p.code === code)
    expect(found && claimProblem(found).message).toMatch(message as RegExp)
  })

  it('suggests the setup that was meant', () => {
    const [problem] = claimProblems([run(0), run(1, {}, { setup: 'skrits' })], settings)
    expect(claimProblem(problem)).toMatchObject({ line: 3, severity: 'warning', hint: 'Did you mean skirts?' })
  })

  it('suggests the baseline that was meant, and claims nothing against one that was never driven', () => {
    const runs = [0, 1, 2, 3].map((i) => run(i, {}, i % 2 === 0 ? { setup: 'plain' } : {}))
    const misspelt = claimSettings({ setups: {}, baseline: 'plian' })
    const { claims, problems } = claimsOf(runs, ['the loop'], misspelt)
    expect(claims).toEqual([])
    const told = problems.filter(({ code }) => code === 'baseline-never-driven').map(claimProblem)
    expect(told).toMatchObject([{ severity: 'error', hint: expect.stringMatching(/^Did you mean plain\?/) }])
    expect(told[0].message).toContain('Driven were plain and skirts')
    expect(claimsOf(runs, ['the loop'], { ...misspelt, baseline: 'plain' }).claims).toHaveLength(1)
  })

  it('names setups that are written alike but for a space or a sign', () => {
    const names = ['roof rack', 'roofrack', 'roofrack', 'bars']
    const runs = names.map((setup, i) => run(i, {}, { setup }))
    const found = claimProblems(runs, claimSettings({ setups: {}, baseline: 'bars' })).map(claimProblem)
    expect(found.map(({ code, line }) => ({ code, line }))).toEqual([{ code: 'setups-alike', line: 3 }])
    expect(found[0].message).toContain('"roof rack" (1 drive) and "roofrack" (2 drives)')
  })

  it('leaves a run with impossible fuel out of the claim, and says so', () => {
    const runs = [0, 1, 2, 3, 4, 5].map((i) => run(i, i === 3 ? { fuelLitres: 80 } : {}))
    const [claim] = claimsOf(runs, ['the loop'], settings).claims
    expect(claim.runs).toEqual(['run-1', 'run-5'])
    expect(claim.leftOut[0].reason).toMatchObject({ code: 'impossible-fuel', amount: 80, per100Km: 80, usual: 8 })
    expect(toldClaim(claim, runs).left_out[0].reason).toMatch(
      /^its consumption cannot be right: 80\.00 l for 100\.0 km/,
    )
    expect(claim.adjusted!.consumptionChangePct.estimate).toBeCloseTo(0, 9)
  })
})
