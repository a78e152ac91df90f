import { SYSTEM_WORDS, SYSTEMS } from '../../base/quantities.ts'
import type { Report, ReportPair } from '../contract.ts'
import { html, type Markup } from '../markup.ts'
import { answerOf } from '../words/answer.ts'
import { CLAIM_VERDICT_WORDS, claimsHeadline, doubtsOf } from '../words/claims.ts'
import { dateAndTime, plural, UNTITLED } from '../words.ts'
import { pairsGrid } from './grid.ts'
import { marked } from './sentences.ts'

/** The head of the sheet: what was compared, with which settings. */
export function headSection({ title, runs, routes, pairs, settings, version }: Report): Markup {
  const facts: [string, string][] = [
    ['Drives', `${runs.length}, on ${plural(routes.length, 'road')}`],
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
<h1>${title ?? UNTITLED}</h1>
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

/**
 * The answer in sentences, what to do next, and the grid of verdicts.
 * @param every all pairs, where the report tells only of some
 */
export function answerSection(report: Report, every: Iterable<ReportPair>): Markup {
  const { headline, sentences, nextSteps } = answerOf(report)
  const steps =
    nextSteps.length > 0
      ? html`<h3>What to do next</h3>\n<ol class="steps">${nextSteps.map((step) => html`<li>${marked(step)}</li>`)}</ol>`
      : null
  return html`<section aria-labelledby="answer">
<h2 id="answer">Can these drives be compared?</h2>
<p class="headline">${marked(headline)}</p>
${sentences.map((sentence) => html`<p>${marked(sentence)}</p>\n`)}${claimsAnswer(report)}${steps}
${pairsGrid(report, every)}</section>
`
}

/** Whether each claim holds, with its figures and what speaks against it. */
function claimsAnswer(report: Report): Markup | null {
  const { claims } = report
  if (claims.length === 0) return null
  const sentences = answerOf(report).claims
  const items = claims.map((claim, i) => {
    const doubts = doubtsOf(claim).map((doubt) => html`<li>${marked(doubt)}</li>`)
    return html`<li><a href="#claim-${i + 1}"><span aria-hidden="true">${CLAIM_VERDICT_WORDS[claim.verdict].sign}</span> ${claim.setup}</a>: ${marked(sentences[i])}${doubts.length > 0 ? html`<ul class="remarks">${doubts}</ul>` : null}</li>`
  })
  return html`<h3 class="question">Does the claim hold?</h3>
<p class="headline">${marked(claimsHeadline(claims))}</p>
<ul class="claims-answer">${items}</ul>
`
}
