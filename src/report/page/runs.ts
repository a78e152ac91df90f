import type { Sentence } from '../../base/sentence.ts'
import type { Report, ReportRun } from '../contract.ts'
import { html, type Markup, scrolled } from '../markup.ts'
import { RUN_QUANTITIES } from '../run-quantities.ts'
import { RUN_GROUPS, type RunQuantity, toldBare, unitPiece } from '../run-quantity.ts'
import { flagWords } from '../words/flags.ts'
import { limitWords } from '../words/limits.ts'
import { recorderSentences } from '../words/recorders.ts'
import { listed } from '../words.ts'
import { driveAnchor } from './anchors.ts'
import { capital } from './pairs.ts'
import { amount, unitOf } from './units.ts'

/** So many drives stand side by side in one table at most: as many as a printed page holds. */
const RUNS_PER_TABLE = 6

/** More drives than this stand in runs.csv alone. */
const MOST_RUNS = 240

/** A value for the page: figures follow the choice of units. */
const marked = (sentence: Sentence): Markup =>
  html`${sentence.map((piece) => {
    if (typeof piece === 'string') return piece
    if ('name' in piece) return piece.name
    if ('unit' in piece) return unitOf(piece.unit)
    const value = amount(piece.value, piece.quantity, piece.decimals, piece)
    return piece.bare ? value : html`${value} ${unitOf(piece.quantity)}`
  })}`

/** The drives with their conditions side by side, then what was noticed about them. */
export function runsSection(report: Report): Markup | null {
  const all = report.runs
  if (all.length === 0) return null
  const runs = all.slice(0, MOST_RUNS)
  const left =
    runs.length < all.length
      ? html`<p>The first ${runs.length} of ${all.length} drives are shown; runs.csv holds them all.</p>\n`
      : null
  const tables = batches(runs).map(({ first, batch }) => conditionsTable(batch, first, runs.length))
  return html`<section aria-labelledby="drives">
<h2 id="drives">Drives and their conditions</h2>
<p>Figures after ± are standard deviations. Headwind is positive against the vehicle. A dash means that the figure is not known.</p>
${left}${tables}${runs.some(({ limits }) => limits.length > 0) ? null : html`<p>The drives were held against no published test procedure: name some under limits in campaign.yaml, or with --limits.</p>\n`}${recordersList(report)}${flagsTable(runs)}</section>
`
}

function batches(runs: readonly ReportRun[]): { first: number; batch: ReportRun[] }[] {
  const tables = Math.ceil(runs.length / RUNS_PER_TABLE)
  const each = Math.ceil(runs.length / tables)
  const starts = Array.from({ length: Math.ceil(runs.length / each) }, (_, i) => i * each)
  return starts.map((start) => ({ first: start + 1, batch: runs.slice(start, start + each) }))
}

/** @param target whether links to a drive lead here */
const headOf = (batch: readonly ReportRun[], first: number, target = false): Markup[] =>
  batch.map(
    (run, i) =>
      html`<th scope="col" class="figure"${target ? html` id="${driveAnchor(run.id)}"` : null}><span class="number">${first + i}</span> ${run.id}</th>`,
  )

function conditionsTable(batch: readonly ReportRun[], first: number, count: number): Markup {
  const label =
    count > RUNS_PER_TABLE ? `Conditions of drives ${first} to ${first + batch.length - 1}` : 'Conditions of the drives'
  const groups = RUN_GROUPS.map((group) => {
    const rows = RUN_QUANTITIES.filter((quantity) => quantity.group === group).map((quantity) => rowOf(quantity, batch))
    if (rows.length === 0) return null
    return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${batch.length + 1}">${group}</th></tr>\n${rows}</tbody>`
  })
  return scrolled(
    label,
    html`<table class="conditions"><caption>${label}</caption>
<thead><tr><th scope="col">Quantity</th>${headOf(batch, first, true)}</tr></thead>
${groups}${limitsBody(batch)}</table>`,
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

function flagsTable(runs: readonly ReportRun[]): Markup {
  const flagged = runs.flatMap((run, i) => run.flags.map((flag) => ({ run, number: i + 1, flag })))
  if (flagged.length === 0) return html`<p>No quality flags were raised on any drive.</p>\n`
  const rows = flagged.map(
    ({ run, number, flag }) =>
      html`<tr><th scope="row"><span class="number">${number}</span> ${run.id}</th><td>${capital(flag.severity)}</td><td>${marked(flagWords(flag))}</td><td class="file">${flag.code}</td></tr>\n`,
  )
  return scrolled(
    'Quality flags',
    html`<table><caption>Quality flags: what was repaired in the recordings, and what is doubtful</caption>
<thead><tr><th scope="col">Drive</th><th scope="col">Kind</th><th scope="col">What</th><th scope="col">Code</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

/** Each drive held against the weather limits of published procedures; null where no procedure was asked for. */
export function limitsSection({ runs: all }: Report): Markup | null {
  const runs = all.slice(0, MOST_RUNS)
  const procedures = [...new Set(runs.flatMap((run) => run.limits.map(({ procedure }) => procedure)))]
  if (procedures.length === 0) return null
  const tables = procedures.flatMap((procedure) =>
    batches(runs).map(({ first, batch }) => limitsTable(procedure, batch, first)),
  )
  return html`<section aria-labelledby="limits">
<h2 id="limits">Limits of published test procedures</h2>
<p>For information: to lie within these limits is not a certification, and the procedures ask for much more than weather.</p>
${tables}</section>
`
}

function limitsTable(procedure: string, batch: readonly ReportRun[], first: number): Markup {
  const key = (quantity: string, limit: string): string => `${quantity}\n${limit}`
  const found = batch.map(
    (run) => new Map(run.limits.filter((l) => l.procedure === procedure).map((l) => [key(l.quantity, l.limit), l])),
  )
  const lines = [...new Set(found.flatMap((limits) => [...limits.keys()]))]
  const rows = lines.map((line) => {
    const [quantity, limit] = line.split('\n')
    const cells = found.map((limits) => {
      const at = limits.get(line)
      if (!at || at.ok === null) return html`<td class="figure">not known</td>`
      const word = at.ok ? 'within' : 'outside'
      return html`<td class="figure"><span class="${word}">${word}:</span> ${at.reading === null ? (at.value ?? '–') : marked(limitWords(at.reading))}</td>`
    })
    return html`<tr><th scope="row">${capital(quantity)}<span class="unit"> ${limit}</span></th>${cells}</tr>\n`
  })
  return scrolled(
    procedure,
    html`<table class="limits"><caption>${procedure}</caption>
<thead><tr><th scope="col">Quantity and limit</th>${headOf(batch, first)}</tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}
