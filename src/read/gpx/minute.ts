import { decimalAt, holds } from './codes.ts'

/** A minute of UTC as the file writes it, `2021-03-29T11:13:`: a point's time is mostly in the minute of the one before. */
export interface Minute {
  codes: Uint16Array
  /** Seconds since 1970 at its begin. */
  seconds: number
}

const MINUTE_LENGTH = 17
/** Where the digits of `2021-03-29T11:13:` stand, and what stands between them. */
const DIGITS = [0, 1, 2, 3, 5, 6, 8, 9, 11, 12, 14, 15]
const SIGNS = new Map([
  [4, 45],
  [7, 45],
  [10, 84],
  [13, 58],
  [16, 58],
])
const HOUR = 11
const SECONDS_PER_MINUTE = 60
/** More decimals than this are left to `parseInstant`. */
const MOST_DECIMALS = 9

const [DOT, ZERO, ZULU] = [46, 48, 90]
const isDigit = (code: number): boolean => code >= ZERO && code <= ZERO + 9

export const noMinute = (): Minute => ({ codes: new Uint16Array(MINUTE_LENGTH), seconds: Number.NaN })

/** The time between two places, `2021-03-29T11:13:45.25Z`, where it lies in a minute that is known; else NaN. */
export function secondsInMinute(minute: Minute, codes: Uint16Array, from: number, to: number): number {
  if (!holds(codes, from, minute.codes)) return Number.NaN
  const [tens, ones] = [codes[from + MINUTE_LENGTH] - ZERO, codes[from + MINUTE_LENGTH + 1] - ZERO]
  if (!(tens >= 0 && tens <= 5 && ones >= 0 && ones <= 9) || codes[to - 1] !== ZULU) return Number.NaN
  const mark = from + MINUTE_LENGTH + 2
  const seconds = minute.seconds + 10 * tens + ones
  if (mark === to - 1) return seconds
  const decimals = to - 2 - mark
  if (codes[mark] !== DOT || decimals < 1 || decimals > MOST_DECIMALS) return Number.NaN
  for (let at = mark + 1; at < to - 1; at++) if (!isDigit(codes[at])) return Number.NaN
  return seconds + decimalAt(codes, mark, to - 1)
}

/** Remembers the minute of a time `2021-03-29T11:13:45Z` or `…:45.25Z`, and of no other form. */
export function learnMinute(minute: Minute, codes: Uint16Array, from: number, to: number, seconds: number): void {
  const second = from + MINUTE_LENGTH
  if (to - from < MINUTE_LENGTH + 3 || codes[to - 1] !== ZULU || !isMinute(codes, from)) return
  if (!isDigit(codes[second]) || !isDigit(codes[second + 1]) || codes[second] > ZERO + 5) return
  // Of an hour 24 there is the first instant alone.
  if (codes[from + HOUR] === ZERO + 2 && codes[from + HOUR + 1] === ZERO + 4) return
  minute.codes.set(codes.subarray(from, second))
  // With a fraction the sum is rounded, up to the next second too: only a whole minute below it is certain.
  const within = 10 * (codes[second] - ZERO) + (codes[second + 1] - ZERO)
  minute.seconds = Math.floor((seconds - within) / SECONDS_PER_MINUTE) * SECONDS_PER_MINUTE
}

function isMinute(codes: Uint16Array, from: number): boolean {
  for (const [at, sign] of SIGNS) if (codes[from + at] !== sign) return false
  return DIGITS.every((at) => isDigit(codes[from + at]))
}
