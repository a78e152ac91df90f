import type { Report } from '../contract.ts'
import { glanceOf } from '../glance.ts'
import { html, type Markup } from '../markup.ts'
import { answerOf } from '../words/answer.ts'
import { type GlanceLine, glanceWords } from '../words/glance.ts'
import { dateAndTime, plural, UNTITLED } from '../words.ts'
import { claimsPicture, compareBar, nextPicture, usePatterns } from './answer-pictures.ts'
import { driveTiles } from './drives/drive-tiles.ts'
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

/** The three answers, each with a picture, and what the drives are used for: what a reader sees first. */
export function answerSection(report: Report): Markup {
  const glance = glanceOf(report)
  const words = glanceWords(report, glance)
  const rows = words.claims.map(({ name, change, drives, verdict }) => ({
    name: marked(name),
    words: marked(change),
    note: html`${drives}: ${marked(verdict)}`,
  }))
  return html`<section class="answer" aria-labelledby="answer">
<h2 id="answer" class="hidden">The answer</h2>
${usePatterns()}<div class="answers">
${lineBlock('compare', words.compare, compareBar(glance.compare))}
${lineBlock('helped', words.helped, null)}
${claimsPicture(glance, rows)}
${lineBlock('next', words.next, nextPicture(glance.next))}
</div>
${driveTiles(report)}</section>
`
}

function lineBlock(kind: string, { question, answer, more }: GlanceLine, picture: Markup | null): Markup {
  return html`<div class="reply reply-${kind}"><h3>${question}</h3>${picture}<p class="headline">${marked(answer)}</p>${more.length > 0 ? html`<p class="note">${marked(more)}</p>` : null}</div>`
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
