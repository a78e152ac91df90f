import { fixed } from '../base/figures.ts'
import { plainText } from '../base/sentence.ts'
import type { CheckResult, Finding } from '../check/check-campaign.ts'
import { UNOBSERVED } from '../check/sensitivity.ts'
import { problemPlace, type TerminalOptions } from '../report/terminal/terminal.ts'
import { padStart, styled, wrapped } from '../report/terminal/terminal-text.ts'
import { measureWords } from '../report/words/checks/checks.ts'
import { findingWords } from '../report/words/checks/findings.ts'
import { plural } from '../report/words.ts'

const COST_WIDTH = 7
/** Points that one decimal would call none. */
const LEAST_SHOWN = 0.05
/** Of one kind of finding, this many are shown in full. */
const MOST_OF_A_KIND: Record<Finding['severity'], number> = { error: 5, warning: 3, note: 1 }

/** The list of `check` for a terminal. Ends with a line end. */
export function checkText(result: CheckResult, options: TerminalOptions): string {
  const { report, findings } = result
  const counts = [
    plural(report.inputs.length, 'file'),
    plural(report.runs.length, 'drive'),
    plural(report.routes.length, 'road'),
    plural(report.claims.length, 'claim'),
  ]
  const lines = [counts.join(', '), '', ...measureLines(result, options.width), '']
  if (findings.length === 0) lines.push('Nothing is wrong or weak.')
  else
    lines.push(
      styled(`${padStart('points', COST_WIDTH)}  what is wrong or weak, what costs most first`, 'bold', options.color),
    )
  lines.push(...findingLines(findings, options))
  return `${lines.join('\n')}\n`
}

function measureLines({ measure, findings }: CheckResult, width: number): string[] {
  if (measure === null) {
    return wrapped('There are no two drives of one road yet, so no weakness has a figure.', width)
  }
  const rough = measure.assumed || findings.some((f) => f.rough)
  return wrapped(plainText(measureWords(measure, rough ? UNOBSERVED : null)), width)
}

/** Whether putting it right would gain nothing that shows. */
const isOfNoWeight = ({ costPoints, blocks, withoutAnswer }: Finding): boolean =>
  costPoints !== null && costPoints < LEAST_SHOWN && !blocks && withoutAnswer.length === 0

function findingLines(findings: Finding[], options: TerminalOptions): string[] {
  const shownOf = new Map<string, number>()
  const total = (code: string): number => findings.filter((f) => f.code === code).length
  const light = findings.filter(isOfNoWeight)
  return findings.flatMap((f) => {
    if (isOfNoWeight(f)) return f === light[0] ? lightLines(light, options) : []
    const shown = (shownOf.get(f.code) ?? 0) + 1
    shownOf.set(f.code, shown)
    const most = MOST_OF_A_KIND[f.severity]
    if (shown <= most) return oneFinding(f, options)
    if (shown > most + 1) return []
    const more = `… and ${total(f.code) - most} more of the kind ${f.code} (all with --json)`
    return wrapped(more, options.width, ' '.repeat(COST_WIDTH + 2))
  })
}

/** What does not matter here, said once: without a figure for each, and without what to do about it. */
function lightLines(light: readonly Finding[], { width }: TerminalOptions): string[] {
  const indent = ' '.repeat(COST_WIDTH + 2)
  const what =
    light.length === 1
      ? 'Putting this right gains less than 0.1 point:'
      : 'Putting any one of these right gains less than 0.1 point:'
  return [
    `${padStart('< 0.1', COST_WIDTH)}  ${what}`,
    ...light.flatMap((f) => wrapped(plainText(findingWords(f).message), width, `${indent}- `, `${indent}  `)),
  ]
}

function oneFinding(f: Finding, { width, color }: TerminalOptions): string[] {
  const indent = ' '.repeat(COST_WIDTH + 2)
  const place = problemPlace(f)
  const { message, fix } = findingWords(f)
  const text = `${place === '' ? '' : `${place}: `}${plainText(message)}`
  const [first, ...rest] = wrapped(text, width, indent)
  const cost = padStart(costWords(f), COST_WIDTH)
  const style = f.severity === 'error' ? 'red' : f.blocks || f.withoutAnswer.length > 0 ? 'yellow' : null
  const head = `${style ? styled(cost, style, color) : cost}  ${first.slice(indent.length)}`
  return [head, ...rest, ...wrapped(plainText(fix), width, `${indent}→ `, `${indent}  `)]
}

/** "1.2", "≈ 3.1"; a word where there is no figure. Chance in the draws does not allow for more decimals. */
function costWords({ costPoints, rough, severity }: Finding): string {
  if (costPoints === null) return severity === 'warning' ? '–' : severity
  const text = costPoints < LEAST_SHOWN ? '< 0.1' : fixed(costPoints, 1)
  return rough ? `≈ ${text}` : text
}
