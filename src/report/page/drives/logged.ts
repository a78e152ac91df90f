import type { Report } from '../../contract.ts'
import { html, type Markup } from '../../markup.ts'
import { loggedDrives, loggedWords } from '../../words/drives/logged.ts'
import { plural } from '../../words.ts'
import { marked } from '../sentences.ts'

/** More drives than these are in report.json alone. */
const MOST_DRIVES = 40

/** What loggers wrote beside the positions, drive by drive; null where none did. */
export function loggedSection(report: Report): Markup | null {
  const drives = loggedDrives(report.runs)
  if (drives.length === 0) return null
  const rows = drives
    .slice(0, MOST_DRIVES)
    .map(
      (run) =>
        html`<dt>${run.id}</dt>\n<dd><ul>${loggedWords(run).map((sentence) => html`<li>${marked(sentence)}</li>`)}</ul></dd>\n`,
    )
  const more = drives.length - MOST_DRIVES
  const left = more > 0 ? html`<p>${plural(more, 'more drive')}: all of them are in report.json.</p>\n` : null
  return html`<section aria-labelledby="logged">
<h2 id="logged">Logged beside the positions</h2>
<p>Amounts are added up over each drive; ± is one standard deviation of the adding up. The instruments' own scale is not in it: it is the same in every drive of one vehicle.</p>
<dl>
${rows}</dl>
${left}</section>
`
}
