/**
 * Arithmetic that comes out the same, bit for bit, wherever JavaScript runs. The standard leaves `**`, `Math.pow`,
 * `Math.hypot`, `Math.tanh` and `Math.log10` to the engine, and engines and their versions differ in them; products and
 * `Math.sqrt` are exact to the last bit, and `Math.exp` and `Math.log` come from one library (fdlibm) in all of them.
 * @source ECMA-262, 21.3.2: which functions are "implementation-approximated"
 */
export const square = (x: number): number => x * x

/** x to the power of y, for x of 0 or more: right to some 1e-15 for the powers of physics. */
export const power = (x: number, y: number): number => Math.exp(y * Math.log(x))

/** Root of the sum of two squares: the length of a vector, or two standard deviations that add up. */
export const hypotenuse = (x: number, y: number): number => Math.sqrt(x * x + y * y)

/** The value a share of the way from one to another: 0 is the first, 1 the second. */
export const between = (from: number, to: number, share: number): number => from + share * (to - from)

/** Root of the sum of squares; 0 for no values. */
export function rootSumOfSquares(values: ArrayLike<number>): number {
  let squares = 0
  for (let i = 0; i < values.length; i++) squares += values[i] * values[i]
  return Math.sqrt(squares)
}

const POWERS_OF_TEN = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`))

/** Ten to the power of a whole number from -22 to 22, the nearest number to it. */
export const powerOfTen = (exponent: number): number =>
  exponent >= 0 ? POWERS_OF_TEN[exponent] : 1 / POWERS_OF_TEN[-exponent]

/** The order of two texts by their code units, the same in every language and version of Unicode. */
export const byCodeUnits = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
