import { cutMotion } from '../../track/cut.ts'
import type { Drive, Motion } from '../../track/types.ts'
import { clockOf, shiftedMotion } from './log-clock.ts'
import type { MappedFile, WholeFile } from './map-file.ts'
import { withoutMotion } from './mapped-drive.ts'
import { sourceOf } from './recordings/found-sessions.ts'
import type { MotionSource, Run } from './runs.ts'

/** Where the drives of runs come from, each with its motion. */
export type DriveSource = (run: Pick<Run, 'recording' | 'file' | 'part' | 'drive'>) => Drive

/** The motions of mapped files by the names of their tracks' contents. */
export function motionsOf(files: WholeFile[]): Map<string, Motion> {
  const motions = new Map<string, Motion>()
  for (const file of files) {
    for (const track of file.tracks) if (track.drive) motions.set(sourceOf(file, track), track.drive.motion)
  }
  return motions
}

/** The motion of a recording, whose clock may have been moved since the motion was made. */
export function motionNamed(motions: ReadonlyMap<string, Motion>, recording: string): Motion | undefined {
  const { source, shiftS } = clockOf(recording)
  const asRead = motions.get(source)
  return motions.get(recording) ?? (asRead && shiftedMotion(asRead, shiftS))
}

/** Takes the motions of recordings from files that are in memory as a whole. */
export function motionsIn(files: WholeFile[]): MotionSource {
  const motions = motionsOf(files)
  return ({ recording, file }) => {
    const motion = motionNamed(motions, recording)
    if (!motion) throw new Error(`no recording of ${file} is in the files given`)
    return motion
  }
}

/** The drives of runs, given the motions of their recordings. */
export const drivesFrom =
  (motions: MotionSource): DriveSource =>
  (run) => {
    const motion = motions(run)
    return { ...run.drive, motion: run.part ? cutMotion(motion, run.part) : motion }
  }

/** A file without the motions of its drives. */
export const withoutMotions = (file: WholeFile): MappedFile => ({
  ...file,
  tracks: file.tracks.map((track) => ({ ...track, drive: track.drive && withoutMotion(track.drive) })),
})
