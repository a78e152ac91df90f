import type { AirField } from '../../air/field.ts'
import { demandOf } from '../../demand/ensemble.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import { stepAirOf } from '../../demand/step-air.ts'
import { stepsOf } from '../../demand/steps.ts'
import { cutDrive } from '../../track/cut.ts'
import { runAirOf } from '../drive/run-air.ts'
import { recordingSd } from '../drive/run-record.ts'
import type { DividedRecording, MotionSource, RecordedSession } from '../load/runs.ts'
import type { Driving, RecordedEnds } from './spans-and-drives.ts'

/** A stretch of a recording that is no drive of the campaign, with what it was cut from. */
export interface OtherDriving extends Driving {
  session: RecordedSession
}

/** Two devices record one car: the stretch that overlaps an earlier one by this share counts once. */
const SAME_STRETCH = 0.5

/**
 * Other driving in the recordings, each stretch once, in the order of time.
 * @param drives what is a drive already
 */
export function otherDriving(recordings: readonly DividedRecording[], drives: readonly Driving[]): OtherDriving[] {
  const all = recordings.flatMap(({ pieces, sessions }) =>
    pieces.flatMap((piece): OtherDriving[] => {
      const session = sessions.findLast(({ startTime }) => startTime <= piece.fromTime)
      if (piece.kind !== 'other' || !session) return []
      const { fromTime, toTime, distanceM } = piece
      return [{ fromTime, toTime, distanceM, run: null, session }]
    }),
  )
  const kept: OtherDriving[] = []
  for (const piece of all.toSorted((a, b) => a.fromTime - b.fromTime || b.distanceM - a.distanceM)) {
    const lasts = piece.toTime - piece.fromTime
    const overlaps = ({ fromTime, toTime }: Driving): boolean =>
      Math.min(toTime, piece.toTime) - Math.max(fromTime, piece.fromTime) > SAME_STRETCH * lasts
    if (!drives.some(overlaps) && !kept.some(overlaps)) kept.push(piece)
  }
  return kept
}

/** Energy that the unchanged vehicle needed over other driving, K draws in J; null where wind or temperature is not known. */
export function energyOf(
  { session, fromTime, toTime }: OtherDriving,
  field: AirField,
  shared: SharedDraws,
  motions: MotionSource,
): Float64Array | null {
  const { source, file } = session
  const drive = cutDrive({ ...session.drive, motion: motions({ recording: source, file }) }, { fromTime, toTime })
  const steps = stepsOf(drive, null)
  const runAir = runAirOf(field, '', steps)
  if (runAir.missing.length > 0) return null
  const { distanceM } = drive.motion
  const { drawsJPerM } = demandOf(
    {
      recording: `${fromTime}/${source}`,
      region: `${Math.floor(steps.latitude[0])},${Math.floor(steps.longitude[0])}`,
      steps,
      runAir,
      air: stepAirOf(runAir.along, steps),
      payloadKg: 0,
      accessoriesW: 0,
      recordingSd: recordingSd(drive),
    },
    shared,
  )
  return drawsJPerM.map((demand) => demand * distanceM[distanceM.length - 1])
}

/** Where all that was recorded begins and ends, in the order of time; of two devices at once the longer one. */
export function recordedEnds(recordings: readonly DividedRecording[]): RecordedEnds[] {
  const sessions = recordings
    .flatMap((recording) => recording.sessions)
    .toSorted((a, b) => a.startTime - b.startTime || b.endTime - a.endTime)
  const ends: RecordedEnds[] = []
  for (const { startTime, endTime, drive } of sessions) {
    if (ends.length > 0 && startTime < ends[ends.length - 1].endTime) continue
    const { latitude, longitude } = drive.path
    const last = latitude.length - 1
    ends.push({
      startTime,
      endTime,
      start: { latitude: latitude[0], longitude: longitude[0] },
      end: { latitude: latitude[last], longitude: longitude[last] },
    })
  }
  return ends
}
