import { describe, expect, it } from 'vitest'
import { drive, judged } from './simulated-drives.ts'
import { coverageOf, OTHER_WORLDS, SCENARIOS, type Tally, tableOf, tallied, tallyOf } from './truth-table.ts'

/**
 * Claims against simulated truth. `CETERIS_TRUTH=200 npx vitest run test/claim/simulated-claims.test.ts` makes 200
 * campaigns of each kind and a tenth as many through the whole simulator; without it, a small seeded part.
 */
const asked = Number(process.env.CETERIS_TRUTH ?? 0)
const campaigns = asked || 20
/** Three standard deviations of a share near 0.95 among so many. */
const luck = (claims: number): number => 3 * Math.sqrt((0.95 * 0.05) / claims)

describe('claims against simulated truth', { timeout: 3_600_000 }, () => {
  const tallies: Tally[] = SCENARIOS.map((scenario) => tallyOf(scenario, campaigns))
  const claims = tallies.reduce((sum, t) => sum + t.claims, 0)
  const of = (name: string): Tally => tallies.find((t) => t.name === name)!

  it('prints its table', () => {
    console.info(
      `${tableOf(tallies)}\nall: ${(100 * coverageOf(tallies)).toFixed(1)} % of ${claims} intervals hold the truth`,
    )
    expect(claims).toBeGreaterThanOrEqual(campaigns * SCENARIOS.length)
  })

  it('holds the truth in 92 to 98 % of the 95 % intervals', () => {
    expect(coverageOf(tallies)).toBeGreaterThanOrEqual(0.92)
    expect(coverageOf(tallies)).toBeLessThanOrEqual(0.98 + (asked ? 0 : luck(claims)))
  })

  it('supports at most 5 % of claims without an effect', () => {
    const none = tallies.filter((t) => t.name.startsWith('no effect'))
    const count = none.reduce((sum, t) => sum + t.claims, 0)
    const supported = none.reduce((sum, t) => sum + t.supported * t.claims, 0)
    expect(supported / count).toBeLessThanOrEqual(0.05 + luck(count))
  })

  it('is less than half as far off as the raw figures where conditions differ', () => {
    for (const scenario of SCENARIOS.filter((s) => s.unlike)) {
      expect(of(scenario.name).adjustedErrorPct).toBeLessThan(of(scenario.name).rawErrorPct / 2)
    }
  })

  it('supports 5 % with three runs of 160 km each in most campaigns', () => {
    expect(of('5 % less, three runs, 160 km').supported).toBeGreaterThan(0.6)
  })

  it('is not undone by a world that is not as believed', () => {
    const worlds = OTHER_WORLDS.map(({ name, world }) => {
      const each = SCENARIOS.slice(0, 6).map((s) => tallyOf(s, Math.ceil(campaigns / 4), world, `${name}: ${s.name}`))
      const claimsOfWorld = each.reduce((sum, t) => sum + t.claims, 0)
      return { name, claims: claimsOfWorld, coverage: coverageOf(each) }
    })
    console.info(worlds.map((w) => `${w.name}: ${(100 * w.coverage).toFixed(1)} % of ${w.claims}`).join('\n'))
    // Errors a third larger than believed leave 86 % of normal intervals: 1.96/1.33 standard deviations.
    for (const world of worlds) expect(world.coverage).toBeGreaterThan(0.86 - luck(world.claims))
  })
})

describe('claims from tracks and station reports alone', { timeout: 3_600_000 }, () => {
  const each = asked ? Math.ceil(asked / 10) : 1
  const kinds = [
    { name: 'no effect, there and back', shape: 'there-and-back', runsPerSetup: 3, dragPct: 0 },
    { name: 'no effect, 13 K warmer', shape: 'there-and-back', runsPerSetup: 3, dragPct: 0, warmerK: 13 },
    { name: 'no effect, one way, windier', shape: 'one-way', runsPerSetup: 3, dragPct: 0, windierMps: 4 },
    { name: 'less drag, loop', shape: 'loop', runsPerSetup: 3, dragPct: -12 },
    { name: 'less drag, one run each', shape: 'there-and-back', runsPerSetup: 1, dragPct: -12 },
    { name: 'less drag, chained fills', shape: 'loop', runsPerSetup: 3, dragPct: -10, chained: true },
    { name: 'less drag, pump off by 2 %', shape: 'loop', runsPerSetup: 2, dragPct: -10, pumpFactor: 1.02 },
  ] as const

  it('holds the truth', async () => {
    const tallies: Tally[] = []
    for (const { name, ...kind } of kinds) {
      const found = []
      for (let i = 0; i < each; i++) {
        found.push(judged(await drive({ seed: `${name}/${i}`, lengthM: asked ? 160_000 : 40_000, ...kind })))
      }
      tallies.push(tallied(name, each, found))
    }
    console.info(tableOf(tallies))
    const count = tallies.reduce((sum, t) => sum + t.claims, 0)
    expect(coverageOf(tallies)).toBeGreaterThanOrEqual(0.92 - luck(count))
    const [warmer, windier] = [tallies[1], tallies[2]]
    if (asked) {
      expect(warmer.adjustedErrorPct).toBeLessThan(warmer.rawErrorPct / 2)
      expect(windier.adjustedErrorPct).toBeLessThan(windier.rawErrorPct / 2)
    }
  })
})
