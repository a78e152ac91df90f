import { present } from '../../base/present.ts'
import { plainText, type Sentence } from '../../base/sentence.ts'
import type { Design } from '../../plan/design.ts'
import { budgetShares, type RepeatsPlan } from '../../plan/repeats.ts'
import {
  budgetWords,
  chanceOf,
  changePctOf,
  cheapestWords,
  lengthOf,
  oneEachWords,
  orderWords,
  questionLines,
  SHAPE_WORDS,
  SOURCE_WORDS,
  shapesWords,
  tableWords,
} from '../../report/words/plans/repeats.ts'

/** Breaks a text into lines; as it is by default. */
export type Wrap = (text: string) => string[]

/** The plan as text for a terminal. */
export function repeatsText(plan: RepeatsPlan, wrap: Wrap = (text) => [text]): string {
  const lines = (sentence: Sentence): string[] => wrap(plainText(sentence))
  return [
    ...questionLines(plan).flatMap(lines),
    '',
    ...wrap(tableWords(plan)),
    ...powerTable(plan),
    '',
    ...plan.cheapest.flatMap((c) => lines(cheapestWords(plan, c))),
    '',
    ...budgetLines(plan.cheapest[0].design ?? plan.designs[plan.designs.length - 1], wrap),
    '',
    ...shapeLines(plan, wrap),
    '',
    ...orderWords(plan).flatMap(lines),
    '',
    ...lines(oneEachWords(plan)),
    '',
  ].join('\n')
}

function powerTable({ designs, question }: RepeatsPlan): string[] {
  const width = 16
  const counts = [...new Set(designs.map((d) => d.runsPerSetup))]
  const head = `${question.baselineDrives === null ? 'drives each' : 'drives with'}${question.routesM.map((m) => plainText(lengthOf(m)).padStart(width)).join('')}`
  const cell = (d: Design): string => `${chanceOf(d.power)} % / ${changePctOf(d.detectable80)}`.padStart(width)
  const row = (runs: number): string =>
    `${String(runs).padStart(11)}${question.routesM.map((m) => cell(present(designs.find((d) => d.runsPerSetup === runs && d.routeM === m)))).join('')}`
  return [head, ...counts.map(row)]
}

function budgetLines(design: Design, wrap: Wrap): string[] {
  const widest = Math.max(...Object.values(SOURCE_WORDS).map((words) => words.length))
  const rows = budgetShares(design).map(
    (s) =>
      `  ${SOURCE_WORDS[s.source].padEnd(widest)}  ±${(100 * s.sd).toFixed(2)} %  ${String(Math.round(100 * s.share)).padStart(3)} %`,
  )
  return [...wrap(plainText(budgetWords(design))), ...rows]
}

function shapeLines({ shapes }: RepeatsPlan, wrap: Wrap): string[] {
  const rows = shapes.map(
    ({ shape, design }) =>
      `  ${SHAPE_WORDS[shape].padEnd(16)} ${chanceOf(design.power).padStart(3)} %, changes from ${changePctOf(design.detectable80)}`,
  )
  return [...wrap(plainText(shapesWords(shapes[0].design))), ...rows]
}
