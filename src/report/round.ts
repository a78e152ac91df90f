/** Digits that are kept of every number written out: more than any figure here is good for, and stable as bytes. */
const SIGNIFICANT_DIGITS = 6
/** Below this everything in a report is zero: arithmetic's dust, in whatever unit. */
const DUST = 1e-12

/** The number to six significant digits; whole numbers stay whole, and minus zero becomes zero. */
export function rounded(value: number): number {
  if (Number.isInteger(value)) return value === 0 ? 0 : value
  if (Math.abs(value) < DUST) return 0
  return Number(value.toPrecision(SIGNIFICANT_DIGITS))
}

/** The same for every number inside a value of JSON; a number that is none is a bug of ours and throws. */
export function roundedDeep(value: unknown): unknown {
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new Error(`a report cannot hold the number ${value}`)
    return rounded(value)
  }
  if (Array.isArray(value)) return value.map(roundedDeep)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, roundedDeep(inner)]))
}
