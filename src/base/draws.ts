import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'
import { normalQuantile } from './normal.ts'

/**
 * Standard normal draws that belong to the *name* of a source of error: whoever asks for the same name, count and seed
 * gets the same draws, so what two runs share cancels in their ratio. The draws are the K mid-point quantiles of the
 * normal distribution in a shuffled order (Latin hypercube sampling): their mean is 0 and their spread right by
 * construction, and different names are independently ordered.
 * @source McKay, Beckman, Conover, "A comparison of three methods for selecting values of input variables", Technometrics 21 (1979) 239
 */
export function drawsOf(sourceName: string, count: number, seed: number): Float64Array {
  const draws = normalQuantiles(count).slice()
  const random = xoroshiro128plus(hashOf(`${seed}/${sourceName}`))
  for (let i = 0; i < WARM_UP; i++) random.next()
  for (let i = count - 1; i > 0; i--) {
    const j = Math.floor(((random.next() >>> 0) / 4294967296) * (i + 1))
    const swap = draws[i]
    draws[i] = draws[j]
    draws[j] = swap
  }
  return draws
}

/** Draws by name of one count and seed. */
export type Drawing = (sourceName: string) => Float64Array

/** @param asked every name asked for is added to it */
export const drawingOf =
  ({ draws, seed }: { draws: number; seed: number }, asked?: Set<string>): Drawing =>
  (name) => {
    asked?.add(name)
    return drawsOf(name, draws, seed)
  }

const quantilesByCount = new Map<number, Float64Array>()

/** Outputs thrown away first: this generator's first values follow its seed closely. */
const WARM_UP = 32

/** The mid-point quantiles, scaled so that their mean square is exactly 1. */
function normalQuantiles(count: number): Float64Array {
  const known = quantilesByCount.get(count)
  if (known) return known
  const quantiles = Float64Array.from({ length: count }, (_, i) => normalQuantile((i + 0.5) / count))
  const squares = quantiles.reduce((sum, q) => sum + q * q, 0)
  // A single draw is the middle: it has no spread to be scaled.
  const scaled = squares > 0 ? quantiles.map((q) => q * Math.sqrt(count / squares)) : quantiles
  quantilesByCount.set(count, scaled)
  return scaled
}

/** FNV-1a, 32 bits, over UTF-16 code units. */
function hashOf(text: string): number {
  let hash = 0x811c9dc5
  for (let i = 0; i < text.length; i++) {
    hash ^= text.charCodeAt(i)
    hash = Math.imul(hash, 0x01000193)
  }
  return hash | 0
}
