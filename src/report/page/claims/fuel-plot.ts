import { signed } from '../../../base/figures.ts'
import type { Report } from '../../contract.ts'
import { type FuelOfSetup, type FuelPoint, fuelBySetup } from '../../fuel/fuel-points.ts'
import { html, type Markup } from '../../markup.ts'
import { usedIn } from '../../words/used.ts'
import { capital, plural } from '../../words.ts'
import { evenly } from '../pairs/drive-blocks.ts'
import { across, downPlot, inPlot, plot, type Scale, scaleFor, ticksOf } from '../road/fluid.ts'

/** Height of a setup's band, px: so much a drive, within these. */
const DRIVE_PX = 16
const LEAST_PX = 34
const MOST_PX = 170
/** Of more drives of a setup than this so many are drawn. */
const MOST_DRAWN = 240

/** Fuel or energy of every drive, as measured and corrected, by setup in the order of time; null where there is none. */
export function fuelPlot(report: Report): Markup | null {
  const setups = fuelBySetup(report)
  if (setups.length === 0) return null
  const [{ setup: baseline }] = setups
  const used = usedIn(report)
  const scale = scaleFor(
    setups.flatMap(({ points }) => points.flatMap((p) => [p.measuredPct, p.correctedPct ?? p.measuredPct])),
    [0, -1, 1],
  )
  const corrected = setups.some(({ points }) => points.some(({ correctedPct }) => correctedPct !== null))
  const drifts = setups.some(({ driftPct }) => driftPct !== null)
  return html`<figure class="fuel-plot" data-at-margin="fuel-plot"><div class="fluid">${setups.map((one) => band(one, scale))}
<div class="scale" aria-hidden="true">${axis(scale)}<p><span>← less ${used}</span> <span>more ${used} →</span></p></div></div>
<figcaption>${capital(used)} over distance of each drive against the mean of "${baseline}"${corrected ? ' corrected' : ''}, percent; the first drive of a setup is at the top. Open: as measured. ${corrected ? 'Filled: corrected to equal conditions. ' : ''}Upright lines: means of the drives that count, dashed as measured${corrected ? ', full corrected' : ''}. Grey: excluded. ${setups.some(({ points }) => points.length > MOST_DRAWN) ? html`Of more than ${MOST_DRAWN} drives of a setup so many are drawn, evenly chosen; the means are those of all. ` : null}Claims weigh drives by their uncertainty, so that their changes can differ a little from these means.${drifts ? ' Sloping line: the trend of the baseline.' : ''}</figcaption></figure>
`
}

function band({ setup, points: all, meanMeasuredPct, meanCorrectedPct, driftPct }: FuelOfSetup, scale: Scale): Markup {
  const points = evenly(all, MOST_DRAWN)
  const height = Math.max(LEAST_PX, Math.min(MOST_PX, DRIVE_PX * points.length + 6))
  const y = (i: number): number => downPlot(((i + 0.5) * (height - 6)) / points.length + 3)
  const x = (pct: number): number => inPlot((pct - scale.from) / (scale.to - scale.from))
  const dots = (of: readonly FuelPoint[], value: (point: FuelPoint) => number | null): string =>
    of
      .flatMap((point) => (value(point) === null ? [] : `M${x(value(point) ?? 0)} ${y(points.indexOf(point))}h1`))
      .join('')
  const counting = points.filter(({ counts }) => counts)
  const excluded = points.filter(({ counts }) => !counts)
  const moves = counting
    .flatMap((p) =>
      p.correctedPct === null ? [] : `M${x(p.measuredPct)} ${y(points.indexOf(p))}H${x(p.correctedPct)}`,
    )
    .join('')
  const mean = (pct: number | null, kind: string): Markup | null =>
    pct === null
      ? null
      : html`<line class="mean-${kind}" x1="${across(scale, pct)}" x2="${across(scale, pct)}" y1="0" y2="${height}"/>`
  const centre = meanCorrectedPct ?? meanMeasuredPct ?? 0
  const trend =
    driftPct === null
      ? null
      : html`<path class="trend" d="M${x(centre - driftPct / 2)} ${downPlot(2)}L${x(centre + driftPct / 2)} ${downPlot(height - 2)}"/>`
  const open = dots(counting, ({ measuredPct }) => measuredPct)
  const left = dots(excluded, ({ measuredPct }) => measuredPct)
  const zero = across(scale, 0)
  return html`<p class="effect-name">${setup} <span class="note">${toldWords(all, meanMeasuredPct, meanCorrectedPct)}</span></p><svg class="fluid-svg" role="img" aria-label="${setup}: ${toldWords(all, meanMeasuredPct, meanCorrectedPct)}. ${pointsWords(all)}" width="100%" height="${height}"><line class="zero" x1="${zero}" x2="${zero}" y1="0" y2="${height}"/>${mean(meanMeasuredPct, 'measured')}${mean(meanCorrectedPct, 'corrected')}${plot(0, height, html`${trend}<path class="move" d="${moves}"/><path class="ring" d="${open}"/><path class="ring-hole" d="${open}"/><path class="ring excluded" d="${left}"/><path class="ring-hole" d="${left}"/><path class="dot" d="${dots(counting, ({ correctedPct }) => correctedPct)}"/>`)}</svg>`
}

const pctWords = (pct: number | null): string => (pct === null ? 'not known' : `${signed(pct, 1)} %`)

function toldWords(points: readonly FuelPoint[], measured: number | null, corrected: number | null): string {
  return `${plural(points.length, 'drive')}, mean ${pctWords(measured)} as measured, ${pctWords(corrected)} corrected`
}

/** Of more drives than this the means are told alone. */
const MOST_TOLD = 12

function pointsWords(points: readonly FuelPoint[]): string {
  if (points.length > MOST_TOLD) return ''
  return points
    .map(
      ({ id, measuredPct, correctedPct, counts }) =>
        `${id} ${pctWords(measuredPct)}${correctedPct === null ? '' : `, corrected ${pctWords(correctedPct)}`}${counts ? '' : ', excluded'}`,
    )
    .join('; ')
}

function axis(scale: Scale): Markup {
  const ticks = ticksOf(scale, 7).map((pct) => {
    const x = across(scale, pct)
    return html`<line class="axis" x1="${x}" x2="${x}" y1="0" y2="4"/><text x="${x}" y="16" text-anchor="middle">${pct === 0 ? '0 %' : signed(pct, Number.isInteger(pct) ? 0 : 1)}</text>`
  })
  return html`<svg class="fluid-svg" width="100%" height="18"><line class="axis" x1="0" x2="100%" y1="0.5" y2="0.5"/>${ticks}</svg>`
}
