import { expect, it } from 'vitest'
import { type JudgedPair, judge, scoreOf } from '../campaign/simulated-campaign.ts'
import { PAIR_CASES } from './pair-cases.ts'

/**
 * Pairs of drives against simulated truth, case by case. `npm run calibration` makes 24 campaigns of each case;
 * CETERIS_CALIBRATION is another number of them, CETERIS_CASES a part of the names of the cases wanted. Without either, one
 * campaign of each: enough to see that every case runs and that the cover as a whole is no accident.
 */
const asked = Number(process.env.CETERIS_CALIBRATION ?? 0)
const wanted = process.env.CETERIS_CASES ?? ''
const seeds = process.env.CETERIS_SEEDS ?? 'calibration'
const campaigns = asked || 1

/** Half of a 90 % interval of a normal error, in its standard deviation. */
const NORMAL_90 = 1.645

interface Row {
  case: string
  pairs: number
  /** Share of 90 % intervals that hold the truth, with its standard error by campaign. */
  cover: number
  coverSe: number
  halfPct: number
  rmsPct: number
  /** Half-width over what the errors made would ask for: 1 is as narrow as the data allow. */
  efficiency: number
}

async function rowOf({ name, settings }: (typeof PAIR_CASES)[number]): Promise<Row> {
  const byCampaign: JudgedPair[][] = []
  for (let i = 0; i < campaigns; i++) byCampaign.push(await judge({ ...settings, seed: `${seeds}/${name}/${i}` }))
  const all = scoreOf(byCampaign.flat())
  const covers = byCampaign.map((pairs) => scoreOf(pairs).coverage - all.coverage)
  return {
    case: name,
    pairs: all.pairs,
    cover: all.coverage,
    coverSe: Math.sqrt(covers.reduce((sum, d) => sum + d * d, 0) / Math.max(1, campaigns * (campaigns - 1))),
    halfPct: all.meanHalfWidthPct,
    rmsPct: all.rmsErrorPct,
    efficiency: all.meanHalfWidthPct / (NORMAL_90 * all.rmsErrorPct),
  }
}

it('90 % intervals of pairs hold the simulated truth', { timeout: 36_000_000 }, async () => {
  const rows: Row[] = []
  for (const each of PAIR_CASES.filter(({ name }) => name.includes(wanted))) {
    rows.push(await rowOf(each))
    if (asked) console.info(told(rows[rows.length - 1]))
  }
  const pairs = rows.reduce((sum, row) => sum + row.pairs, 0)
  const cover = rows.reduce((sum, row) => sum + row.cover * row.pairs, 0) / pairs
  console.info(
    `${pairs} pairs of ${rows.length} cases: ${(100 * cover).toFixed(1)} % of the 90 % intervals hold the truth`,
  )
  // Pairs of one campaign share their stations and vehicle: about one independent pair in three.
  const luck = 3 * Math.sqrt((0.9 * 0.1) / (pairs / 3))
  expect(cover).toBeGreaterThan(0.85 - luck)
  expect(cover).toBeLessThan(0.99)
})

const told = (row: Row): string =>
  [
    row.case.padEnd(52),
    String(row.pairs).padStart(5),
    `${(100 * row.cover).toFixed(0)} ± ${(100 * row.coverSe).toFixed(0)} %`.padStart(10),
    row.halfPct.toFixed(2).padStart(7),
    row.rmsPct.toFixed(2).padStart(7),
    row.efficiency.toFixed(2).padStart(6),
  ].join(' ')
