import { expect, it } from 'vitest'
import { FACTORS, type Factor, sharesOf } from '../../src/report/words.ts'
import { reportOf } from '../campaign/folder.ts'
import { type SimulatedCampaign, simulatedFiles } from '../campaign/simulated-campaign.ts'
import { PAIR_CASES } from './pair-cases.ts'

/**
 * What each condition is said to contribute to a pair's difference, against its share in the simulator's own physics:
 * `CETERIS_CALIBRATION=6 npx vitest run test/calibration/shares.test.ts --disable-console-intercept` prints the cover of
 * the 90 % intervals cause by cause; CETERIS_CASES is a part of the names of the cases wanted.
 */
const asked = Number(process.env.CETERIS_CALIBRATION ?? 0)
const wanted = process.env.CETERIS_CASES ?? ''
const seeds = process.env.CETERIS_SEEDS ?? 'calibration'
const campaigns = asked || 1
/** Without a number asked for, these alone. */
const USUAL = ['loop', 'windy one-way', 'loop, one drive in two 6 % faster', 'electric car, stated']

/** What is said of one condition's share in a pair's difference, and what it truly is, percent. */
interface JudgedShare {
  factor: Factor
  low90Pct: number
  high90Pct: number
  meanPct: number
  truePct: number
}

/** The contributions of all pairs of a simulated campaign, against those in the simulator's own physics. */
async function judgeShares(settings: SimulatedCampaign): Promise<JudgedShare[]> {
  const simulated = simulatedFiles(settings)
  const report = await reportOf(simulated.files)
  const numberOf = (id: string): number => Number(id.slice('run-'.length))
  return report.pairs.flatMap((pair) => {
    const told = sharesOf(pair)
    if (told === null) throw new Error(`${settings.seed}: ${pair.a} and ${pair.b} have no contributions`)
    const truth = simulated.sharesOf(numberOf(pair.a), numberOf(pair.b))
    return FACTORS.map((factor) => {
      const { mean, low90, high90 } = told[factor]
      return { factor, low90Pct: low90, high90Pct: high90, meanPct: mean, truePct: truth[factor] }
    })
  })
}

const isCovered = ({ low90Pct, high90Pct, truePct }: JudgedShare): boolean =>
  low90Pct <= truePct && truePct <= high90Pct
const shareOf = (shares: JudgedShare[]): number => shares.filter(isCovered).length / shares.length
const rootMean = (values: number[]): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length)
const byFactor = (shares: JudgedShare[]): [Factor, JudgedShare[]][] =>
  FACTORS.map((factor) => [factor, shares.filter((share) => share.factor === factor)])

function told(name: string, shares: JudgedShare[]): string {
  const parts = byFactor(shares).map(([factor, of]) => {
    const half = of.reduce((sum, { low90Pct, high90Pct }) => sum + (high90Pct - low90Pct) / 2, 0) / of.length
    const error = rootMean(of.map(({ meanPct, truePct }) => meanPct - truePct))
    return `${factor} ${(100 * shareOf(of)).toFixed(0)} % ± ${half.toFixed(2)} (rms ${error.toFixed(2)} of ${rootMean(of.map(({ truePct }) => truePct)).toFixed(2)})`
  })
  return `${name.padEnd(52)} ${parts.join('; ')}`
}

it('90 % intervals of contributions hold the true shares', { timeout: 36_000_000 }, async () => {
  const all: JudgedShare[] = []
  const cases = PAIR_CASES.filter(({ name }) => (asked ? name.includes(wanted) : USUAL.includes(name)))
  for (const { name, settings } of cases) {
    const shares: JudgedShare[] = []
    for (let i = 0; i < campaigns; i++)
      shares.push(...(await judgeShares({ ...settings, seed: `${seeds}/${name}/${i}` })))
    if (asked) console.info(told(name, shares))
    all.push(...shares)
  }
  console.info(told('all', all))
  for (const [factor, of] of byFactor(all)) {
    // Pairs of one campaign share their weather: about one independent pair in three.
    const luck = 3 * Math.sqrt((0.9 * 0.1) / (of.length / 3))
    expect(shareOf(of), factor).toBeGreaterThan(0.85 - luck)
  }
})
