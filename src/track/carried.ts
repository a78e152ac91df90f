import { isFerry } from './ferry.ts'
import { stepM } from './geodesy.ts'
import { MOVING, type Motion, STANDING } from './types.ts'

/** A stretch in which the vehicle was perhaps carried or parked; seconds since 1970 UTC. */
export interface Carried {
  kind: 'ferry' | 'long-stand'
  fromTime: number
  toTime: number
  distanceM: number
}

/** Nobody idles for longer: stands within a drive that last longer are charging stops, waits, or breaks, s. Common practice, no source. */
export const LONG_STAND_S = 180

/** Stretches that a user may want to leave out of a drive. */
export function carriedIn(motion: Motion): Carried[] {
  const found: Carried[] = []
  for (let from = 0; from < motion.count; ) {
    const state = motion.state[from]
    let past = from + 1
    while (past < motion.count && motion.state[past] === state) past++
    const stretch = {
      fromTime: motion.startTime + from * motion.stepS,
      toTime: motion.startTime + (past - 1) * motion.stepS,
      distanceM: motion.distanceM[past - 1] - motion.distanceM[from],
    }
    if (state === STANDING && stretch.toTime - stretch.fromTime > LONG_STAND_S) {
      found.push({ kind: 'long-stand', ...stretch })
    }
    const betweenStands = motion.state[from - 1] === STANDING && motion.state[past] === STANDING
    if (state === MOVING && betweenStands && wasFerry(motion, from, past)) found.push({ kind: 'ferry', ...stretch })
    from = past
  }
  return found
}

function wasFerry({ latitude, longitude, distanceM, speedMps, stepS }: Motion, from: number, past: number): boolean {
  const last = past - 1
  return isFerry({
    lastsS: (last - from) * stepS,
    lengthM: distanceM[last] - distanceM[from],
    apartM: stepM(latitude[from], longitude[from], latitude[last], longitude[last]),
    speedMps: speedMps.slice(from, past),
    timeAt: (m) => {
      let k = from
      while (k < last && distanceM[k] - distanceM[from] < m) k++
      return k * stepS
    },
  })
}
