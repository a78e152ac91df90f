import type { TrackColumns } from '../read/types.ts'
import { stepM } from './geodesy.ts'

/** A logger that was switched off, and on again where it was left; seconds since 1970 UTC. */
export interface Pause {
  fromTime: number
  toTime: number
}

/** Shorter than this the logger may have lost its signal, or saved its file, at a red light, s. Common practice, no source. */
const SHORTEST_PAUSE_S = 90
/** A parked receiver wanders as far, m. */
const SAME_PLACE_M = 75
/** Two rows nearer to each other than this were written while the vehicle stood, or by a logger that repeats its last fix, m. */
const STANDING_M = 0.5
/** Rows further apart than this in time do not follow each other, s. */
const LONGEST_STEP_S = 15
/** A logger that writes while standing has done so for this long, s ... */
const LEAST_STANDING_S = 20
/** ... and for so many times as long as it was silent in one place otherwise. */
const STANDING_OVER_SILENT = 5

/**
 * Where the logger was switched off for a minute and a half or more and back on in the same place: between two segments,
 * or anywhere in the rows of a logger that writes while the vehicle stands. A logger that is silent at every red light
 * says nothing by its silence.
 */
export function pausesIn({ time, latitude, longitude, segmentStart }: TrackColumns): Pause[] {
  const begins = new Set(segmentStart)
  const pauses: (Pause & { stated: boolean })[] = []
  let [standingS, silentS] = [0, 0]
  let last = -1
  let stated = false
  for (let row = 0; row < time.length; row++) {
    stated ||= begins.has(row)
    if (Number.isNaN(time[row]) || Number.isNaN(latitude[row] + longitude[row])) continue
    const before = last
    last = row
    const atBegin = stated
    stated = false
    if (before < 0) continue
    const stepS = time[row] - time[before]
    // Rows that are not in the order of time: what lies between them is not known here.
    if (stepS < 0) return []
    const wayM = stepM(latitude[before], longitude[before], latitude[row], longitude[row])
    if (stepS <= LONGEST_STEP_S) {
      if (wayM < STANDING_M) standingS += stepS
    } else if (wayM <= SAME_PLACE_M) {
      if (stepS >= SHORTEST_PAUSE_S) pauses.push({ fromTime: time[before], toTime: time[row], stated: atBegin })
      else silentS += stepS
    }
  }
  const writesWhileStanding = standingS >= LEAST_STANDING_S && standingS >= STANDING_OVER_SILENT * silentS
  return pauses
    .filter((pause) => pause.stated || writesWhileStanding)
    .map(({ fromTime, toTime }) => ({ fromTime, toTime }))
}
