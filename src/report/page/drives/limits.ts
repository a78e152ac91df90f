import type { Report, ReportRun } from '../../contract.ts'
import { html, type Markup, scrolled } from '../../markup.ts'
import { limitWords } from '../../words/claims/limits.ts'
import { capital } from '../../words.ts'
import { marked } from '../sentences.ts'
import { MOST_RUNS } from './runs.ts'

/** Each drive held against the weather limits of published procedures; null where no procedure was asked for. */
export function limitsSection({ runs: all }: Report): Markup | null {
  const runs = all.slice(0, MOST_RUNS)
  const procedures = [...new Set(runs.flatMap((run) => run.limits.map(({ procedure }) => procedure)))]
  if (procedures.length === 0) return null
  const left =
    runs.length < all.length
      ? html`<p>The first ${runs.length} of ${all.length} drives are shown; report.json holds them all.</p>\n`
      : null
  return html`<section aria-labelledby="limits">
<h2 id="limits">Limits of published test procedures</h2>
<p>For information: to lie within these limits is not a certification, and the procedures ask for much more than weather.</p>
${left}${procedures.map((procedure) => limitsTable(procedure, runs))}</section>
`
}

type Limit = ReportRun['limits'][number]

/** A row for each drive, a column for each line of the procedure. */
function limitsTable(procedure: string, runs: readonly ReportRun[]): Markup {
  const key = ({ quantity, limit }: Limit): string => `${quantity}\n${limit}`
  const own = runs.map(({ limits }) => limits.filter((limit) => limit.procedure === procedure))
  const lines = [...new Map(own.flat().map((limit) => [key(limit), limit])).values()]
  const head = lines.map(
    ({ quantity, limit }) => html`<th scope="col">${capital(quantity)}<br/><span class="unit">${limit}</span></th>`,
  )
  const rows = runs.map((run, i) => {
    const found = new Map(own[i].map((limit) => [key(limit), limit]))
    const cells = lines.map((line) => limitCell(found.get(key(line))))
    return html`<tr><th scope="row"><span class="number">${i + 1}</span> ${run.id}</th>${cells}</tr>\n`
  })
  return scrolled(
    procedure,
    html`<table class="limits"><caption>${procedure}</caption>
<thead><tr><th scope="col">Drive</th>${head}</tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

function limitCell(limit: Limit | undefined): Markup {
  if (!limit || limit.ok === null) return html`<td>not known</td>`
  const word = limit.ok ? 'within' : 'outside'
  return html`<td><span class="${word}">${word}:</span> ${limit.reading === null ? (limit.value ?? '–') : marked(limitWords(limit.reading))}</td>`
}
