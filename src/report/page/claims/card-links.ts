import { claimCardNames } from '../../cards/card-names.ts'
import type { Report } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'

const SHAPES = ['wide', 'square'] as const
const FORMS = ['svg', 'png'] as const

/**
 * For each claim the links to its cards, null where none lies beside the page.
 * @param cards paths of the cards' files beside the page
 */
export function cardLinks(report: Report, cards: readonly string[]): (Markup | null)[] {
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
