import { afterAll, beforeAll, expect, it } from 'vitest'
import { FACTORS } from '../../src/report/words.ts'
import { type Crew, startCrew } from './crew.ts'
import type { JudgedPairs, JudgedShare } from './pair-campaign.ts'
import { PAIR_CASES } from './pair-cases.ts'
import { ASKED, cellsOf, isWanted, meets, type Score, scoreOf, timeUsed } from './scores.ts'

/** Pairs of drives, and what each condition contributes to them, against simulated truth; see `scores.ts` for how many. */
const BANDS = { stated: [0.86, 0.94], unstated: [0.8, 0.97] } as const
const CASES = PAIR_CASES.filter(isWanted)
/** Of the usual tests these are enough for the contributions. */
const USUAL_SHARES = ['loop', 'windy one-way', 'loop, one drive in two 6 % faster', 'electric car, stated']
const LONG = { timeout: 36_000_000 }

let crew: Crew
let judged: Promise<JudgedPairs[]>[]
beforeAll(async () => {
  crew = await startCrew()
  judged = CASES.map(({ name }) => crew.judge('pairs', name, ASKED > 0 || USUAL_SHARES.includes(name)))
})
afterAll(() => crew.end())

/** Pairs of one campaign share their stations, weather and vehicle: about one independent pair in three. */
const luckOf = (pairs: number): number => 3 * Math.sqrt((0.9 * 0.1) / (pairs / 3))

it('90 % intervals of pairs hold the simulated truth', LONG, async () => {
  const missed: string[] = []
  let [pairs, held] = [0, 0]
  for (const [i, { name, stated }] of CASES.entries()) {
    const score = scoreOf(
      (await judged[i]).map((campaign) => campaign.pairs),
      90,
    )
    pairs += score.count
    held += score.count * score.cover
    const isIn = meets(score, BANDS[stated ? 'stated' : 'unstated'])
    if (!isIn) missed.push(name)
    if (ASKED) console.info([name.padEnd(52), ...cellsOf(score), isIn ? '' : 'misses its band'].join(' '))
  }
  const cover = held / pairs
  console.info(`${pairs} pairs: ${(100 * cover).toFixed(1)} % of the 90 % intervals hold the truth; ${timeUsed()}`)
  expect(cover).toBeGreaterThan(0.85 - luckOf(pairs))
  expect(cover).toBeLessThan(0.99)
  if (ASKED) expect(missed).toEqual([])
})

it('90 % intervals of contributions hold the true shares', LONG, async () => {
  const campaigns = await Promise.all(judged)
  if (ASKED) for (const [i, { name }] of CASES.entries()) console.info(shareRow(name, scoresOf(campaigns[i])))
  const scores = scoresOf(campaigns.flat())
  console.info(shareRow('contributions, all', scores))
  for (const { factor, score } of scores) expect(score.cover, factor).toBeGreaterThan(0.85 - luckOf(score.count))
})

interface FactorScore {
  factor: JudgedShare['factor']
  score: Score
  rmsTruePct: number
}

function scoresOf(campaigns: JudgedPairs[]): FactorScore[] {
  return FACTORS.map((factor) => {
    const byCampaign = campaigns.map(({ shares }) => shares.filter((share) => share.factor === factor))
    const all = byCampaign.flat()
    const rmsTruePct = Math.sqrt(all.reduce((sum, { truePct }) => sum + truePct ** 2, 0) / all.length)
    return { factor, score: scoreOf(byCampaign, 90), rmsTruePct }
  })
}

/** Cover, half-width and rms error of each condition, and the rms of what it truly contributes. */
function shareRow(name: string, scores: FactorScore[]): string {
  const parts = scores.map(({ factor, score: { cover, halfPct, rmsPct }, rmsTruePct }) => {
    const error = `rms ${rmsPct.toFixed(2)} of ${rmsTruePct.toFixed(2)}`
    return `${factor} ${(100 * cover).toFixed(0)} % ± ${halfPct.toFixed(2)} (${error})`
  })
  return `${name.padEnd(52)} ${parts.join('; ')}`
}
