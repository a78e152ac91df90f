import { describe, expect, it } from 'vitest'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { claimProblem } from '../../src/report/words/checks/claim-problems.ts'
import { toldClaim } from '../report/words/told-claims.ts'
import { type Random, randomOf } from '../simulator/random.ts'
import { syntheticCampaign } from './synthetic-campaign.ts'

/** A campaign with a mistake in any column of any row. */
function spoiled(seed: string): ReturnType<typeof syntheticCampaign> {
  const random = randomOf(seed)
  const few = (): number => Math.floor(random.between(0, 4))
  const { runs, settings } = syntheticCampaign({
    seed,
    setups: [
      { name: 'bare', effectPct: 0, runs: few() },
      { name: 'skirts', effectPct: -3, runs: few() },
      { name: 'tail', effectPct: 5, runs: few() },
    ],
  })
  const chance = (probability: number): boolean => random.uniform() < probability
  return {
    runs: runs.map((run) => spoiledRun(run, runs[0], random)),
    settings: {
      ...settings,
      baseline: chance(0.2) ? null : 'bare',
      fillRepeatabilityLitres: chance(0.2) ? 0 : chance(0.3) ? null : 0.2,
      correctDrift: chance(0.3),
      poolRoutes: chance(0.5),
    },
  }
}

function spoiledRun(run: FuelRun, first: FuelRun, random: Random): FuelRun {
  const sometimes = <T>(probability: number, value: T, otherwise: T): T =>
    random.uniform() < probability ? value : otherwise
  const { row } = run
  return {
    ...run,
    setup: sometimes(0.1, null, run.setup),
    route: sometimes(0.2, 1, 0),
    startTime: sometimes(0.1, first.startTime, run.startTime),
    distanceM: sometimes(0.05, Number.NaN, sometimes(0.05, 0, run.distanceM)),
    demandDraws: sometimes<Float64Array | null>(
      0.15,
      null,
      sometimes(0.05, new Float64Array(400).fill(-5), run.demandDraws!),
    ),
    leftOut: sometimes<FuelRun['leftOut']>(0.1, { code: 'wet' }, null),
    row: {
      ...row,
      fuelLitres: sometimes(0.15, Number.NaN, sometimes(0.05, 40 * row.fuelLitres, row.fuelLitres)),
      fuelKg: sometimes(0.1, 9, Number.NaN),
      energyKwh: sometimes(0.1, 20, Number.NaN),
      fuelTemperatureK: sometimes(0.2, 290, Number.NaN),
      odometerM: sometimes(0.1, 1e5, Number.NaN),
      fillGroup: sometimes<string | null>(0.3, 'pump', null),
    },
  }
}

/** Every number inside, with its path. */
function numbersIn(value: unknown, path: string): { path: string; value: number }[] {
  if (typeof value === 'number') return [{ path, value }]
  if (typeof value !== 'object' || value === null) return []
  return Object.entries(value).flatMap(([key, inner]) => numbersIn(inner, `${path}.${key}`))
}

describe('a ledger full of mistakes', () => {
  it.each(Array.from({ length: 12 }, (_, i) => `spoiled/${i}`))(
    'gives claims with finite figures and whole sentences: %s',
    (seed) => {
      for (let i = 0; i < 5; i++) {
        const { runs, settings } = spoiled(`${seed}/${i}`)
        const { claims, problems } = claimsOf(runs, ['the loop', 'the pass'], settings)
        for (const { logEffects: _, ...claim } of claims) {
          expect(numbersIn(claim, 'claim').filter(({ value }) => !Number.isFinite(value))).toEqual([])
          const told = toldClaim({ ...claim, logEffects: _ }, runs)
          const words = [told.statement, told.reason, ...told.cautions, ...told.next_steps.map((s) => s.sentence)].join(
            '\n',
          )
          expect(words).not.toMatch(/NaN|undefined|null|Infinity/)
          expect(claim.verdict === 'not testable').toBe(claim.adjusted === null)
          const ids = [...claim.runs, ...claim.baselineRuns]
          expect(new Set(ids).size).toBe(ids.length)
        }
        for (const problem of problems)
          expect(JSON.stringify(claimProblem(problem))).not.toMatch(/NaN|undefined|null|Infinity/)
      }
    },
  )
})
