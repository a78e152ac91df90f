import { lapsAmong } from './closed-roads.ts'
import { byRecording, type Found, oneDrive, wholeLeg } from './found.ts'
import { betweenGates } from './gated.ts'
import { type Leg, legsOf, type TracedRecording, wasFerry } from './legs.ts'
import { roadsAmong } from './open-roads.ts'
import type { Gate } from './passes.ts'
import { type Piece, piecesOf } from './pieces.ts'

/** Shorter legs are moving the vehicle, as a track this short is none, s. Common practice, no source. */
const SHORTEST_DRIVE_S = 60

/**
 * Divides recordings into the drives that can be compared and what lies between them. Long stops and gaps part a
 * recording into legs; a leg that goes round a closed road becomes laps; legs of one road are drives of it; of a leg that
 * holds a road which others agree on, only that road is a drive. A recording that nothing parts is one drive.
 * @param recordings in a fixed order
 * @param gates stated places where drives begin and end; of recordings that go from none to another, they are found
 * @param stated for each recording what a user says of it; found drives that overlap a stated one are left out
 * @returns the pieces of each recording in the order of time
 */
export function divide(recordings: TracedRecording[], gates: Gate[] = [], stated: Stated[] = []): Piece[][] {
  const legs = recordings.flatMap((recording, i) =>
    stated[i]?.whole ? [] : legsOf(recording, i).filter((leg) => !wasFerry(leg)),
  )
  const gated = gates.length > 0 ? betweenGates(recordings, gates) : []
  const decided = new Set(gated.map(({ recording }) => recording))
  const open = legs.filter(({ recording }) => !decided.has(recording))
  const [drivesOf, legsAt] = [byRecording([...gated, ...foundDrives(recordings, open)]), byRecording(legs)]
  return recordings.map((recording, i) => {
    const { whole, drives: said } = stated[i] ?? { whole: false, drives: [] }
    if (whole) {
      const all = { fromTime: recording.startTime, toTime: recording.endTime }
      return piecesOf({ ...recording, rests: [] }, [oneDrive(i, all)])
    }
    const own = drivesOf.get(i) ?? []
    const isLeftOpen = said.length === 0 && !decided.has(i)
    const found = isLeftOpen ? [...own, ...drivesOfTheirOwn(legsAt.get(i) ?? [], own)] : own
    const free = found.filter((drive) => !said.some((s) => s.fromTime < drive.toTime && s.toTime > drive.fromTime))
    return piecesOf(recording, [...said.map((s) => oneDrive(i, s)), ...free])
  })
}

/**
 * The legs of a recording that are drives though nobody drove their road again: all of them where nothing else was found,
 * or where more was driven on such roads, between the first leg and the last, than on all others. A day of single drives
 * is that, and one of them that was driven again makes no errands of the rest; the ways to a test road and home are not.
 */
function drivesOfTheirOwn(legs: Leg[], found: Found[]): Found[] {
  const alone = legs.filter((leg) => !found.some((d) => d.fromTime < leg.toTime && d.toTime > leg.fromTime))
  const inner = alone.filter((leg) => leg !== legs[0] && leg !== legs[legs.length - 1])
  const foundM = lengthOf(legs) - lengthOf(alone)
  if (found.length > 0 && lengthOf(inner) <= foundM) return []
  const lasting = alone.filter(({ fromTime, toTime }) => toTime - fromTime >= SHORTEST_DRIVE_S)
  return (lasting.length > 0 ? lasting : alone).map(wholeLeg)
}

const lengthOf = (legs: Leg[]): number => legs.reduce((sum, { trace }) => sum + trace.lengthM, 0)

/** What a user says of a recording. */
export interface Stated {
  /** It is one drive from its begin to its end. */
  whole: boolean
  /** Stretches that are drives, seconds since 1970 UTC, none of them overlapping another. */
  drives: { fromTime: number; toTime: number }[]
}

function foundDrives(recordings: TracedRecording[], legs: Leg[]): Found[] {
  const { laps, others } = lapsAmong(legs)
  const lapped = new Set(laps.map(({ recording }) => recording))
  return [...laps, ...roadsAmong(recordings, others, { legs, lapped }).map(wholeLeg)]
}
