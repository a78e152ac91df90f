import { plainText } from '../../../base/sentence.ts'
import type { Report, ReportRun } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { USE_WORDS, useInBrief } from '../../words/drives/drive-use.ts'
import { plural } from '../../words.ts'
import { driveAnchor, linkTo } from '../anchors.ts'
import type { PartsAtMargin } from '../margin/part.ts'

/** Up to so many drives have a tile each; of more, all that are used alike have one together. */
const MOST_TILES = 12

/** How each drive is used, or each group of drives; null without drives. Beside the list what of it depends on the margin. */
export function driveTiles({ runs }: Report): { list: Markup | null; items: PartsAtMargin } {
  if (runs.length === 0) return { list: null, items: {} }
  const listOf = (tiles: readonly Markup[]): Markup =>
    html`<ul class="tiles" aria-label="How each drive is used" data-at-margin="tiles">${tiles}</ul>\n`
  if (runs.length > MOST_TILES) {
    const list = listOf(groupTiles(runs))
    return { list, items: { tiles: list } }
  }
  const tiles = runs.map(driveTile)
  return { list: listOf(tiles), items: Object.fromEntries(tiles.map((tile, i) => [`tile-${i + 1}`, tile])) }
}

const signOf = ({ use }: ReportRun): Markup =>
  html`<span class="sign" aria-hidden="true">${USE_WORDS[use.as].sign}</span>`

function driveTile(run: ReportRun, i: number): Markup {
  const why = run.use.as === 'left-out' ? plainText(useInBrief(run.use)) : USE_WORDS[run.use.as].words
  return html`<li class="${run.use.as}" data-at-margin="tile-${i + 1}"><a href="${linkTo(driveAnchor(run.id))}"><strong>${signOf(run)}${i + 1} ${run.setup ?? ''}</strong> <span class="why">${run.use.as === 'left-out' ? html`<span class="hidden">excluded: </span>` : null}${why}</span></a></li>`
}

function groupTiles(runs: readonly ReportRun[]): Markup[] {
  const groups = new Map<string, ReportRun[]>()
  for (const as of ['as-measured', 'corrected', 'left-out'] as const) {
    for (const run of runs.filter(({ use }) => use.as === as)) {
      const words = as === 'left-out' ? `excluded: ${plainText(useInBrief(run.use))}` : USE_WORDS[as].words
      groups.set(words, [...(groups.get(words) ?? []), run])
    }
  }
  return [...groups].map(
    ([words, group]) =>
      html`<li class="${group[0].use.as}"><a href="#drives"><strong>${signOf(group[0])}${plural(group.length, 'drive')}</strong> <span class="why">${words}</span></a></li>`,
  )
}
