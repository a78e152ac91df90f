import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { MOTION } from '../campaign/kept/drive-shape.ts'
import { motionNamed, motionsOf } from '../campaign/load/drive-source.ts'
import { isOfExchanged } from '../campaign/load/exchanged.ts'
import { clockOf, shiftedMotion } from '../campaign/load/log-clock.ts'
import { fileOfPart, filesIn } from '../campaign/load/map-parts.ts'
import type { Run } from '../campaign/load/runs.ts'
import { isFileError } from '../files/file-errors.ts'
import type { ListedFile } from '../files/folder.ts'
import { type Cache, rememberIn } from '../store/cache.ts'
import type { Motion } from '../track/types.ts'

/** Where the motion of a recording is: here, or in the cache and, if it is lost there, in the file that it was made from. */
export type MotionPlace = { motion: Motion } | { file: ListedFile }

/** Where the motions of recordings are. */
export type MotionPlaces = (of: Pick<Run, 'recording' | 'file'>) => MotionPlace

/** A file that is not any more what it was when the call began. */
export class FileGone extends Error {}

/** The motion of a recording. */
export function motionAt({ recording }: Pick<Run, 'recording'>, place: MotionPlace, cache: Cache | null): Motion {
  if ('motion' in place) return place.motion
  const { source, shiftS } = clockOf(recording)
  const again = (): Motion => motionAgain(place.file, source)
  return shiftedMotion(cache ? rememberIn(cache)(MOTION, [source], again) : again(), shiftS)
}

/** Finds the file of each recording, from which its motion can be made again. */
export function placesInFiles(listed: ListedFile[]): MotionPlaces {
  const byPath = new Map(listed.map((file) => [file.path, file]))
  return ({ file: path }) => {
    const file = byPath.get(path) ?? byPath.get(fileOfPart(path))
    if (!file) throw new Error(`${path} is none of the files listed`)
    return { file }
  }
}

/** Finds the motions of recordings among those that are in memory. */
export function placesInMemory(motions: ReadonlyMap<string, Motion>): MotionPlaces {
  return ({ recording, file }) => {
    const motion = motionNamed(motions, recording)
    if (!motion) throw new Error(`no recording of ${file} is in memory`)
    return { motion }
  }
}

function motionAgain({ path, absolutePath }: ListedFile, source: string): Motion {
  const bytes = contentOf(absolutePath)
  const sha256 = bytes === null ? '' : createHash('sha256').update(bytes).digest('hex')
  const motion = bytes && motionsOf(filesIn({ path, bytes, sha256, isExchanged: isOfExchanged(source) })).get(source)
  if (!motion) throw new FileGone(`${path} was changed or removed while it was worked on; call again`)
  return motion
}

function contentOf(path: string): Buffer | null {
  try {
    return readFileSync(path)
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}
