import { answerOf } from './answer.ts'
import type { Report, ReportPair, Verdict } from './contract.ts'
import { html, type Markup, scrolled } from './markup.ts'
import { dateAndTime, plural, VERDICT_WORDS } from './words.ts'

const MOST_RUNS_IN_GRID = 16

/** The head of the sheet: what was compared, with which settings. */
export function headSection({ title, runs, routes, pairs, settings, version }: Report): Markup {
  const facts: [string, string][] = [
    ['Drives', `${runs.length}, on ${plural(routes.length, 'route')}`],
    [
      'Period',
      periodOf(
        runs.map(({ start_time }) => start_time),
        runs.map(({ end_time }) => end_time),
      ),
    ],
    ['Pairs', String(pairs.length)],
    ['Margin', `± ${settings.margin_pct} %`],
    ['Baseline', settings.baseline ?? 'not stated'],
    ['Computed by', `ceteris ${version}, ${settings.draws} draws, seed ${settings.seed}`],
  ]
  const items = facts.map(([name, value]) => html`<div><dt>${name}</dt><dd>${value}</dd></div>`)
  return html`<header>
<p class="kind">Comparability report</p>
<h1>${title ?? 'Drives of the same road'}</h1>
<dl class="facts">${items}</dl>
</header>
`
}

function periodOf(starts: string[], ends: string[]): string {
  if (starts.length === 0) return 'none'
  const first = starts.toSorted()[0]
  const last = ends.toSorted()[ends.length - 1]
  return `${dateAndTime(first)} to ${dateAndTime(last)} UTC`
}

/** The answer in sentences, what to do next, and the grid of verdicts. */
export function answerSection(report: Report): Markup {
  const { headline, sentences, nextSteps } = answerOf(report)
  const steps =
    nextSteps.length > 0
      ? html`<h3>What to do next</h3>\n<ol class="steps">${nextSteps.map((step) => html`<li>${step}</li>`)}</ol>`
      : null
  return html`<section aria-labelledby="answer">
<h2 id="answer">Can these drives be compared?</h2>
<p class="headline">${headline}</p>
${sentences.map((sentence) => html`<p>${sentence}</p>\n`)}${steps}
${grid(report)}</section>
`
}

/** A verdict with its sign; the sign alone is never the only carrier. */
export function verdictTag(verdict: Verdict): Markup {
  const { sign, word } = VERDICT_WORDS[verdict]
  return html`<span class="verdict ${verdict}"><span aria-hidden="true">${sign}</span> ${word}</span>`
}

function grid({ runs, pairs }: Report): Markup | null {
  if (pairs.length === 0 || runs.length > MOST_RUNS_IN_GRID) return null
  const verdicts = new Map(
    pairs.flatMap(
      ({ a, b, verdict }) =>
        [
          [`${a}\n${b}`, verdict],
          [`${b}\n${a}`, verdict],
        ] as const,
    ),
  )
  const cell = (a: string, b: string): Markup => {
    if (a === b) return html`<td class="self"><span aria-hidden="true">·</span></td>`
    const verdict = verdicts.get(`${a}\n${b}`)
    if (verdict === undefined) return html`<td></td>`
    const { sign, word } = VERDICT_WORDS[verdict]
    return html`<td class="${verdict}"><span aria-hidden="true">${sign}</span><span class="hidden">${word}</span></td>`
  }
  const head = runs.map((run, i) => html`<th scope="col"><abbr title="${run.id}">${i + 1}</abbr></th>`)
  const rows = runs.map(
    (row, i) =>
      html`<tr><th scope="row"><span class="number">${i + 1}</span> ${row.id}</th>${runs.map((run) => cell(row.id, run.id))}</tr>\n`,
  )
  const legend = (Object.keys(VERDICT_WORDS) as Verdict[])
    .filter((verdict) => pairs.some((pair: ReportPair) => pair.verdict === verdict))
    .map((verdict) => html`<div>${verdictTag(verdict)}<span>${VERDICT_WORDS[verdict].means}</span></div>`)
  const table = html`<table class="grid"><caption>Verdict of every pair; the numbers stand for the drives, here and below</caption>
<thead><tr><td></td>${head}</tr></thead>
<tbody>${rows}</tbody></table>`
  return html`${scrolled('Verdict of every pair', table)}<div class="legend">${legend}</div>\n`
}
