import type { Report } from '../../contract.ts'
import { consumptionColumns, logWords } from '../../fuel/consumption.ts'
import { html, type Markup, scrolled } from '../../markup.ts'
import { marked } from '../sentences.ts'

/** More rows than these are in consumption.csv alone. */
const MOST_SPANS = 120

/** What was used from full fill to full fill; null without a fuel log. */
export function consumptionSection(report: Report): Markup | null {
  if (report.consumption.length === 0) return null
  const { heading, tells } = logWords(report)
  const head = consumptionColumns(report).map(
    ({ header, align }) =>
      html`<th scope="col"${align === 'right' ? html` class="figure"` : null}>${header[0].toUpperCase() + header.slice(1)}</th>`,
  )
  const rows = report.consumption.slice(0, MOST_SPANS).map((span) => {
    const cells = consumptionColumns(report).map(({ align, cell }, i) => {
      const content = marked(cell(span))
      if (i === 0) return html`<th scope="row">${content}</th>`
      return html`<td${align === 'right' ? html` class="figure"` : null}>${content}</td>`
    })
    return html`<tr>${cells}</tr>\n`
  })
  const table = html`<table><caption>${tells}, and the drives that it is held against${report.consumption.length > MOST_SPANS ? '; the others are in consumption.csv' : ''}</caption>
<thead><tr>${head}</tr></thead>
<tbody>${rows}</tbody></table>`
  return html`<section aria-labelledby="fuel-log">
<h2 id="fuel-log">${heading}</h2>
${scrolled(heading, table)}</section>
`
}
