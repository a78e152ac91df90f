import { isoTime } from '../../base/time.ts'
import type { Report } from '../../report/contract.ts'
import type { DividedRecording } from '../load/runs.ts'

/** What became of each recording, as the report tells it: times and lengths alone, no place that is not a drive's. */
export const recordingsTold = (recordings: DividedRecording[]): Report['recordings'] =>
  recordings.map(({ track, pieces }) => ({
    track,
    start_time: isoTime(pieces[0].fromTime),
    end_time: isoTime(pieces[pieces.length - 1].toTime),
    pieces: pieces.map(({ kind, run, fromTime, toTime, distanceM }) => ({
      kind,
      run,
      start_time: isoTime(fromTime),
      end_time: isoTime(toTime),
      distance_m: distanceM,
    })),
  }))
