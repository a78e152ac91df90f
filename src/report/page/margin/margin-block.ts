import type { Report } from '../../contract.ts'
import { reportAtMargin } from '../../margin/report-at-margin.ts'
import type { Markup } from '../../markup.ts'
import { answerAtMargin, stepsSection } from '../answer.ts'
import { stintPairsAtMargin } from '../claims/laps.ts'
import { drivesAtMargin } from '../drives/drives.ts'
import { pairsAtMargin, type ScoresAt } from '../pairs/pairs.ts'
import type { PartsAtMargin } from './part.ts'
import { dependsOnMargin, type TextsOfParts, withoutMargin } from './texts-at-margins.ts'

/**
 * All that depends on the margin besides the table of pairs, as templates in the page: made by the functions that make
 * the page, from the report at each margin, and put in place by the page's script.
 *
 * @param margins that can be chosen, ascending, percent
 */
export function marginBlock(report: Report, margins: readonly number[], scoresAt: ScoresAt): Markup {
  const scores = new Map(report.stint_pairs.map((pair) => [`${pair.a}\n${pair.b}`, scoresAt(pair, margins)]))
  const found = new Map<string, number>()
  const parts: TextsOfParts = {}
  for (const [place, marginPct] of margins.entries()) {
    const at = reportAtMargin(report, marginPct, ({ a, b }) => scores.get(`${a}\n${b}`)?.[place] ?? null)
    for (const [part, { markup }] of Object.entries(partsOf(at))) {
      const text = withoutMargin(markup, marginPct)
      const index = found.get(text) ?? found.size
      found.set(text, index)
      parts[part] ??= []
      if (parts[part].at(-1) !== index) parts[part].push(place, index)
    }
  }
  const kept = changing([...found.keys()], parts)
  const templates = kept.texts.map((text) => `<template>${text}</template>\n`).join('')
  return { markup: `<div id="at-margins" hidden>\n${templates}</div>\n${indexBlock(kept.parts)}` }
}

/** The names of parts are ours, so that nothing in them ends a script. */
const indexBlock = (parts: TextsOfParts): string =>
  `<script type="application/json" id="parts-at-margins">${JSON.stringify(parts)}</script>\n`

const partsOf = (report: Report): PartsAtMargin => ({
  ...answerAtMargin(report),
  ...drivesAtMargin(report),
  steps: stepsSection(report),
  ...pairsAtMargin(report),
  ...stintPairsAtMargin(report),
})

/** Without the parts that are the same at every margin. */
function changing(texts: readonly string[], parts: TextsOfParts): { texts: string[]; parts: TextsOfParts } {
  const kept = Object.entries(parts).filter(([, changes]) => changes.length > 2 || dependsOnMargin(texts[changes[1]]))
  const places = [...new Set(kept.flatMap(([, changes]) => changes.filter((_, i) => i % 2 === 1)))]
  const moved = (change: number, i: number): number => (i % 2 === 1 ? places.indexOf(change) : change)
  return {
    texts: places.map((place) => texts[place]),
    parts: Object.fromEntries(kept.map(([part, changes]) => [part, changes.map(moved)])),
  }
}
