import type { Report, ReportRun } from '../../contract.ts'
import { copied, html, type Markup, scrolled } from '../../markup.ts'
import { RUN_QUANTITIES } from '../../quantities/run-quantities.ts'
import { type RunQuantity, toldBare, unitPiece } from '../../quantities/run-quantity.ts'
import { RUN_GROUPS } from '../../quantities/shown.ts'
import { flagWords } from '../../words/drives/flags.ts'
import { recorderSentences } from '../../words/drives/recorders.ts'
import { capital, listed, plural } from '../../words.ts'
import { marked } from '../sentences.ts'

/** So many drives stand side by side in one table at most: as many as a printed page holds. */
const RUNS_PER_TABLE = 6

/** More drives than this stand in runs.csv alone. */
export const MOST_RUNS = 120
/** Up to so many drives the tables of their conditions are unfolded; so many are named by their numbers. */
const MOST_UNFOLDED = 12
const MOST_NUMBERS = 12

/** The conditions of the drives, then what was noticed about them. */
export function runsSection(report: Report): Markup | null {
  const all = report.runs
  if (all.length === 0) return null
  const runs = all.slice(0, MOST_RUNS)
  const left =
    runs.length < all.length
      ? html`<p>The first ${runs.length} of ${all.length} drives are shown; runs.csv holds them all.</p>\n`
      : null
  const known = (quantity: RunQuantity): boolean => runs.some((run) => toldBare(quantity, run, 'full') !== null)
  const quantities = RUN_QUANTITIES.filter(({ group }) => group !== null)
  const unknown = quantities.filter((quantity) => !known(quantity)).map(({ label }) => label)
  const shown = quantities.filter(known)
  const tables = runs.length > RUNS_PER_TABLE ? tablesByGroup(runs, shown) : conditionsTable(runs, shown)
  return html`<section aria-labelledby="conditions">
<h2 id="conditions">Conditions of the drives</h2>
<p>Figures after ± are standard deviations. Headwind is positive against the vehicle.${unknown.length > 0 ? html` Not known for any drive: ${unknown.join('; ')}.` : null}</p>
${left}${tables}${runs.some(({ limits }) => limits.length > 0) ? null : html`<p>The drives were held against no published test procedure: name some under limits in campaign.yaml, or with --limits.</p>\n`}${recordersList(report)}${flagsTable(runs)}</section>
`
}

/** Of more drives: a table for each group of quantities, a row for each drive. */
function tablesByGroup(runs: readonly ReportRun[], shown: readonly RunQuantity[]): Markup {
  const tables = RUN_GROUPS.map((group) => {
    const columns = shown.filter((quantity) => quantity.group === group)
    if (columns.length === 0) return null
    const head = columns.map(({ label, unit, align }) => {
      const unitCell = unit === '' ? null : html` <span class="unit">${marked([unitPiece(unit)])}</span>`
      return html`<th scope="col"${align === 'right' ? html` class="figure"` : null}>${label}${unitCell}</th>`
    })
    const rows = runs.map((run, i) => {
      const cells = columns.map((quantity) => {
        const value = toldBare(quantity, run, 'full')
        return html`<td${quantity.align === 'right' ? html` class="figure"` : null}>${value === null ? '–' : marked(value)}</td>`
      })
      return html`<tr><th scope="row"><span class="number">${i + 1}</span> ${run.id}</th>${cells}</tr>\n`
    })
    const table = html`<table class="conditions by-drive"><caption>${group}</caption>
<thead><tr><th scope="col">Drive</th>${head}</tr></thead>
<tbody>${rows}</tbody></table>`
    return html`<details${runs.length <= MOST_UNFOLDED ? html` open=""` : null}><summary>${group}</summary>
${copied(`Conditions: ${group}`, table)}</details>\n`
  })
  return html`${tables}${limitsTogether(runs)}`
}

/** Which limits of published procedures were not kept, and by which drives. */
function limitsTogether(runs: readonly ReportRun[]): Markup | null {
  if (runs.every(({ limits }) => limits.length === 0)) return null
  const byLimit = new Map<string, number[]>()
  runs.forEach(({ limits }, i) => {
    for (const quantity of new Set(limits.filter(({ ok }) => ok === false).map((limit) => limit.quantity)))
      byLimit.set(quantity, [...(byLimit.get(quantity) ?? []), i + 1])
  })
  const told = [...byLimit].map(([quantity, drives]) => `${quantity}: ${drivesInBrief(drives)}`)
  return html`<p>Outside the <a href="#limits">limits of published procedures</a>: ${told.length > 0 ? told.join('; ') : 'none'}.</p>\n`
}

/** "drives 1, 2 and 5", or how many of many. */
function drivesInBrief(numbers: readonly number[]): string {
  if (numbers.length > MOST_NUMBERS) return plural(numbers.length, 'drive')
  return `${numbers.length === 1 ? 'drive' : 'drives'} ${listed(numbers.map(String))}`
}

const headOf = (runs: readonly ReportRun[]): Markup[] =>
  runs.map((run, i) => html`<th scope="col" class="figure"><span class="number">${i + 1}</span> ${run.id}</th>`)

function conditionsTable(runs: readonly ReportRun[], shown: readonly RunQuantity[]): Markup {
  const label = 'Conditions of the drives'
  const groups = RUN_GROUPS.map((group) => {
    const rows = shown.filter((quantity) => quantity.group === group).map((quantity) => rowOf(quantity, runs))
    if (rows.length === 0) return null
    return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${runs.length + 1}">${group}</th></tr>\n${rows}</tbody>`
  })
  return copied(
    label,
    html`<table class="conditions"><caption>${label}</caption>
<thead><tr><th scope="col">Quantity</th>${headOf(runs)}</tr></thead>
${groups}${limitsBody(runs)}</table>`,
  )
}

function rowOf(quantity: RunQuantity, batch: readonly ReportRun[]): Markup {
  const { label, unit } = quantity
  const cells = batch.map((run) => {
    const value = toldBare(quantity, run, 'full')
    return html`<td class="figure">${value === null ? '–' : marked(value)}</td>`
  })
  const unitCell = unit === '' ? null : html` <span class="unit">${marked([unitPiece(unit)])}</span>`
  return html`<tr><th scope="row">${label}${unitCell}</th>${cells}</tr>\n`
}

/** Which limits of published procedures each drive did not keep; null where none was asked for. */
function limitsBody(batch: readonly ReportRun[]): Markup | null {
  if (batch.every(({ limits }) => limits.length === 0)) return null
  const cells = batch.map(({ limits }) => {
    const broken = [...new Set(limits.filter(({ ok }) => ok === false).map(({ quantity }) => quantity))]
    const unknown = limits.some(({ ok }) => ok === null) ? ', some not known' : ''
    return html`<td class="figure">${broken.length > 0 ? html`<span class="outside">${listed(broken)}</span>` : 'none'}${unknown}</td>`
  })
  return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${batch.length + 1}">Limits of published procedures</th></tr>
<tr><th scope="row">Outside the limits <a class="unit" href="#limits">which</a></th>${cells}</tr></tbody>`
}

/** What else recorded these drives. */
function recordersList(report: Report): Markup | null {
  const sentences = recorderSentences(report)
  if (sentences.length === 0) return null
  return html`<ul>${sentences.map((sentence) => html`<li>${marked(sentence)}</li>`)}</ul>
`
}

/** What was noticed, drives with the same remark together. */
function flagsTable(runs: readonly ReportRun[]): Markup {
  const remarks = new Map<string, { flag: ReportRun['flags'][number]; drives: number[] }>()
  runs.forEach(({ flags }, i) => {
    for (const flag of flags) {
      const found = remarks.get(`${flag.code} ${flag.message}`)
      if (found) found.drives.push(i + 1)
      else remarks.set(`${flag.code} ${flag.message}`, { flag, drives: [i + 1] })
    }
  })
  if (remarks.size === 0) return html`<p>No quality flags were raised on any drive.</p>\n`
  const rows = [...remarks.values()].map(
    ({ flag, drives }) =>
      html`<tr><th scope="row">${capital(drivesInBrief(drives))}</th><td>${capital(flag.severity)}</td><td>${marked(flagWords(flag))}</td><td class="file">${flag.code}</td></tr>\n`,
  )
  return scrolled(
    'Quality flags',
    html`<table><caption>Quality flags: what was repaired in the recordings, and what is doubtful</caption>
<thead><tr><th scope="col">Drives</th><th scope="col">Kind</th><th scope="col">What</th><th scope="col">Code</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}
