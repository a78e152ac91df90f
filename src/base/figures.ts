/** A number with fixed decimals and a true minus sign; a dash where there is none. */
export function fixed(value: number | null, decimals: number): string {
  if (value === null) return '–'
  const text = value.toFixed(decimals)
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '\u2212')
}

/** The same with its sign always shown, but for zero. */
export function signed(value: number | null, decimals: number): string {
  const text = fixed(value, decimals)
  return value !== null && Number(value.toFixed(decimals)) > 0 ? `+${text}` : text
}

/** A limit that is just kept, with fixed decimals: rounded up, so that what is shown is never too small to pass. */
export function atLeast(value: number | null, decimals: number): string {
  if (value === null) return fixed(value, decimals)
  const text = value.toFixed(decimals)
  return Number(text) >= value ? fixed(value, decimals) : fixed(Number(text) + Number(`1e-${decimals}`), decimals)
}

/**
 * The end of an interval to one decimal, or to those that the line has, its sign always shown. An end beyond a line is
 * never shown on it: where rounding would put it there, it is rounded away from zero.
 * @param line size of the margin that decides, on either side of zero; 0 where zero itself decides
 */
export function endBeside(line: number, value: number): string {
  const decimals = Number.isInteger(10 * line) ? 1 : 2
  const isHidden = Math.abs(value) > line && Number(Math.abs(value).toFixed(decimals)) <= line
  return signed(isHidden ? Math.sign(value) * (line + Number(`1e-${decimals}`)) : value, decimals)
}

/** A number for the report: null where it does not exist. */
export const finiteOrNull = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** "1 row" or "3 rows": how many of something, in words. */
export const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
