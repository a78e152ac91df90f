import { drawsOf } from '../../src/base/draws.ts'
import type { KnownSource, NamedError } from '../../src/claim/types.ts'

/** Draws of the errors of one source, each name with its own: what the named errors stand for. */
export function drawn(errors: readonly NamedError[], source: KnownSource, draws = 400): Float64Array {
  const sum = new Float64Array(draws)
  for (const error of errors) {
    if (error.source !== source) continue
    const z = drawsOf(`test/${error.name}`, draws, 1)
    for (let k = 0; k < draws; k++) sum[k] += error.sd * z[k]
  }
  return sum
}
