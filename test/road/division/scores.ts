import type { TrackColumns } from '../../../src/read/types.ts'
import { divide } from '../../../src/road/division/divide.ts'
import type { TracedRecording } from '../../../src/road/division/legs.ts'
import type { Piece } from '../../../src/road/division/pieces.ts'
import { distanceAtTime, traceOf } from '../../../src/road/division/trace.ts'
import { driveOf } from '../../../src/track/drive.ts'
import { longRests } from '../../../src/track/rests.ts'
import type { SimulatedDay, TrueDrive } from '../../simulator/day.ts'

/** A day's fixes through the program's own track step. */
export const tracedOf = ({ fixes }: Pick<SimulatedDay, 'fixes'>): TracedRecording =>
  tracedTrack({
    name: null,
    index: 1,
    time: Float64Array.from(fixes.timeS),
    latitude: Float64Array.from(fixes.latitude),
    longitude: Float64Array.from(fixes.longitude),
    elevation: Float64Array.from(fixes.elevationM),
    segmentStart: Uint32Array.of(0),
    logged: {},
    zonelessTimes: 0,
  })

/** A track, or a session of one, through the program's own track step. */
export function tracedTrack(track: TrackColumns): TracedRecording {
  const drive = driveOf(track).value!
  const { motion } = drive
  return {
    trace: traceOf(drive),
    rests: longRests(drive),
    startTime: motion.startTime,
    endTime: motion.startTime + (motion.count - 1) * motion.stepS,
  }
}

export const drivesOf = (pieces: Piece[]): Piece[] => pieces.filter(({ kind }) => kind === 'drive')

/** Each true drive with the piece that overlaps it most. */
export function paired(
  days: SimulatedDay[],
  pieces: Piece[][],
): { day: number; truth: TrueDrive; piece: Piece | null }[] {
  return days.flatMap((day, i) =>
    day.drives.map((truth) => {
      const overlap = (p: Piece): number => Math.min(p.toTime, truth.toTime) - Math.max(p.fromTime, truth.fromTime)
      const best = drivesOf(pieces[i]).sort((a, b) => overlap(b) - overlap(a))[0]
      return { day: i, truth, piece: best && overlap(best) > 0.9 * (truth.toTime - truth.fromTime) ? best : null }
    }),
  )
}

/** How far the vehicle went between two times, m. */
export function between({ trace }: TracedRecording, a: number, b: number): number {
  return Math.abs(distanceAtTime(trace, a) - distanceAtTime(trace, b))
}

export interface Score {
  /** True drives, those of them that were found, and all that were found. */
  wanted: number
  right: number
  found: number
  /** Of each drive that was found: how far its begin and its end lie from the true ones, m. */
  endsM: number[]
  /** Its length over the true one, less 1. */
  lengthErrors: number[]
  /** The same with the true ends: what sampling and smoothing alone cost. */
  measuredErrors: number[]
  /** What went wrong, in words. */
  faults: string[]
}

/** Divides some days, and holds the drives found against those truly in them. */
export function scored(days: SimulatedDay[]): Score {
  const traced = days.map(tracedOf)
  const pieces = divide(traced)
  const pairs = paired(days, pieces)
  const right = pairs.flatMap(({ day, truth, piece }) => (piece ? [{ day, truth, piece }] : []))
  const used = new Set(right.map(({ piece }) => piece))
  const clock = (s: number): string => new Date(1000 * s).toISOString().slice(11, 19)
  return {
    wanted: pairs.length,
    right: used.size,
    found: pieces.flatMap(drivesOf).length,
    endsM: right.flatMap(({ day, truth, piece }) => [
      between(traced[day], piece.fromTime, truth.fromTime),
      between(traced[day], piece.toTime, truth.toTime),
    ]),
    lengthErrors: right.map(({ truth, piece }) => piece.distanceM / truth.distanceM - 1),
    measuredErrors: right.map(
      ({ day, truth }) => between(traced[day], truth.fromTime, truth.toTime) / truth.distanceM - 1,
    ),
    faults: [
      ...pairs
        .filter(({ piece }) => !piece)
        .map(
          ({ day, truth }) => `day ${day}: ${truth.name} not found, ${clock(truth.fromTime)}-${clock(truth.toTime)}`,
        ),
      ...pieces.flatMap((own, day) =>
        drivesOf(own)
          .filter((p) => !used.has(p))
          .map(
            (p) =>
              `day ${day}: no drive of its own, ${clock(p.fromTime)}-${clock(p.toTime)}, ${Math.round(p.distanceM)} m`,
          ),
      ),
    ],
  }
}
