import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { designOf, usualRepeatability } from '../../src/plan/design.ts'
import { type Measuring, runErrorsOf } from '../../src/plan/measuring.ts'
import { drivingOrders } from '../../src/plan/order.ts'
import { claimSettings, emptyRow } from '../claim/synthetic-campaign.ts'
import { type Random, randomOf } from '../simulator/random.ts'

const DRAWS = 200
const DAY_S = 86_400
const EXPANSION_PER_K = 0.00085

interface Case {
  what: string
  way: 'pump' | 'chained' | 'scale'
  runsPerSetup: number
  baselineRuns?: number
  /** Whether the trip computer is read as well. */
  also?: true
  routeKm: number
  effectPct: number
  repeatability: number
  conditions: number
}

const measuringOf = ({ way, also }: Case): Measuring => ({
  way,
  fuel: 'diesel',
  per100Km: 8,
  error: null,
  temperatureRead: false,
  meterTolerancePct: null,
  also: also ? 'trip-computer' : null,
})

/** A campaign whose every error is drawn as the claims state it, run by run in the order that the plan advises. */
function campaign(given: Case, random: Random): FuelRun[] {
  const { way, routeKm, conditions } = given
  const [order] = drivingOrders(given.runsPerSetup, way === 'chained', given.baselineRuns)
  let level = 0.15 * random.normal()
  return order.runs.map((letter, i) => {
    const effect = letter === 'B' ? Math.log1p(given.effectPct / 100) : 0
    const log = effect + given.repeatability * random.normal() + conditions * random.normal() + 0.0015 * random.normal()
    const batch = (way === 'scale' ? 0.0035 : 0.007) * random.normal()
    const used = (8 / 100) * routeKm * Math.exp(log + batch)
    if (way !== 'chained') level = 0.15 * random.normal()
    const after = 0.15 * random.normal()
    const litres = used * (1 + EXPANSION_PER_K * 2 * random.normal()) + after - level
    level = after
    const kg = used * 0.8325 + 0.02 * (random.normal() - random.normal())
    const z = drawsOf(`${i}/${random.normal()}`, DRAWS, 1)
    return {
      id: `run-${i}`,
      route: 0,
      setup: letter,
      startTime: 1.75e9 + i * DAY_S,
      endTime: 1.75e9 + i * DAY_S + 3600,
      distanceM: 1000 * routeKm,
      row: emptyRow({
        ...(way === 'scale' ? { fuelKg: kg } : { fuelLitres: litres }),
        ...(given.also
          ? { tripComputerLitresPer100Km: (100 * used * 1.03 * Math.exp(0.02 * random.normal())) / routeKm }
          : {}),
        fillGroup: way === 'chained' ? 'one' : null,
      }),
      demandDraws: z.map((value) => 1000 * Math.exp(conditions * value)),
      nominalDemandJPerM: 1000,
      nominalDragJPerM: 500,
      leftOut: null,
    }
  })
}

const CAMPAIGNS = 400
/** As asked for; the luck of 400 campaigns is 2.5 points at a power of one half. */
const POINTS = 0.05

describe('the power foretold', () => {
  it.each<Case>([
    {
      what: 'one each',
      way: 'scale',
      runsPerSetup: 1,
      routeKm: 160,
      effectPct: -5,
      repeatability: 0.008,
      conditions: 0.005,
    },
    {
      what: 'pump',
      way: 'pump',
      runsPerSetup: 3,
      routeKm: 160,
      effectPct: -3.5,
      repeatability: 0.008,
      conditions: 0.005,
    },
    {
      what: 'chained',
      way: 'chained',
      runsPerSetup: 4,
      routeKm: 100,
      effectPct: -4,
      repeatability: 0.008,
      conditions: 0.005,
    },
    {
      what: 'weighed, careful',
      way: 'scale',
      runsPerSetup: 6,
      routeKm: 160,
      effectPct: -1,
      repeatability: 0.005,
      conditions: 0.003,
    },
    {
      what: 'six against two',
      way: 'scale',
      runsPerSetup: 6,
      baselineRuns: 2,
      routeKm: 160,
      effectPct: -2.5,
      repeatability: 0.008,
      conditions: 0.005,
    },
    {
      what: 'pump and trip computer',
      way: 'pump',
      runsPerSetup: 4,
      also: true,
      routeKm: 60,
      effectPct: -4,
      repeatability: 0.008,
      conditions: 0.005,
    },
  ])('is that of simulated campaigns: $what', (given) => {
    const random = randomOf(`power/${given.what}`)
    const settings = claimSettings({
      setups: { A: [], B: ['part'] },
      baseline: 'A',
      powertrain: 'diesel',
      draws: DRAWS,
    })
    let supported = 0
    for (let i = 0; i < CAMPAIGNS; i++) {
      const { claims } = claimsOf(campaign(given, random), ['route-1'], { ...settings, seed: i })
      const adjusted = claims[0].adjusted!.consumptionChangePct
      if (adjusted.low95 > 0 || adjusted.high95 < 0) supported++
    }
    const { power } = designOf(
      { change: given.runsPerSetup, baseline: given.baselineRuns ?? given.runsPerSetup },
      1000 * given.routeKm,
      runErrorsOf(measuringOf(given), 1000 * given.routeKm, given.conditions),
      usualRepeatability(given.repeatability),
      { chained: given.way === 'chained', effectLog: Math.log1p(given.effectPct / 100) },
    )
    expect(Math.abs(supported / CAMPAIGNS - power)).toBeLessThan(POINTS)
  })
})
