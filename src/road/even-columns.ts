/** Triangular mean of an evenly spaced column over `reach` cells to either side, narrower towards the ends so that these keep their value. */
export function smoothed(values: Float64Array, reach: number): Float64Array {
  const means = new Float64Array(values.length)
  for (let i = 0; i < means.length; i++) {
    const width = Math.min(reach, i, values.length - 1 - i)
    let sum = 0
    let total = 0
    for (let k = -width; k <= width; k++) {
      const weight = width + 1 - Math.abs(k)
      sum += weight * values[i + k]
      total += weight
    }
    means[i] = sum / total
  }
  return means
}

/** Bridges places nobody knows by a straight line, and holds the end values. */
export function fillHoles(values: Float64Array): void {
  let last = -1
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue
    for (let j = last + 1; j < i; j++) {
      values[j] = last < 0 ? values[i] : values[last] + ((j - last) / (i - last)) * (values[i] - values[last])
    }
    last = i
  }
  for (let j = last + 1; j < values.length; j++) values[j] = values[last]
}
