import { sha256, toBase64 } from '../../base/platform.ts'
import { CAUTIONS } from '../../campaign/report/assumptions.ts'
import type { FieldSheet } from '../../plan/sheet.ts'
import { escaped, html, type Markup } from '../../report/markup.ts'
import { LIGHT_PALETTE, TYPEFACE } from '../../report/page/style/sheet-style.ts'
import { type SheetWords, sheetWords } from '../../report/words/plans/sheet.ts'
import type { SheetBox } from '../../report/words/plans/sheet-boxes.ts'
import { SPARE_LINES } from './sheet-text.ts'

/** Measures are those of paper: A4 and letter on their side, less the margins, are 277 and 259 mm wide. */
const STYLE = `
:root { color-scheme: light; ${LIGHT_PALETTE} }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 8mm; max-width: 293mm; background: var(--paper); color: var(--ink); font: 8.5pt/1.3 ${TYPEFACE}; overflow-wrap: anywhere; }
h1, h2, p, ul, dl { margin: 0 0 1.5mm; }
h1 { font-size: 14pt; font-weight: 600; line-height: 1.15; }
h2 { font-size: 10.5pt; font-weight: 600; }
.head { display: grid; grid-template-columns: repeat(5, 1fr); border: 1px solid var(--ink); border-width: 1px 0 0 1px; }
.head div { border: 1px solid var(--ink); border-width: 0 1px 1px 0; padding: .5mm 1.5mm; min-height: 10mm; }
dt, .unit { color: var(--soft); font-size: 7pt; line-height: 1.2; font-weight: normal; }
dd { margin: 0; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid var(--ink); padding: .4mm .8mm; text-align: left; vertical-align: top; font-weight: normal; }
thead th { font-size: 7.5pt; line-height: 1.15; font-weight: 600; }
thead { display: table-header-group; }
tr, section, li { break-inside: avoid; }
.drives { table-layout: fixed; }
.drives tbody tr { height: 8.4mm; }
.drives tbody :is(th, td) { vertical-align: middle; }
.unit { display: block; }
.long { font-size: 6.5pt; line-height: 1.1; }
.back { break-before: page; columns: 3; column-gap: 6mm; padding-top: 4mm; }
.back ul { padding-left: 4mm; }
.back li { margin-bottom: .6mm; }
.back table { font-size: 7.5pt; margin-bottom: 1.5mm; }
.back td code { white-space: nowrap; }
code { font-family: ui-monospace, "DejaVu Sans Mono", "Liberation Mono", Menlo, Consolas, monospace; font-size: 7pt; }
@page { size: landscape; margin: 10mm; }
@media print {
  :root { --paper: #fff; --ink: #000; --soft: #333; }
  body { padding: 0; max-width: none; }
  .back { padding-top: 0; }
}`

/** Nothing but the one style sheet may style, nothing may run, and nothing may be fetched. */
const POLICY = `default-src 'none'; style-src 'sha256-${toBase64(sha256(STYLE))}'; base-uri 'none'; form-action 'none'`

/** The sheet as one page for a browser's print command: the table to write into, and behind it what to do. */
export function sheetPage(sheet: FieldSheet): string {
  const words = sheetWords(sheet)
  const title = words.title === null ? words.heading : `${words.heading}: ${words.title}`
  const body = html`<h1>${title}</h1>
<dl class="head">${words.head.map(([label, value]) => html`<div><dt>${label}</dt><dd>${value}</dd></div>`)}</dl>
${words.order.map((text) => html`<p class="order">${text}</p>\n`)}
${driveTable(words.boxes, sheet.drives)}
<div class="back">
${words.sections.map(({ heading, steps }) => section(heading, list(steps)))}
${typeIn(words.typeIn)}
${section('Cautions', list(CAUTIONS))}</div>
`
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>${escaped(title)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
${body.markup}</main>
</body>
</html>
`
}

const section = (heading: string, content: Markup): Markup => html`<section><h2>${heading}</h2>\n${content}</section>\n`
const list = (items: readonly string[]): Markup => html`<ul>${items.map((item) => html`<li>${item}</li>\n`)}</ul>`

function driveTable(boxes: readonly SheetBox[], drives: readonly string[]): Markup {
  const widths = [NUMBER_MM, ...boxes.map(({ widthMm }) => widthMm)]
  const all = widths.reduce((sum, width) => sum + width, 0)
  const columns = widths.map((width) => html`<col width="${`${((100 * width) / all).toFixed(2)}%`}">`)
  const heads = boxes.map(
    ({ label, unit }) =>
      html`<th scope="col">${label}${unit === null ? null : html`<span class="unit">${unit}</span>`}</th>`,
  )
  const row = (number: string, setup: string): Markup =>
    html`<tr><th scope="row">${number}</th>${boxes.map((_, i) => (i === 0 ? setupCell(setup) : html`<td></td>`))}</tr>\n`
  return html`<table class="drives"><colgroup>${columns}</colgroup>
<thead><tr><th scope="col">No.</th>${heads}</tr></thead>
<tbody>${drives.map((setup, i) => row(String(i + 1), setup))}${Array.from({ length: SPARE_LINES }, () => row('spare', ''))}</tbody></table>
`
}

const NUMBER_MM = 12

/** A long name is written small, so that it makes no line of the table higher. */
const setupCell = (setup: string): Markup =>
  setup.length > 14 ? html`<td class="long">${setup}</td>` : html`<td>${setup}</td>`

const typeIn = ({ heading, words, rows, headerLine }: SheetWords['typeIn']): Markup =>
  html`<section><h2>${heading}</h2>
<p>${words}</p></section>
<table><thead><tr><th scope="col">On the sheet</th><th scope="col">Column</th><th scope="col">How</th></tr></thead>
<tbody>${rows.map(({ from, column, how }) => html`<tr><td>${from}</td><td><code>${column}</code></td><td>${how}</td></tr>\n`)}</tbody></table>
<p>The first line of the table: <code>${headerLine}</code></p>
`
