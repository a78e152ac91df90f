import { stepM } from '../../track/geodesy.ts'
import { type Found, SHORTEST_OTHER_M } from './found.ts'
import type { TracedRecording } from './legs.ts'
import { type Gate, passesOf } from './passes.ts'
import { distanceAtTime, indexAt, type Trace, timeAtDistance } from './trace.ts'

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
    // Only laps are called by their stint: between several gates each drive is called by its own begin.
    const isLaps = gates.length === 1 && found.length > 1
    return found.map((stretch, i) => ({
      recording,
      ...stretch,
      stintTime: isLaps ? found[0].fromTime : null,
      lap: isLaps ? i + 1 : null,
    }))
  })
}

function passesIn({ trace, rests }: TracedRecording, gates: Gate[]): Pass[] {
  const all = gates.flatMap((gate) => passesOf(gate, trace).map((atM) => ({ gate, atM }))).sort((a, b) => a.atM - b.atM)
  const apart = all.filter(({ atM }, i) => i === 0 || atM - all[i - 1].atM >= SHORTEST_OTHER_M)
  const stops = rests
    .filter(({ kind }) => kind === 'stop')
    .map((rest) => ({ ...rest, atM: distanceAtTime(trace, rest.fromTime) }))
  return apart.map(({ gate, atM }) => {
    const here = stops.filter(
      (rest) => Math.abs(rest.atM - atM) < SHORTEST_OTHER_M || isWithin(gate, trace, atM, rest.atM),
    )
    if (here.length === 0) return { atM, endTime: timeAtDistance(trace, atM), beginTime: timeAtDistance(trace, atM) }
    // In a wide gate the nearest point may lie on the way in or on the way out: the drives end where the vehicle rested.
    return { atM: here[0].atM, endTime: here[0].fromTime, beginTime: here[here.length - 1].toTime }
  })
}

/** Whether all of the way between two distances along a trace lies within the radius of a gate. */
function isWithin({ latitude, longitude, radiusM }: Gate, trace: Trace, oneM: number, otherM: number): boolean {
  const [fromM, toM] = [Math.min(oneM, otherM), Math.max(oneM, otherM)]
  if (toM - fromM > 2 * Math.PI * radiusM) return false
  for (let i = indexAt(trace, timeAtDistance(trace, fromM)); i < trace.distanceM.length; i++) {
    if (stepM(latitude, longitude, trace.latitude[i], trace.longitude[i]) > radiusM) return false
    if (trace.distanceM[i] >= toM) return true
  }
  return true
}

const holdsRest = ({ rests }: TracedRecording, { fromTime, toTime }: { fromTime: number; toTime: number }): boolean =>
  rests.some((rest) => rest.fromTime < toTime && rest.toTime > fromTime)
