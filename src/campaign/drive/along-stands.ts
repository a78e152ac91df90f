import type { Steps } from '../../demand/types.ts'
import type { AlongRun } from '../../report/along-data.ts'

/** Slower than this over a step a vehicle stands or creeps, m/s; a shorter stand is not shown, s. Common practice, no source. */
const STANDING_MPS = 1
const SHORTEST_S = 3

/** Where a run stood still for a while. */
export function standsOf({ speedMps, durationS, latitude, longitude }: Steps): AlongRun['stoodAt'] {
  const stands: AlongRun['stoodAt'] = []
  for (let i = 0; i < speedMps.length; i++) {
    const from = i
    let standingS = 0
    while (i < speedMps.length && speedMps[i] < STANDING_MPS) standingS += durationS[i++]
    if (standingS >= SHORTEST_S) stands.push({ latitude: latitude[from], longitude: longitude[from], standingS })
  }
  return stands
}
