import type { Problem } from '../../base/problem.ts'

/** How often something was met, where first, and what it looked like there. */
export interface Tally {
  count: number
  line: number
  sample: string
}

export const noTally = (): Tally => ({ count: 0, line: 0, sample: '' })

export function tally(counter: Tally, line: number, sample: string): void {
  if (counter.count++ === 0) {
    counter.line = line
    counter.sample = ownText(sample).slice(0, 40)
  }
}

/** A problem that names a tally's first line, or nothing where the count is zero. */
export function tallyProblem(
  counter: Tally,
  code: string,
  severity: Problem['severity'],
  message: (counter: Tally) => string,
): Problem[] {
  return counter.count === 0 ? [] : [{ code, severity, message: message(counter), line: counter.line }]
}

/**
 * The same text in memory of its own: a piece cut out of a file's text would otherwise keep the whole file in memory.
 */
export function ownText(piece: string): string {
  return new TextDecoder().decode(new TextEncoder().encode(piece))
}

const DECIMAL_COMMA = /^\s*[+-]?\d+,\d+\s*$/

/**
 * The decimal number in an attribute or element.
 * @returns NaN for anything else, an empty text included
 */
export function decimal(text: string): number {
  const value = Number(text)
  if (!Number.isFinite(value)) return Number.NaN
  // No blank first and no letter second: the usual case, told without the expression.
  if (text.charCodeAt(0) > 32 && !(text.charCodeAt(1) > 57)) return value
  return NOT_DECIMAL.test(text) ? Number.NaN : value
}

/** Texts that `Number` takes and no GPX writer means: nothing, hexadecimal and the like. */
const NOT_DECIMAL = /^\s*$|[xXbBoO]/

/** Reads `48,25` as 48.25: no sign other than the decimal one belongs into a coordinate. NaN for anything else. */
export function commaDecimal(text: string): number {
  return DECIMAL_COMMA.test(text) ? Number(text.replace(',', '.')) : Number.NaN
}
