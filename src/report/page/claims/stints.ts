import type { Report } from '../../contract.ts'
import { STINT_COLUMNS } from '../../fuel/stints.ts'
import { html, type Markup, scrolled } from '../../markup.ts'
import { usedIn } from '../../words/used.ts'
import { marked } from '../sentences.ts'

/** More stints than these are in stints.csv alone. */
const MOST_STINTS = 120

/** The stints with what was used over them; null where no fuel belongs to several drives. */
export function stintsSection(report: Report): Markup | null {
  if (report.stints.length === 0) return null
  const head = STINT_COLUMNS.map(
    ({ header, align }) =>
      html`<th scope="col"${align === 'right' ? html` class="figure"` : null}>${header[0].toUpperCase() + header.slice(1)}</th>`,
  )
  const rows = report.stints.slice(0, MOST_STINTS).map((stint) => {
    const cells = STINT_COLUMNS.map(({ align, cell }, i) => {
      const content = marked(cell(stint, report))
      if (i === 0) return html`<th scope="row">${content}</th>`
      return html`<td${align === 'right' ? html` class="figure"` : null}>${content}</td>`
    })
    return html`<tr>${cells}</tr>\n`
  })
  const table = html`<table><caption>Drives that were measured together: their ${usedIn(report)} is known for all of them only${report.stints.length > MOST_STINTS ? '; the others are in stints.csv' : ''}</caption>
<thead><tr>${head}</tr></thead>
<tbody>${rows}</tbody></table>`
  return html`<section aria-labelledby="stints">
<h2 id="stints">Stints</h2>
${scrolled('Stints', table)}</section>
`
}
