import type { Report, ReportPair, Verdict } from '../contract.ts'
import { html, type Markup } from '../markup.ts'
import { plural, VERDICT_WORDS } from '../words.ts'

const CELL = { width: 24, height: 12 }
const EDGE = { left: 34, top: 22 }
const EVERY = 5

const one = (value: number): number => Math.round(value * 10) / 10

/**
 * Every pair of many drives as one drawing: the drive of the row against that of the column, its mean on its 90 %
 * interval over the shaded band of the margin; grey where no difference is known.
 */
export function pairsPicture({ runs, settings }: Report, pairs: readonly ReportPair[], scalePct: number): Markup {
  const number = new Map(runs.map(({ id }, i) => [id, i]))
  const half = CELL.width / 2 - 1
  const reach = (pct: number): number => half * Math.max(-1, Math.min(1, pct / scalePct))
  const band = one(reach(settings.margin_pct))
  const parts = { bands: '', bars: '', means: '', unknown: '' }
  const counts = new Map<Verdict, number>()
  for (const { a, b, difference_pct: d, verdict } of pairs) {
    const [column, row] = [number.get(a), number.get(b)]
    if (column === undefined || row === undefined) continue
    counts.set(verdict, (counts.get(verdict) ?? 0) + 1)
    const x = EDGE.left + (column + 0.5) * CELL.width
    const y = EDGE.top + (row + 0.5) * CELL.height
    if (!d) {
      parts.unknown += `M${x - half} ${y - 4}h${2 * half}v8h${-2 * half}z`
      continue
    }
    parts.bands += `M${one(x - band)} ${y - 5}h${2 * band}v10h${-2 * band}z`
    parts.bars += `M${one(x + reach(d.low90))} ${y}H${one(x + reach(d.high90))}`
    parts.means += `M${one(x + reach(d.mean))} ${y}h0`
  }
  const [width, height] = [EDGE.left + runs.length * CELL.width, EDGE.top + runs.length * CELL.height]
  const ticks = runs.flatMap((_, i) => {
    if ((i + 1) % EVERY !== 0 && i !== 0) return []
    const across = html`<text x="${EDGE.left + (i + 0.5) * CELL.width}" y="${EDGE.top - 8}" text-anchor="middle">${i + 1}</text>`
    return [
      across,
      html`<text x="${EDGE.left - 8}" y="${EDGE.top + (i + 0.5) * CELL.height + 4}" text-anchor="end">${i + 1}</text>`,
    ]
  })
  const told = [...counts].map(([verdict, count]) => `${count} ${VERDICT_WORDS[verdict].word}`).join(', ')
  const label = `Every pair of ${plural(runs.length, 'drive')}: ${told}`
  return html`<figure class="all-pairs"><figcaption>Every pair, the drive of the row against that of the column, numbered as below: its difference as a point on its 90 % interval, the shaded band is the margin (${told}); pairs.csv holds the figures</figcaption><svg role="img" aria-label="${label}" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}">${ticks}<path class="none" d="${parts.unknown}"/><path class="band" d="${parts.bands}"/><path class="bar" d="${parts.bars}"/><path class="means" d="${parts.means}"/></svg></figure>`
}
