import { claimsOf } from '../../src/claim/claims.ts'
import type { Interval95 } from '../../src/claim/types.ts'
import { type SyntheticSettings, syntheticCampaign, type World } from './synthetic-campaign.ts'

/** A kind of campaign whose claims are held against the truth. */
export interface Scenario {
  name: string
  settings: (seed: string, effectPct: number) => SyntheticSettings
  /** True effects, taken in turn. */
  effectsPct: number[]
  /** Whether the setups met different conditions. */
  unlike?: boolean
}

const pair = (
  seed: string,
  effectPct: number,
  runs: number,
  over: Partial<SyntheticSettings> = {},
): SyntheticSettings => ({
  seed,
  setups: [
    { name: 'bare', effectPct: 0, runs },
    { name: 'skirts', effectPct, runs },
  ],
  ...over,
})

const unlikePair = (
  seed: string,
  effectPct: number,
  runs: number,
  warmerK: number,
  windMps: number,
): SyntheticSettings =>
  pair(seed, effectPct, runs, {
    setups: [
      { name: 'bare', effectPct: 0, runs },
      { name: 'skirts', effectPct, runs, warmerK, windMps },
    ],
  })

const EFFECTS = [-2, -4, -5, -6, -8, 3]

export const SCENARIOS: Scenario[] = [
  { name: 'no effect, like conditions', effectsPct: [0], settings: (seed, e) => pair(seed, e, 3) },
  {
    name: 'no effect, 13 K warmer',
    effectsPct: [0],
    unlike: true,
    settings: (seed, e) => unlikePair(seed, e, 3, 13, 1.5),
  },
  {
    name: 'no effect, 5 m/s more wind',
    effectsPct: [0],
    unlike: true,
    settings: (seed, e) => unlikePair(seed, e, 3, 0, 6.5),
  },
  { name: 'effects, like conditions', effectsPct: EFFECTS, settings: (seed, e) => pair(seed, e, 3) },
  {
    name: 'effects, 12 K and 4 m/s apart',
    effectsPct: EFFECTS,
    unlike: true,
    settings: (seed, e) => unlikePair(seed, e, 3, 12, 5.5),
  },
  { name: 'one run per setup', effectsPct: [0, ...EFFECTS], settings: (seed, e) => pair(seed, e, 1) },
  { name: 'six runs per setup', effectsPct: [0, ...EFFECTS], settings: (seed, e) => pair(seed, e, 6) },
  { name: 'chained fills', effectsPct: [0, ...EFFECTS], settings: (seed, e) => pair(seed, e, 3, { chained: true }) },
  {
    name: 'pump off by 2 %',
    effectsPct: [0, ...EFFECTS],
    settings: (seed, e) => pair(seed, e, 3, { pumpFactor: 1.02 }),
  },
  {
    name: 'short route, 30 km',
    effectsPct: [0, ...EFFECTS],
    settings: (seed, e) => pair(seed, e, 3, { routeKm: 30 }),
  },
  {
    name: 'nested parts, two runs each',
    effectsPct: [-2, -3],
    settings: (seed, e) => ({
      seed,
      setups: [
        { name: 'bare', parts: [], effectPct: 0, runs: 2 },
        { name: 'skirts', parts: ['skirts'], effectPct: e, runs: 2 },
        { name: 'skirts and tail', parts: ['skirts', 'tail'], effectPct: 2 * e, runs: 2 },
        { name: 'all', parts: ['skirts', 'tail', 'tyres'], effectPct: 3 * e, runs: 2 },
      ],
    }),
  },
  { name: '5 % less, three runs, 160 km', effectsPct: [-5], settings: (seed, e) => pair(seed, e, 3) },
]

/** The same scenarios in worlds that are not as the program believes. */
export const OTHER_WORLDS: { name: string; world: Partial<World> }[] = [
  { name: 'runs repeat to 0.3 %', world: { repeatability: 0.003 } },
  { name: 'runs repeat to 1.2 %', world: { repeatability: 0.012 } },
  { name: 'heavy tails', world: { heavyTails: true } },
  { name: 'conditions a third worse than believed', world: { conditionsFactor: 1.33 } },
  { name: 'fills a third worse than stated', world: { fillFactor: 1.33 } },
  { name: 'fills a third better than stated', world: { fillFactor: 0.67 } },
]

export interface Tally {
  name: string
  campaigns: number
  claims: number
  /** Share of the 95 % intervals that hold the truth. */
  coverage: number
  /** Share of verdicts `supported`. */
  supported: number
  /** Root mean square errors, percentage points. */
  rawErrorPct: number
  adjustedErrorPct: number
  /** Mean half width of the 95 % interval, percentage points. */
  halfWidthPct: number
}

export function tallyOf(
  scenario: Scenario,
  campaigns: number,
  world: Partial<World> = {},
  name = scenario.name,
): Tally {
  const judged: { truePct: number; raw: Interval95; adjusted: Interval95; verdict: string }[] = []
  for (let i = 0; i < campaigns; i++) {
    const effectPct = scenario.effectsPct[i % scenario.effectsPct.length]
    const made = { ...scenario.settings(`${name}/${i}`, effectPct), world }
    const { runs, settings } = syntheticCampaign(made)
    for (const claim of claimsOf(runs, ['the loop'], settings).claims) {
      if (!claim.raw || !claim.adjusted) throw new Error(`${name}: ${claim.missing?.code}`)
      const truePct = made.setups.find((s) => s.name === claim.setup)!.effectPct
      judged.push({
        truePct,
        raw: claim.raw.consumptionChangePct,
        adjusted: claim.adjusted.consumptionChangePct,
        verdict: claim.verdict,
      })
    }
  }
  return tallied(name, campaigns, judged)
}

export function tallied(
  name: string,
  campaigns: number,
  judged: { truePct: number; raw: Interval95; adjusted: Interval95; verdict: string }[],
): Tally {
  const share = (of: (j: (typeof judged)[number]) => boolean): number => judged.filter(of).length / judged.length
  const average = (of: (j: (typeof judged)[number]) => number): number =>
    judged.reduce((sum, j) => sum + of(j), 0) / judged.length
  return {
    name,
    campaigns,
    claims: judged.length,
    coverage: share(({ truePct, adjusted }) => adjusted.low95 <= truePct && truePct <= adjusted.high95),
    supported: share(({ verdict }) => verdict === 'supported'),
    rawErrorPct: Math.sqrt(average(({ truePct, raw }) => (raw.estimate - truePct) ** 2)),
    adjustedErrorPct: Math.sqrt(average(({ truePct, adjusted }) => (adjusted.estimate - truePct) ** 2)),
    halfWidthPct: average(({ adjusted }) => (adjusted.high95 - adjusted.low95) / 2),
  }
}

/** All tallies in one, weighted by their claims. */
export const coverageOf = (tallies: Tally[]): number =>
  tallies.reduce((sum, t) => sum + t.coverage * t.claims, 0) / tallies.reduce((sum, t) => sum + t.claims, 0)

export function tableOf(tallies: Tally[]): string {
  const head = ['campaigns', 'claims', 'in 95 %', 'supported', 'raw error', 'adjusted', '± 95 %']
  const width = Math.max(...tallies.map((t) => t.name.length))
  const lines = tallies.map((t) => {
    const pct = (share: number): string => `${(100 * share).toFixed(1)} %`
    const cells = [
      t.campaigns,
      t.claims,
      pct(t.coverage),
      pct(t.supported),
      t.rawErrorPct.toFixed(2),
      t.adjustedErrorPct.toFixed(2),
      t.halfWidthPct.toFixed(2),
    ]
    return `${t.name.padEnd(width)}${cells.map((cell) => String(cell).padStart(11)).join('')}`
  })
  return [`${''.padEnd(width)}${head.map((cell) => cell.padStart(11)).join('')}`, ...lines].join('\n')
}
