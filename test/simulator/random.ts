import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus'

/** A stream of draws that belongs to a name: the same name gives the same stream. */
export interface Random {
  /** In [0, 1). */
  uniform(): number
  between(low: number, high: number): number
  /** Standard normal. */
  normal(): number
}

/** Outputs thrown away first: this generator's first values follow its seed closely. */
const WARM_UP = 32

export function randomOf(name: string): Random {
  const generator = xoroshiro128plus(hashOf(name))
  for (let i = 0; i < WARM_UP; i++) generator.next()
  const uniform = () => (generator.next() >>> 0) / 4294967296
  const between = (low: number, high: number) => low + (high - low) * uniform()
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
  return { uniform, between, normal }
}

/** FNV-1a, 32 bits, then mixed so that names which differ in one place start far apart. */
function hashOf(text: string): number {
  let hash = 0x811c9dc5
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193)
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b)
  return hash ^ (hash >>> 13)
}

/** A first-order Gauss-Markov process of unit standard deviation; `step(ratio)` moves it on by step/correlation length. */
export function gaussMarkov(random: Random): (ratio: number) => number {
  let value = random.normal()
  return (ratio) => {
    const memory = Math.exp(-ratio)
    value = memory * value + Math.sqrt(1 - memory * memory) * random.normal()
    return value
  }
}

/**
 * A smooth random field of unit standard deviation in up to three coordinates: a sum of waves whose wave lengths are
 * drawn about the stated scale of each coordinate (metres or seconds). A wave length of about four scales passes for one
 * rise and fall, so values one scale apart are correlated at about 0.5.
 */
export function waveField(random: Random, scales: number[], waves = 16): (...at: number[]) => number {
  const numbers = Array.from({ length: waves }, () => scales.map((scale) => (random.normal() * 1.2) / scale))
  const phases = numbers.map(() => random.between(0, 2 * Math.PI))
  const amplitude = Math.sqrt(2 / waves)
  return (...at) => {
    let sum = 0
    for (let k = 0; k < waves; k++) {
      let phase = phases[k]
      for (let d = 0; d < at.length; d++) phase += numbers[k][d] * at[d]
      sum += Math.cos(phase)
    }
    return amplitude * sum
  }
}
