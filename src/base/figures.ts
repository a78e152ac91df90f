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

/** A number for the report: null where it does not exist. */
export const finiteOrNull = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** "1 row" or "3 rows": how many of something, in words. */
export const plural = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
