import { atLeast, fixed, signed } from '../../base/figures.ts'
import { cleaned } from '../../base/names.ts'
import type { Report, ReportPair } from '../contract.ts'
import { onOneRoad } from '../one-road.ts'
import { endsAtMargin } from '../words/pairs.ts'
import { plural, VERDICT_WORDS } from '../words.ts'
import { shortNames } from './short-names.ts'
import { notShown, padStart, type TextColumn, textTable, WIDEST_NAME, widthOf, wrapped } from './terminal-text.ts'

const MOST_RUNS_IN_GRID = 20
const MOST_PAIRS = 30
const NO_BREAK = '\u00A0'

/** The pairs for a terminal: a grid of signs where it fits, and the list. */
export function pairLines(report: Report, width: number): string[] {
  const { runs, pairs } = report
  const names = [
    ...shortNames(
      runs.map(({ id }) => cleaned(id)),
      WIDEST_NAME,
    ).values(),
  ]
  const label = Math.max(...names.map(widthOf)) + 4
  const fits = runs.length <= MOST_RUNS_IN_GRID && label + runs.length * 4 <= width
  const used = new Set(pairs.filter(onOneRoad).map((pair) => pair.verdict))
  const legend = Object.entries(VERDICT_WORDS)
    .filter(([verdict]) => used.has(verdict as ReportPair['verdict']))
    .map(([, { sign, word }]) => `${sign}${NO_BREAK}${word}`)
  if (!pairs.every(onOneRoad)) legend.push('blank: another road or direction')
  const compared = new Set(pairs.flatMap(({ a, b }) => [a, b]))
  if (runs.some(({ id }) => !compared.has(id))) legend.push('blank row: left out')
  const grid = fits ? [...gridLines(report, names, label), ...legendLines(legend, width), ''] : []
  return [...grid, ...pairList(report, width)]
}

/** What the signs mean: none apart from its words at the end of a line. */
const legendLines = (legend: readonly string[], width: number): string[] =>
  wrapped(legend.map((words) => words.replaceAll(' ', NO_BREAK)).join('   '), width, '    ').map((line) =>
    line.replaceAll(NO_BREAK, ' ').trimEnd(),
  )

/** Runs against runs; the signs stand for the verdicts, and a dot for a run against itself. */
function gridLines({ runs, pairs }: Report, names: readonly string[], label: number): string[] {
  const signs = new Map(
    pairs.flatMap((pair) => {
      const { a, b } = pair
      const sign = onOneRoad(pair) ? VERDICT_WORDS[pair.verdict].sign : ''
      return [
        [`${a}\n${b}`, sign],
        [`${b}\n${a}`, sign],
      ] as const
    }),
  )
  const numbers = runs.map((_, i) => padStart(String(i + 1), 4)).join('')
  const rows = runs.map((row, i) => {
    const cells = runs.map((other, j) => padStart(i === j ? '·' : (signs.get(`${row.id}\n${other.id}`) ?? ''), 4))
    const name = `${padStart(String(i + 1), 2)}  ${names[i]}`
    return `${name}${' '.repeat(Math.max(0, label - widthOf(name)))}${cells.join('')}`.trimEnd()
  })
  return [`${' '.repeat(label)}${numbers}`, ...rows]
}

const ORDER: Record<ReportPair['verdict'], number> = {
  comparable: 0,
  adjustable: 1,
  undecided: 2,
  'not-comparable': 3,
  unknown: 4,
}

function pairList({ runs, pairs: all, settings }: Report, width: number): string[] {
  const pairs = all.filter(onOneRoad)
  if (pairs.length === 0) return []
  const numbers = new Map(runs.map((run, i) => [run.id, i + 1]))
  const sorted = pairs.toSorted((p, q) => ORDER[p.verdict] - ORDER[q.verdict] || (q.score ?? 0) - (p.score ?? 0))
  const shown = sorted.slice(0, MOST_PAIRS)
  const column = (
    header: string,
    rank: number,
    align: TextColumn['align'],
    cell: (pair: ReportPair) => string,
  ): TextColumn => ({
    header,
    rank,
    align,
    cells: shown.map(cell),
  })
  const { lines, leftOut } = textTable(
    [
      column(
        'pair',
        0,
        'left',
        ({ a, b }) => `${numbers.get(b) ?? cleaned(b)} against ${numbers.get(a) ?? cleaned(a)}`,
      ),
      column('verdict', 0, 'left', ({ verdict }) => `${VERDICT_WORDS[verdict].sign} ${VERDICT_WORDS[verdict].word}`),
      column('difference, %', 0, 'right', ({ difference_pct: d }) => signed(d?.mean ?? null, 1)),
      column('90 % interval', 1, 'right', ({ difference_pct: d }) => (d ? endsAtMargin(d, settings.margin_pct) : '–')),
      column('within margin, %', 2, 'right', ({ score }) => fixed(score, 0)),
      column('smallest passing margin, %', 3, 'right', ({ tightest_margin_pct: margin }) => atLeast(margin, 1)),
    ],
    width,
  )
  const more = pairs.length - shown.length
  if (more > 0) lines.push(`… and ${plural(more, 'more pair')} (all in pairs.csv)`)
  return [...lines, ...notShown(leftOut, width)]
}
