/**
 * What the calibration asks for: `npm run calibration` makes 24 campaigns of each case, `npm run calibration:long` 200.
 * CETERIS_CALIBRATION is another number of them, CETERIS_CASES a part of the names of the cases wanted, CETERIS_SEEDS another series of campaigns.
 * CETERIS_KEPT is a folder to keep simulated campaigns in, some 2 MB each: the same ones are then judged again in half the
 * time, until the simulator or what reads tracks is changed.
 * Without any of these, one campaign of each: enough to see that every case runs and that the cover as a whole is no accident.
 */
export const ASKED = Number(process.env.CETERIS_CALIBRATION ?? 0)
export const CAMPAIGNS = ASKED || 1
export const SEEDS = process.env.CETERIS_SEEDS ?? 'calibration'
export const KEPT = process.env.CETERIS_KEPT
export const isWanted = ({ name }: { name: string }): boolean => name.includes(process.env.CETERIS_CASES ?? '')

/** An interval with what is true, percent. */
export interface Judged {
  truePct: number
  estimatePct: number
  lowPct: number
  highPct: number
}

export interface Score {
  count: number
  /** Share of the intervals that hold the truth, with its standard error by campaign: those of one campaign share much. */
  cover: number
  coverSe: number
  halfPct: number
  rmsPct: number
  /** Half-width over what the errors made would ask for: 1 is as narrow as the data allow. */
  efficiency: number
}

/** Half-widths of intervals of a normal error, in its standard deviation. */
export const NORMAL = { 90: 1.645, 95: 1.96 }

export function scoreOf(byCampaign: readonly (readonly Judged[])[], level: keyof typeof NORMAL): Score {
  const all = byCampaign.flat()
  const shareOf = (some: readonly Judged[]): number => some.filter(holds).length / some.length
  const cover = shareOf(all)
  const apart = byCampaign.map((some) => shareOf(some) - cover)
  const mean = (of: (one: Judged) => number): number => all.reduce((sum, one) => sum + of(one), 0) / all.length
  const halfPct = mean(({ lowPct, highPct }) => (highPct - lowPct) / 2)
  const rmsPct = Math.sqrt(mean(({ estimatePct, truePct }) => (estimatePct - truePct) ** 2))
  const count = byCampaign.length
  return {
    count: all.length,
    cover,
    coverSe: count > 1 ? Math.sqrt(apart.reduce((sum, d) => sum + d * d, 0) / (count * (count - 1))) : Number.NaN,
    halfPct,
    rmsPct,
    efficiency: halfPct / (NORMAL[level] * rmsPct),
  }
}

const holds = ({ truePct, lowPct, highPct }: Judged): boolean => lowPct <= truePct && truePct <= highPct

/** Whether a cover may lie in a band: its 95 % interval and the band meet, where all or none hold by the rule of three. One campaign tells nothing. */
export function meets({ count, cover, coverSe }: Score, [low, high]: readonly [number, number]): boolean {
  if (Number.isNaN(coverSe)) return true
  const reach = Math.max(1.96 * coverSe, 3 / count)
  return cover + reach >= low && cover - reach <= high
}

/** Time since the program started, and that of the processors, all threads together. */
export const timeUsed = (): string =>
  `${(process.uptime() / 60).toFixed(1)} minutes, ${(process.cpuUsage().user / 6e7).toFixed(1)} of processor time`

export const pct = (share: number): string => `${(100 * share).toFixed(0)} %`

/** Cells of a score, as wide in every row. */
export const cellsOf = (score: Score): string[] => [
  String(score.count).padStart(5),
  `${(100 * score.cover).toFixed(0)} ± ${(100 * score.coverSe).toFixed(0)} %`.padStart(10),
  score.halfPct.toFixed(2).padStart(6),
  score.rmsPct.toFixed(2).padStart(6),
  score.efficiency.toFixed(2).padStart(5),
]
