import { claimCardNames } from '../../cards/card-names.ts'
import { squareClaimCard } from '../../cards/claim-card.ts'
import { svgInPage, type Typefaces } from '../../cards/marks.ts'
import type { Report } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'

const SHAPES = ['wide', 'square'] as const
const FORMS = ['svg', 'png'] as const

/** So many claims have their cards in the page. */
const MOST_SHOWN = 8

/**
 * For each claim its card, folded, and the links to its files, where these lie beside the page; null for neither.
 * @param cards paths of the cards' files beside the page
 */
export function claimCards(report: Report, typefaces: Typefaces, cards: readonly string[]): (Markup | null)[] {
  const links = cardLinks(report, cards)
  return report.claims.map((claim, i) => {
    const card = i < MOST_SHOWN ? svgInPage(squareClaimCard(claim, report, typefaces), typefaces) : null
    if (card === null) return links[i]
    return html`<details class="claim-card screen-only"><summary>Card of this claim</summary><p class="at-other-margin" hidden="">The card is that of the report’s own margin, ± ${report.settings.margin_pct} %: the pairs that it counts are counted at that margin.</p>${card}</details>
${links[i]}`
  })
}

function cardLinks(report: Report, cards: readonly string[]): (Markup | null)[] {
  const there = new Set(cards)
  return claimCardNames(report).map((name) => {
    const links = SHAPES.flatMap((shape) =>
      FORMS.map((form) => ({ words: `${shape}, ${form.toUpperCase()}`, path: `cards/${name}-${shape}.${form}` })),
    ).filter(({ path }) => there.has(path))
    if (links.length === 0) return null
    const told = links.map(({ words, path }) => html`<li><a href="${path}">${words}</a></li>`)
    return html`<div class="screen-only"><p id="cards-${name}">As a picture to show, in files beside this page:</p>
<ul class="files" aria-labelledby="cards-${name}">${told}</ul></div>\n`
  })
}
