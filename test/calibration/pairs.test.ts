import { expect, it } from 'vitest'
import { type JudgedPair, judge } from '../campaign/simulated-campaign.ts'
import { PAIR_CASES } from './pair-cases.ts'
import { ASKED, CAMPAIGNS, cellsOf, isWanted, type Judged, meets, type Score, SEEDS, scoreOf } from './scores.ts'

/** Pairs of drives against simulated truth, case by case; see `scores.ts` for how many. */
const BANDS = { stated: [0.86, 0.94], unstated: [0.8, 0.97] } as const

export const judgedPair = ({ truePct, meanPct, low90Pct, high90Pct }: JudgedPair): Judged => ({
  truePct,
  estimatePct: meanPct,
  lowPct: low90Pct,
  highPct: high90Pct,
})

async function scoreOfCase({ name, settings }: (typeof PAIR_CASES)[number]): Promise<Score> {
  const byCampaign: Judged[][] = []
  for (let i = 0; i < CAMPAIGNS; i++) {
    byCampaign.push((await judge({ ...settings, seed: `${SEEDS}/${name}/${i}` })).map(judgedPair))
  }
  return scoreOf(byCampaign, 90)
}

it('90 % intervals of pairs hold the simulated truth', { timeout: 36_000_000 }, async () => {
  const missed: string[] = []
  let [pairs, held] = [0, 0]
  for (const each of PAIR_CASES.filter(isWanted)) {
    const score = await scoreOfCase(each)
    pairs += score.count
    held += score.count * score.cover
    const isIn = meets(score, BANDS[each.stated ? 'stated' : 'unstated'])
    if (!isIn) missed.push(each.name)
    if (ASKED) console.info([each.name.padEnd(52), ...cellsOf(score), isIn ? '' : 'misses its band'].join(' '))
  }
  console.info(`${pairs} pairs: ${((100 * held) / pairs).toFixed(1)} % of the 90 % intervals hold the truth`)
  // Pairs of one campaign share their stations and vehicle: about one independent pair in three.
  const luck = 3 * Math.sqrt((0.9 * 0.1) / (pairs / 3))
  expect(held / pairs).toBeGreaterThan(0.85 - luck)
  expect(held / pairs).toBeLessThan(0.99)
  if (ASKED) expect(missed).toEqual([])
})
