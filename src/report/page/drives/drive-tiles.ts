import { plainText } from '../../../base/sentence.ts'
import type { Report, ReportRun } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { isAlone, useInBrief, useWords } from '../../words/drives/drive-use.ts'
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

/** Of a drive whose weather nobody knows the fuel counts as measured, but nothing says that it may be compared. */
const isJudged = ({ use }: ReportRun): boolean => use.why.code !== 'not-corrected'

const signOf = (run: ReportRun): Markup =>
  html`<span class="sign" aria-hidden="true">${isJudged(run) ? useWords(run.use).sign : '?'}</span>`

/** "as measured"; of a drive that is left out, or that cannot be judged, why. */
const tileWords = (run: ReportRun): string =>
  run.use.as === 'left-out' || !isJudged(run) ? plainText(useInBrief(run.use)) : useWords(run.use).words

const tileClass = (run: ReportRun): string => (isJudged(run) && !isAlone(run.use) ? run.use.as : 'not-judged')

function driveTile(run: ReportRun, i: number): Markup {
  return html`<li class="${tileClass(run)}" data-at-margin="tile-${i + 1}"><a href="${linkTo(driveAnchor(run.id))}"><strong>${signOf(run)}${i + 1} ${run.setup ?? ''}</strong> <span class="why">${run.use.as === 'left-out' ? html`<span class="hidden">${useWords(run.use).words}: </span>` : null}${tileWords(run)}</span></a></li>`
}

function groupTiles(runs: readonly ReportRun[]): Markup[] {
  const groups = new Map<string, ReportRun[]>()
  for (const as of ['as-measured', 'corrected', 'left-out'] as const) {
    for (const run of runs.filter(({ use }) => use.as === as)) {
      const words = as === 'left-out' ? `${useWords(run.use).words}: ${tileWords(run)}` : tileWords(run)
      groups.set(words, [...(groups.get(words) ?? []), run])
    }
  }
  return [...groups].map(
    ([words, group]) =>
      html`<li class="${tileClass(group[0])}"><a href="#drives"><strong>${signOf(group[0])}${plural(group.length, 'drive')}</strong> <span class="why">${words}</span></a></li>`,
  )
}
