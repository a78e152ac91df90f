import { answerOf } from './answer.ts'
import { CLAIM_VERDICT_WORDS, doubtsOf } from './claim-words.ts'
import type { Report, ReportPair, Verdict } from './contract.ts'
import { glyphScalePct, tinyGlyph } from './glyph.ts'
import { html, type Markup, scrolled } from './markup.ts'
import { sayer } from './page/said.ts'
import { SYSTEM_WORDS, SYSTEMS } from './page/units.ts'
import { dateAndTime, plural, signed, VERDICT_WORDS } from './words.ts'

const MOST_RUNS_IN_GRID = 40
const MOST_RUNS_ON_PAPER = 9

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
${unitsSwitch()}<p class="kind">Comparability report</p>
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

/** The choice of units; shown by the script that carries it out. */
function unitsSwitch(): Markup {
  const choices = SYSTEMS.map(
    (system) =>
      html`<label><input type="radio" name="units" value="${system}"${system === 'si' ? html` checked=""` : null}/> ${SYSTEM_WORDS[system]}</label> `,
  )
  return html`<fieldset class="units script-only"><legend>Units</legend>${choices}</fieldset>\n`
}

/** The answer in sentences, what to do next, and the grid of verdicts. */
export function answerSection(report: Report): Markup {
  const { headline, sentences, nextSteps } = answerOf(report)
  const say = sayer(report)
  const steps =
    nextSteps.length > 0
      ? html`<h3>What to do next</h3>\n<ol class="steps">${nextSteps.map((step) => html`<li>${say(step)}</li>`)}</ol>`
      : null
  return html`<section aria-labelledby="answer">
<h2 id="answer">Can these drives be compared?</h2>
<p class="headline">${headline}</p>
${sentences.map((sentence) => html`<p>${say(sentence)}</p>\n`)}${claimsAnswer(report)}${steps}
${grid(report)}</section>
`
}

/** Whether each claim holds, with its figures and what speaks against it. */
function claimsAnswer(report: Report): Markup | null {
  const { claims } = report
  if (claims.length === 0) return null
  const sentences = answerOf(report).claims
  const say = sayer(report)
  const supported = claims.filter(({ verdict }) => verdict === 'supported').length
  const headline =
    supported === claims.length
      ? claims.length === 1
        ? 'Yes: the change is supported.'
        : claims.length === 2
          ? 'Yes: both claims are supported.'
          : `Yes: all ${claims.length} claims are supported.`
      : supported > 0
        ? `In part: ${supported} of ${plural(claims.length, 'claim')} are supported.`.replace(
            /^(In part: 1 of .*) are /,
            '$1 is ',
          )
        : claims.length === 1
          ? `No: the claim is ${claims[0].verdict}.`
          : 'No: none of the claims is supported.'
  const items = claims.map((claim, i) => {
    const doubts = doubtsOf(claim).map((doubt) => html`<li>${say(doubt)}</li>`)
    return html`<li><a href="#claim-${i + 1}"><span aria-hidden="true">${CLAIM_VERDICT_WORDS[claim.verdict].sign}</span> ${claim.setup}</a>: ${say(sentences[i])}${doubts.length > 0 ? html`<ul class="remarks">${doubts}</ul>` : null}</li>`
  })
  return html`<h3 class="question">Does the claim hold?</h3>
<p class="headline">${headline}</p>
<ul class="claims-answer">${items}</ul>
`
}

/** Where a pair stands on the page, by its drives' numbers. */
export const pairAnchor = (a: number | undefined, b: number | undefined): string => `pair-${b ?? 'x'}-${a ?? 'x'}`

/** A verdict with its sign; the sign alone is never the only carrier. */
export function verdictTag(verdict: Verdict): Markup {
  const { sign, word } = VERDICT_WORDS[verdict]
  return html`<span class="verdict ${verdict}"><span aria-hidden="true">${sign}</span> ${word}</span>`
}

/** Each pair as a tiny drawing of its difference against the band, with its verdict's sign; it leads to the pair. */
function grid(report: Report): Markup | null {
  const { runs, pairs, settings } = report
  if (pairs.length === 0 || runs.length > MOST_RUNS_IN_GRID) return null
  const found = new Map(pairs.map((pair) => [`${pair.b}\n${pair.a}`, pair]))
  // In so little room the band must be wide enough to be seen; what goes beyond ends at the cell's edge.
  const scale = Math.min(glyphScalePct(report), 3 * settings.margin_pct)
  const cell = (row: number, column: number): Markup => {
    if (row === column) return html`<td class="self"><span aria-hidden="true">·</span></td>`
    const pair = found.get(`${runs[row].id}\n${runs[column].id}`)
    if (pair === undefined) return html`<td></td>`
    const { sign, word } = VERDICT_WORDS[pair.verdict]
    const figures = pair.difference_pct ? `, ${signed(pair.difference_pct.mean, 1)} %` : ''
    return html`<td class="${pair.verdict}"><a href="#${pairAnchor(column + 1, row + 1)}"><span aria-hidden="true">${sign}</span>${tinyGlyph(pair, settings.margin_pct, scale)}<span class="hidden">${row + 1} against ${column + 1}: ${word}${figures}</span></a></td>`
  }
  const head = runs.map((run, i) => html`<th scope="col"><abbr title="${run.id}">${i + 1}</abbr></th>`)
  const rows = runs.map(
    (row, i) =>
      html`<tr><th scope="row"><span class="number">${i + 1}</span> ${row.id}</th>${runs.map((_, column) => cell(i, column))}</tr>\n`,
  )
  const legend = (Object.keys(VERDICT_WORDS) as Verdict[])
    .filter((verdict) => pairs.some((pair: ReportPair) => pair.verdict === verdict))
    .map((verdict) => html`<div>${verdictTag(verdict)}<span>${VERDICT_WORDS[verdict].means}</span></div>`)
  const table = html`<table class="grid"><caption>Every pair, the drive of the row against that of the column: its difference as a point on its 90 % interval, the shaded band is the margin; the numbers stand for the drives, here and below</caption>
<thead><tr><td></td>${head}</tr></thead>
<tbody>${rows}</tbody></table>`
  const drawn = scrolled('Every pair', table)
  const broad = runs.length > MOST_RUNS_ON_PAPER
  const onPaper = html`<p class="paper-only">The grid of ${runs.length} drives is too broad for paper; the pairs are listed below.</p>\n`
  return html`${broad ? html`<div class="screen-only">${drawn}</div>${onPaper}` : drawn}<div class="legend">${legend}</div>\n`
}
