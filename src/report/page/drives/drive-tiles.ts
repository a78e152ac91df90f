import { plainText } from '../../../base/sentence.ts'
import type { Report, ReportRun } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { USE_WORDS, useInBrief } from '../../words/drives/drive-use.ts'
import { plural } from '../../words.ts'
import { driveAnchor, linkTo } from '../anchors.ts'

/** Up to so many drives have a tile each; of more, all that are used alike have one together. */
const MOST_TILES = 12

/** How each drive is used, or each group of drives; null without drives. */
export function driveTiles({ runs }: Report): Markup | null {
  if (runs.length === 0) return null
  const tiles = runs.length <= MOST_TILES ? runs.map(driveTile) : groupTiles(runs)
  return html`<ul class="tiles" aria-label="How each drive is used">${tiles}</ul>\n`
}

const signOf = ({ use }: ReportRun): Markup =>
  html`<span class="sign" aria-hidden="true">${USE_WORDS[use.as].sign}</span>`

function driveTile(run: ReportRun, i: number): Markup {
  const why = run.use.as === 'left-out' ? plainText(useInBrief(run.use)) : USE_WORDS[run.use.as].words
  return html`<li class="${run.use.as}"><a href="${linkTo(driveAnchor(run.id))}"><strong>${signOf(run)}${i + 1} ${run.setup ?? ''}</strong> <span class="why">${run.use.as === 'left-out' ? html`<span class="hidden">excluded: </span>` : null}${why}</span></a></li>`
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
