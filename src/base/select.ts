import quickselect from 'quickselect'

/**
 * The value at a rank (from 0) of the ascending order, NaN last; the values are moved about, those behind the rank are
 * not smaller. Sorting takes ten times as long.
 * @source Floyd, Rivest, "Algorithm 489: SELECT", Communications of the ACM 18 (1975) 173, by quickselect, which has no
 * place for NaN
 */
export function nthOf(values: Float64Array, rank: number): number {
  if (values.includes(Number.NaN)) return values.sort()[rank]
  // Its types know arrays alone; it reads and swaps, no more.
  quickselect(values as unknown as number[], rank)
  return values[rank]
}
