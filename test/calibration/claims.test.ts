import { expect, it } from 'vitest'
import type { JudgedClaim, JudgedClaims } from './claim-campaign.ts'
import { CLAIM_CASES } from './claim-cases.ts'
import { startCrew } from './crew.ts'
import { ASKED, cellsOf, isWanted, meets, NORMAL, pct, type Score, scoreOf, timeUsed } from './scores.ts'

/** Claims, and the pairs of their drives, against simulated truth, case by case; see `scores.ts` for how many. */
const CLAIMS_BAND = [0.9, 1] as const
const PAIR_BANDS = { stated: [0.86, 0.94], unstated: [0.8, 0.97] } as const

interface Row {
  claims: Score
  pairs: Score | null
  /** Pairs once the fuel is known as well; null where no case wants pairs or there are too few drives. */
  informed: Score | null
  /** Claims without an effect, and how many of them came out as supported. */
  none: number
  falseClaims: number
  /** Claims of an effect, and how many were supported with the right sign. */
  effects: number
  found: number
  /** Half-width over that of who knows each drive's demand. */
  overOracle: number
  /** What not knowing the demands made of the estimates, and what the claims took for it: roots of mean squares, percent. */
  conditions: { errorPct: number; sdPct: number }
  /** Half-width over the oracle's, were that error counted for just what it is. */
  leastOverOracle: number
}

function rowOf(campaigns: JudgedClaims[], wantsPairs: boolean): Row {
  const [claims, pairs] = [campaigns.map((each) => each.claims), campaigns.map((each) => each.pairs)]
  const informed = campaigns.map((each) => each.informed).filter((some) => some.length > 0)
  const all = claims.flat()
  const none = all.filter(({ truePct }) => truePct === 0)
  const effects = all.filter(({ truePct }) => truePct !== 0)
  const halfOf = (of: (c: JudgedClaim) => number): number => all.reduce((sum, c) => sum + of(c), 0)
  const rootMean = (of: (c: JudgedClaim) => number): number =>
    Math.sqrt(all.reduce((sum, c) => sum + of(c) ** 2, 0) / all.length)
  const conditions = { errorPct: rootMean((c) => c.conditionsErrorPct), sdPct: rootMean((c) => c.conditionsSdPct) }
  const oracleHalfPct = halfOf((c) => c.oracleHalfPct) / all.length
  return {
    conditions,
    leastOverOracle: Math.hypot(oracleHalfPct, NORMAL[95] * conditions.errorPct) / oracleHalfPct,
    claims: scoreOf(claims, 95),
    pairs: wantsPairs ? scoreOf(pairs, 90) : null,
    informed: wantsPairs && informed.length > 0 ? scoreOf(informed, 90) : null,
    none: none.length,
    falseClaims: none.filter(({ isSupported }) => isSupported).length,
    effects: effects.length,
    found: effects.filter((c) => c.isSupported && c.estimatePct * c.truePct > 0).length,
    overOracle: halfOf(({ lowPct, highPct }) => (highPct - lowPct) / 2) / all.length / oracleHalfPct,
  }
}

const counted = (part: number, of: number): string => (of === 0 ? '' : `${part} of ${of}`).padStart(10)

it('95 % intervals of claims hold the simulated truth', { timeout: 36_000_000 }, async () => {
  const missed: string[] = []
  const rows: Row[] = []
  const crew = await startCrew()
  // Of the usual tests every third case is enough.
  const cases = CLAIM_CASES.filter((one, i) => (ASKED ? isWanted(one) : i % 3 === 0))
  const judged = cases.map(({ name }) => crew.judge('claims', name))
  for (const [i, each] of cases.entries()) {
    const row = rowOf(await judged[i], each.pairs)
    rows.push(row)
    const isIn = meets(row.claims, CLAIMS_BAND)
    const arePairsIn = row.pairs === null || meets(row.pairs, PAIR_BANDS[each.stated ? 'stated' : 'unstated'])
    if (!isIn || !arePairsIn) missed.push(each.name)
    if (!ASKED) continue
    const cells = [
      each.name.padEnd(38),
      ...cellsOf(row.claims),
      row.overOracle.toFixed(2).padStart(5),
      `least ${row.leastOverOracle.toFixed(2)}, conditions ${row.conditions.errorPct.toFixed(2)} of ${row.conditions.sdPct.toFixed(2)}`,
      counted(row.falseClaims, row.none),
      counted(row.found, row.effects),
      ...(row.pairs ? cellsOf(row.pairs) : []),
      ...(row.informed ? ['with the fuel', ...cellsOf(row.informed)] : []),
      isIn ? '' : 'claims miss their band',
      arePairsIn ? '' : 'pairs miss their band',
    ]
    console.info(cells.join(' '))
  }
  await crew.end()
  const total = (of: (row: Row) => number): number => rows.reduce((sum, row) => sum + of(row), 0)
  const claims = total((row) => row.claims.count)
  const cover = total((row) => row.claims.count * row.claims.cover) / claims
  const none = total((row) => row.none)
  const falseShare = total((row) => row.falseClaims) / none
  console.info(
    `${claims} claims: ${pct(cover)} of the 95 % intervals hold the truth, ${pct(falseShare)} of ${none} false; ${timeUsed()}`,
  )
  expect(cover).toBeGreaterThan(0.93 - 3 * Math.sqrt((0.95 * 0.05) / claims))
  expect(falseShare).toBeLessThan(0.04 + 3 * Math.sqrt((0.04 * 0.96) / none))
  if (ASKED) expect(missed).toEqual([])
})
