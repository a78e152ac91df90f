import type { Report } from '../contract.ts'
import { html, type Markup } from '../markup.ts'
import { answerOf } from '../words/answer.ts'
import { CLAIM_VERDICT_WORDS, claimsHeadline, doubtsOf } from '../words/claims.ts'
import { dateAndTime, plural, UNTITLED } from '../words.ts'
import { marked } from './sentences.ts'

/** What was compared. */
export function headSection({ title }: Report): Markup {
  return html`<header>
<p class="kind">Comparability report</p>
<h1>${title ?? UNTITLED}</h1>
</header>
`
}

/** How many drives were compared, with which settings, and by what. */
export function factsSection({ runs, routes, pairs, settings, version }: Report): Markup {
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
  return html`<section aria-labelledby="settings">
<h2 id="settings">Settings</h2>
<dl class="facts">${items}</dl>
</section>
`
}

function periodOf(starts: string[], ends: string[]): string {
  if (starts.length === 0) return 'none'
  const first = starts.toSorted()[0]
  const last = ends.toSorted()[ends.length - 1]
  return `${dateAndTime(first)} to ${dateAndTime(last)} UTC`
}

/** The answer. */
export function answerSection(report: Report): Markup {
  const { headline } = answerOf(report)
  return html`<section class="answer" aria-labelledby="answer">
<h2 id="answer">Can these drives be compared?</h2>
<p class="headline">${marked(headline)}</p>
${claimsAnswer(report)}</section>
`
}

/** What to do next, most useful first; null where there is nothing to do. */
export function stepsSection(report: Report): Markup | null {
  const { nextSteps } = answerOf(report)
  if (nextSteps.length === 0) return null
  return html`<section aria-labelledby="next">
<h2 id="next">What to do next</h2>
<ol class="steps">${nextSteps.map((step) => html`<li>${marked(step)}</li>`)}</ol>
</section>
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
