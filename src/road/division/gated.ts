import { type Found, SHORTEST_OTHER_M } from './found.ts'
import type { TracedRecording } from './legs.ts'
import { type Gate, passesOf } from './passes.ts'
import { distanceAtTime, timeAtDistance } from './trace.ts'

/** Stretches whose lengths agree within this share are of one road. */
const ALIKE_SHARE = 0.15

/** A pass of a gate: who rests there ends one drive when coming to rest, and begins the next when setting off. */
interface Pass {
  atM: number
  endTime: number
  beginTime: number
}

/**
 * Drives between stated gates: from each pass of one to the next. A stretch that holds a rest, and no other is as long as
 * it is, is a way elsewhere and back where others are alike.
 */
export function betweenGates(recordings: TracedRecording[], gates: Gate[]): Found[] {
  return recordings.flatMap((traced, recording) => {
    const passes = passesIn(traced, gates)
    const lengths = passes.slice(1).map(({ atM }, i) => atM - passes[i].atM)
    const alike = (i: number): number =>
      lengths.filter((m) => Math.abs(m - lengths[i]) <= ALIKE_SHARE * Math.max(m, lengths[i])).length
    const someAgree = lengths.some((_, i) => alike(i) > 1)
    const found = lengths.flatMap((_, i) => {
      const stretch = { fromTime: passes[i].beginTime, toTime: passes[i + 1].endTime }
      const isWayElsewhere = someAgree && alike(i) === 1 && holdsRest(traced, stretch)
      return isWayElsewhere || stretch.toTime <= stretch.fromTime ? [] : [stretch]
    })
    return found.map((stretch, i) => ({
      recording,
      ...stretch,
      stintTime: found[0].fromTime,
      lap: gates.length === 1 && found.length > 1 ? i + 1 : null,
    }))
  })
}

function passesIn({ trace, rests }: TracedRecording, gates: Gate[]): Pass[] {
  const all = gates.flatMap((gate) => passesOf(gate, trace)).sort((a, b) => a - b)
  const apart = all.filter((m, i) => i === 0 || m - all[i - 1] >= SHORTEST_OTHER_M)
  const stops = rests.filter(({ kind }) => kind === 'stop')
  return apart.map((atM) => {
    const here = stops.filter((rest) => Math.abs(distanceAtTime(trace, rest.fromTime) - atM) < SHORTEST_OTHER_M)
    const time = timeAtDistance(trace, atM)
    return {
      atM,
      endTime: here.length > 0 ? here[0].fromTime : time,
      beginTime: here.length > 0 ? here[here.length - 1].toTime : time,
    }
  })
}

const holdsRest = ({ rests }: TracedRecording, { fromTime, toTime }: { fromTime: number; toTime: number }): boolean =>
  rests.some((rest) => rest.fromTime < toTime && rest.toTime > fromTime)
