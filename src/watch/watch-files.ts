import { lstat, readdir } from 'node:fs/promises'
import { basename, join, relative, sep } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { isCacheFolder } from '../files/cache-marker.ts'
import { isFileError } from '../files/file-errors.ts'
import { isUnfinished } from '../files/passed-over.ts'
import { isWithin } from '../files/places.ts'
import { isReportFolder } from '../files/report-folder.ts'

/** Path → size and time of the last change, of all files that a report reads. */
export type Snapshot = Map<string, string>

/** Whether a path below the folder is none of the campaign's: hidden, of the report that is kept up to date, or a copy that has not ended yet. */
export function isForeign(root: string, path: string, report: string): boolean {
  if (path === root) return false
  if (isWithin(path, report)) return true
  const parts = relative(root, path).split(sep)
  return parts.some((part) => part.startsWith('.')) || isUnfinished(parts[parts.length - 1])
}

/** What lies in the folder now. What disappears while looking is passed over. */
export async function snapshotOf(root: string, report: string): Promise<Snapshot> {
  const snapshot: Snapshot = new Map()
  const walk = async (folder: string): Promise<void> => {
    for (const entry of (await orNothing(readdir(folder, { withFileTypes: true }))) ?? []) {
      const path = join(folder, entry.name)
      if (isForeign(root, path, report)) continue
      if (entry.isDirectory() && !isCacheFolder(path) && !isReportFolder(path)) await walk(path)
      if (!entry.isFile()) continue
      const state = await orNothing(lstat(path))
      if (state) snapshot.set(path, `${state.size}/${state.mtimeMs}`)
    }
  }
  await walk(root)
  return snapshot
}

async function orNothing<T>(work: Promise<T>): Promise<T | null> {
  try {
    return await work
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}

/** The paths, relative to the folder, that are new or not as they were. */
export function changedPaths(root: string, before: Snapshot, after: Snapshot): string[] {
  const paths = new Set([...before.keys(), ...after.keys()])
  return [...paths].filter((p) => before.get(p) !== after.get(p)).map((p) => relative(root, p))
}

/**
 * Waits until no file has changed for a time, however long that takes.
 * @param onWaiting told the names of files that are still changing, once for each new set of them
 * @returns what then lies there; null when it was told to stop before
 */
export async function settled(
  look: () => Promise<Snapshot>,
  quietMs: number,
  signal: AbortSignal,
  onWaiting: (names: string[]) => void,
): Promise<Snapshot | null> {
  const stepMs = Math.min(500, quietMs / 2)
  let last = await look()
  let told = ''
  for (let quiet = 0; quiet < quietMs; ) {
    try {
      await sleep(stepMs, undefined, { signal })
    } catch {
      return null
    }
    const now = await look()
    const changed = changedPaths('/', last, now).map((path) => basename(path))
    quiet = changed.length === 0 ? quiet + stepMs : 0
    if (changed.length > 0 && changed.join('\n') !== told) {
      told = changed.join('\n')
      onWaiting(changed)
    }
    last = now
  }
  return last
}
