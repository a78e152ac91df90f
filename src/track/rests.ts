import { stepM } from './geodesy.ts'
import { type Drive, MOVING, type Motion } from './types.ts'

/** A vehicle that stays in one place this long rests: longer than a red light, as long as a short fill. Common practice, no source. */
export const LONG_REST_S = 180
/** Moving up at the pump or along the kerb is the same rest, m; a parked receiver wanders as far. */
const SAME_PLACE_M = 75
/** A recording that is silent this long has not gone on with the drive, s; the longest road tunnel takes 20 min. */
const LONGEST_SILENCE_S = 1500
/** Silent for longer than a rest, and slower or faster than this from the last fix to the next: the road was not driven on, m/s. */
const PACE_MPS = { slowest: 3, fastest: 70 }
/** A rest begins and ends where the vehicle is slower than this, m/s. */
const EDGE_MPS = 0.8

/** A stretch of a recording in which no road was driven. */
export interface Rest {
  /** Seconds since 1970 UTC: the vehicle came to rest, or was seen last. */
  fromTime: number
  /** It set off, or was seen again. */
  toTime: number
  /** `stop`: it stayed in one place. `gap`: nobody knows what it did. */
  kind: 'stop' | 'gap'
}

/**
 * The rests of a drive in their order: stays in one place of three minutes or more, silences that no road explains, and
 * shorter pauses in which the logger was switched off.
 */
export function longRests({ motion, gaps, pauses }: Pick<Drive, 'motion' | 'gaps' | 'pauses'>): Rest[] {
  const silences = gaps.flatMap(({ fromTime, toTime, chordM }): Rest[] => {
    const silentS = toTime - fromTime
    const paceMps = chordM / silentS
    const unlikely = silentS >= LONG_REST_S && (paceMps < PACE_MPS.slowest || paceMps > PACE_MPS.fastest)
    return (silentS > LONGEST_SILENCE_S || unlikely) && chordM > SAME_PLACE_M ? [{ fromTime, toTime, kind: 'gap' }] : []
  })
  const switchedOff = pauses.map(({ fromTime, toTime }): Rest => ({ fromTime, toTime, kind: 'stop' }))
  return joined([...staysIn(motion), ...silences, ...switchedOff].sort((a, b) => a.fromTime - b.fromTime))
}

function staysIn(motion: Motion): Rest[] {
  const { latitude, longitude, state, speedMps, startTime, stepS, count } = motion
  const isSlow = (k: number): boolean => state[k] !== MOVING || speedMps[k] < EDGE_MPS
  const rests: Rest[] = []
  for (let first = 0; first < count; first++) {
    if (!isSlow(first) || (first > 0 && isSlow(first - 1))) continue
    let past = first + 1
    while (past < count && stepM(latitude[first], longitude[first], latitude[past], longitude[past]) <= SAME_PLACE_M)
      past++
    let last = past - 1
    while (last > first && !isSlow(last)) last--
    if ((last - first) * stepS < LONG_REST_S) continue
    rests.push({ fromTime: startTime + first * stepS, toTime: startTime + last * stepS, kind: 'stop' })
    first = last
  }
  return rests
}

/** Rests that overlap or touch are one. */
function joined(rests: Rest[]): Rest[] {
  const all: Rest[] = []
  for (const rest of rests) {
    const last = all[all.length - 1]
    if (!last || rest.fromTime > last.toTime + 1) all.push({ ...rest })
    else {
      last.toTime = Math.max(last.toTime, rest.toTime)
      if (rest.kind === 'gap') last.kind = 'gap'
    }
  }
  return all
}
