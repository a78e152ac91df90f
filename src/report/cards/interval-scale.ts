import { signed } from '../../base/figures.ts'
import type { Interval95 } from '../words/claims/changes.ts'
import { type Box, circle, INK, line, PAPER, SOFT, text } from './label.ts'
import { type Mark, tenth } from './marks.ts'

interface Row {
  name: string
  change: Interval95
  color: string
  /** Drawn heavier: what counts in the end. */
  heavy: boolean
}

/**
 * The change as measured and at equal conditions with their 95 % intervals, one above the other, over one axis.
 * @param color of the one at equal conditions
 */
export function intervalScale(
  raw: Interval95 | null,
  adjusted: Interval95 | null,
  box: Box,
  size: number,
  color: string,
): Mark[] {
  const rows: Row[] = [
    ...(raw ? [{ name: 'as measured', change: raw, color: SOFT, heavy: false }] : []),
    ...(adjusted ? [{ name: 'at equal conditions', change: adjusted, color, heavy: true }] : []),
  ]
  if (rows.length === 0) return []
  const axis = axisOf(rows.map(({ change }) => change))
  const names = 8.2 * size
  const x = (pct: number): number =>
    box.x + names + ((pct - axis.low) / (axis.high - axis.low)) * (box.width - names - size)
  const foot = box.y + box.height - 1.5 * size
  const rowHeight = (foot - box.y) / rows.length
  const ticks = Array.from(
    { length: Math.round((axis.high - axis.low) / axis.step) + 1 },
    (_, i) => axis.low + i * axis.step,
  )
  return [
    line(`M${tenth(x(axis.low))} ${tenth(foot)}H${tenth(x(axis.high))}`, { stroke: INK }),
    line(ticks.map((pct) => `M${tenth(x(pct))} ${tenth(foot)}v9`).join(''), { stroke: INK }),
    ...ticks.map((pct) =>
      text(x(pct), foot + 1.2 * size, `${signed(pct, 0)} %`, 0.85 * size, { anchor: 'middle', color: SOFT }),
    ),
    line(`M${tenth(x(0))} ${tenth(box.y)}V${tenth(foot)}`, { stroke: INK, dash: [8, 7] }),
    ...rows.flatMap((row, i) => {
      const y = box.y + (i + 0.5) * rowHeight
      return [text(box.x, y + 0.32 * size, row.name, size, { weight: row.heavy ? 600 : 500 }), ...bar(row, x, y, size)]
    }),
  ]
}

function bar({ change, color, heavy }: Row, x: (pct: number) => number, y: number, size: number): Mark[] {
  const [low, high] = [x(change.low95), x(change.high95)]
  const cap = 0.36 * size
  const ends = `M${tenth(low)} ${tenth(y - cap)}v${tenth(2 * cap)}M${tenth(high)} ${tenth(y - cap)}v${tenth(2 * cap)}`
  return [
    line(`M${tenth(low)} ${tenth(y)}H${tenth(high)}`, { stroke: color, width: tenth((heavy ? 0.26 : 0.12) * size) }),
    line(ends, { stroke: color, width: 4 }),
    line(circle(x(change.estimate), y, 0.38 * size), { fill: heavy ? color : PAPER, stroke: color, width: 4 }),
  ]
}

/** Ends and step of an axis in whole percent that holds zero and all intervals with some room. */
function axisOf(changes: readonly Interval95[]): { low: number; high: number; step: number } {
  const low = Math.min(0, ...changes.map(({ low95 }) => low95))
  const high = Math.max(0, ...changes.map(({ high95 }) => high95))
  const span = Math.max(high - low, 1)
  const step =
    [1, 2, 5, 10, 20, 50, 100].find((candidate) => span / candidate <= 6) ?? 10 ** Math.ceil(Math.log10(span / 6))
  return {
    low: step * Math.floor((low - 0.04 * span) / step),
    high: step * Math.ceil((high + 0.04 * span) / step),
    step,
  }
}
