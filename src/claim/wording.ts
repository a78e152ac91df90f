import type { Interval95 } from './types.ts'

const SIGN = { minus: '\u2212', plus: '+' }

/** A number with fixed decimals, a true minus sign and no sign for zero. */
export function figure(value: number, decimals = 1): string {
  const text = Math.abs(value).toFixed(decimals)
  return value < 0 && Number(text) !== 0 ? SIGN.minus + text : text
}

/** The same with its sign always shown, but for zero. */
export function signedFigure(value: number, decimals = 1): string {
  const text = figure(value, decimals)
  return value > 0 && Number(text) !== 0 ? SIGN.plus + text : text
}

/** "4.8 % less" or "2.1 % more"; "no more and no less" where it rounds to nothing. */
export function moreOrLess(pct: number, decimals = 1): string {
  const size = Math.abs(pct).toFixed(decimals)
  if (Number(size) === 0) return 'no more and no less'
  return `${size} % ${pct < 0 ? 'less' : 'more'}`
}

/** "−7.4 to −2.1 %", with as many decimals as it takes to see whether zero lies within. */
export function rangeInWords({ low95, high95 }: Interval95): string {
  const decimals = Math.min(low95 === 0 ? 1 : decimalsFor(low95), 3)
  const of = Math.max(decimals, Math.min(high95 === 0 ? 1 : decimalsFor(high95), 3))
  return `${signedFigure(low95, of)} to ${signedFigure(high95, of)} %`
}

const decimalsFor = (value: number): number => [1, 2, 3].find((d) => Number(Math.abs(value).toFixed(d)) > 0) ?? 3

/** "a", "a and b", "a, b and c". */
export function listed(items: readonly string[]): string {
  return items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`
}

/** "1 run", "3 runs". */
export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
