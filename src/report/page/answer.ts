import type { Report } from '../contract.ts'
import { glanceOf } from '../glance.ts'
import { html, type Markup } from '../markup.ts'
import { nextSteps as stepsOf } from '../words/claims/next-steps.ts'
import { type GlanceLine, glanceWords } from '../words/glance.ts'
import { usedIn } from '../words/used.ts'
import { plural, UNTITLED } from '../words.ts'
import { claimsPicture, compareBar, nextPicture, usePatterns } from './answer-pictures.ts'
import { driveTiles } from './drives/drive-tiles.ts'
import type { PartsAtMargin } from './margin/part.ts'
import { marked } from './sentences.ts'
import { clock, clockName } from './times.ts'

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
  const facts: [string, string | Markup][] = [
    ['Drives', `${runs.length}, on ${plural(routes.length, 'road')}`],
    [
      'Period',
      periodOf(
        runs.map(({ start_time }) => start_time),
        runs.map(({ end_time }) => end_time),
      ),
    ],
    ['Pairs', String(pairs.length)],
    [
      'Margin',
      html`± ${settings.margin_pct} %<span class="at-other-margin" hidden="">, here shown at ± <span class="margin"></span> %</span>`,
    ],
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

function periodOf(starts: string[], ends: string[]): Markup {
  if (starts.length === 0) return html`none`
  const first = starts.toSorted()[0]
  const last = ends.toSorted()[ends.length - 1]
  return html`${clock(first)} to ${clock(last)} ${clockName()}`
}

/** The three answers, each with a picture, and what the drives are used for: what a reader sees first. */
export function answerSection(report: Report): Markup {
  const { compare, helped, next, claims, tiles } = answerParts(report)
  return html`<section class="answer" aria-labelledby="answer">
<h2 id="answer" class="hidden">The answer</h2>
<p class="at-other-margin note" hidden="">Shown at a margin of ± <span class="margin"></span> %. The report was made with ± ${report.settings.margin_pct} %, and so were its files and cards.</p>
${usePatterns()}<div class="answers">
${compare}
${helped}
${claims}
${next}
</div>
${tiles}</section>
`
}

/** What of the answer depends on the margin. */
export function answerAtMargin(report: Report): PartsAtMargin {
  const { compare, helped, next, claimItems, tileItems } = answerParts(report)
  return { compare, helped, next, ...claimItems, ...tileItems }
}

function answerParts(report: Report) {
  const glance = glanceOf(report)
  const words = glanceWords(report, glance)
  const rows = words.claims.map(({ name, change, drives, verdict }) => ({
    name: marked(name),
    words: marked(change),
    note: html`${drives}: ${marked(verdict)}`,
  }))
  const { picture: claims, items: claimItems } = claimsPicture(glance, rows, usedIn(report))
  const { list: tiles, items: tileItems } = driveTiles(report)
  return {
    compare: lineBlock('compare', words.compare, compareBar(glance.compare)),
    helped: lineBlock('helped', words.helped, null),
    next: lineBlock('next', words.next, nextPicture(glance.next)),
    claims,
    claimItems,
    tiles,
    tileItems,
  }
}

function lineBlock(kind: string, { question, answer, more }: GlanceLine, picture: Markup | null): Markup {
  return html`<div class="reply reply-${kind}" data-at-margin="${kind}"><h3>${question}</h3>${picture}<p class="headline">${marked(answer)}</p>${more.length > 0 ? html`<p class="note">${marked(more)}</p>` : null}</div>`
}

/** What to do next, most useful first; hidden where there is nothing to do, as there may be at another margin. */
export function stepsSection(report: Report): Markup {
  const nextSteps = stepsOf(report)
  return html`<section${nextSteps.length === 0 ? html` hidden=""` : null} aria-labelledby="next" data-at-margin="steps">
<h2 id="next">What to do next</h2>
<ol class="steps">${nextSteps.map((step) => html`<li>${marked(step)}</li>`)}</ol>
</section>
`
}
