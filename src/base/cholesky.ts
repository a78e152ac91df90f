/** The lower triangle L of a positive definite matrix A = L·Lᵀ, row by row; what is needed to divide by it. */
export interface Cholesky {
  size: number
  /** Row-major, the upper triangle unused. */
  lower: Float64Array
  /** ln of the determinant of A. */
  logDeterminant: number
}

/** What is left of a diagonal element below this part of it is rounding: its column depends on those before it. */
const TOLERANCE = 1e-11

/**
 * Cholesky's factors of a symmetric matrix.
 * @param matrix row-major, `size` · `size`; only the lower triangle is read
 * @returns null where the matrix is not positive definite, to within rounding
 * @source Golub, Van Loan, Matrix Computations, 4th ed. 2013, 4.2
 */
export function choleskyOf(matrix: Float64Array, size: number): Cholesky | null {
  const lower = matrix.slice()
  let logDeterminant = 0
  for (let i = 0; i < size; i++) {
    const row = i * size
    for (let j = 0; j <= i; j++) {
      const other = j * size
      let sum = lower[row + j]
      for (let k = 0; k < j; k++) sum -= lower[row + k] * lower[other + k]
      if (j < i) lower[row + j] = sum / lower[other + j]
      else if (sum > TOLERANCE * matrix[row + i]) {
        lower[row + j] = Math.sqrt(sum)
        logDeterminant += Math.log(sum)
      } else return null
    }
  }
  return { size, lower, logDeterminant }
}

/** L⁻¹·b: sums of the products of two such columns are products with A⁻¹ between them. */
export function forwardSolved({ size, lower }: Cholesky, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b)
  for (let i = 0; i < size; i++) {
    let sum = x[i]
    for (let k = 0; k < i; k++) sum -= lower[i * size + k] * x[k]
    x[i] = sum / lower[i * size + i]
  }
  return x
}

/** Lᵀ⁻¹·b. */
export function backwardSolved({ size, lower }: Cholesky, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b)
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i]
    for (let k = i + 1; k < size; k++) sum -= lower[k * size + i] * x[k]
    x[i] = sum / lower[i * size + i]
  }
  return x
}
