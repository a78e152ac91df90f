import type { Drive, Motion } from '../../track/types.ts'
import type { MappedFile, WholeFile } from './map-file.ts'
import { withoutMotion } from './mapped-drive.ts'
import { type Run, sourceOf } from './runs.ts'

/** Where the drives of runs come from, each with its motion. */
export type DriveSource = (run: Run) => Drive

/** The motions of mapped files by the names of their tracks' contents. */
export function motionsOf(files: WholeFile[]): Map<string, Motion> {
  const motions = new Map<string, Motion>()
  for (const file of files) {
    for (const track of file.tracks) if (track.drive) motions.set(sourceOf(file, track), track.drive.motion)
  }
  return motions
}

/** Takes the drives from files that are in memory as a whole. */
export function drivesIn(files: WholeFile[]): DriveSource {
  const motions = motionsOf(files)
  return ({ drive, source, track }) => {
    const motion = motions.get(source)
    if (!motion) throw new Error(`the run ${track} is of none of the files given`)
    return { ...drive, motion }
  }
}

/** A file without the motions of its drives. */
export const withoutMotions = (file: WholeFile): MappedFile => ({
  ...file,
  tracks: file.tracks.map((track) => ({ ...track, drive: track.drive && withoutMotion(track.drive) })),
})
