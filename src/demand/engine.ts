import { LONG_STAND_S } from '../track/carried.ts'
import type { Part } from '../track/cut.ts'
import { type Stretch, slowGaps } from '../track/slow-gaps.ts'
import { LEFT_OUT, type Motion, STANDING } from '../track/types.ts'

/** What a user says of where the engine was off while the vehicle stood. */
export interface EngineOff {
  windows: Part[]
  /** So long in all, in the longest stands, beside the windows. */
  seconds: number
}

/**
 * Nobody idles for long: in a stand that lasts longer than this the engine is taken to be off, from its begin to its end,
 * but for a chance that it ran on. Common practice, no source.
 */
export const LONGEST_IDLING_S = LONG_STAND_S
export const CHANCE_OF_LONG_IDLING = 0.2

export interface EngineTimes {
  /** For each sample of the motion the share of its time, 0 to 1, in which the engine surely ran. */
  runs: Float64Array
  /** The share in which it is not known whether it ran. */
  mayRun: Float64Array
}

/** Whether the engine ran at each sample of a motion. @param said null: nobody says, and long stands are doubtful */
export function engineTimes(motion: Motion, said: EngineOff | null): EngineTimes {
  const { state, count, startTime, stepS } = motion
  const runs = Float64Array.from({ length: count }, (_, k) => (state[k] === LEFT_OUT ? 0 : 1))
  const mayRun = new Float64Array(count)
  const stands = [...standsOf(motion), ...slowGaps(motion)]
  const stood = new Uint8Array(count)
  for (const { from, past } of stands) stood.fill(1, from, past)
  for (const { fromTime, toTime } of said?.windows ?? []) {
    const first = Math.max(0, Math.ceil((fromTime - startTime) / stepS))
    const last = Math.min(count - 1, Math.floor((toTime - startTime) / stepS))
    // An engine that drives the vehicle runs, whatever the clock on paper said.
    for (let k = first; k <= last; k++) if (stood[k] === 1) runs[k] = 0
  }
  stands.sort((a, b) => b.past - b.from - (a.past - a.from) || a.from - b.from)
  let leftS = said?.seconds ?? 0
  for (const { from, past } of stands) {
    const lastsS = (past - from) * stepS
    if (said === null) {
      if (lastsS <= LONGEST_IDLING_S) break
      runs.fill(0, from, past)
      mayRun.fill(1, from, past)
    } else {
      const offS = Math.min(lastsS, leftS)
      for (let k = from; k < past; k++) runs[k] *= 1 - offS / lastsS
      leftS -= offS
    }
  }
  return { runs, mayRun }
}

function standsOf({ state, count }: Motion): Stretch[] {
  const stands: Stretch[] = []
  for (let k = 0; k < count; k++) {
    if (state[k] !== STANDING) continue
    const last = stands[stands.length - 1]
    if (last && last.past === k) last.past = k + 1
    else stands.push({ from: k, past: k + 1 })
  }
  return stands
}
