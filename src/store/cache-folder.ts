import { chmodSync, lstatSync, readdirSync, writeFileSync } from 'node:fs'
import { homedir } from 'node:os'
import { join } from 'node:path'
import { CACHE_MARKER, CACHE_MARKER_TEXT, isCacheFolder } from '../files/cache-marker.ts'
import { isFileError } from '../files/file-errors.ts'
import { makeFolder } from '../files/make-folder.ts'
import { readPlainFile } from '../files/plain-file.ts'

/** The cache's own folder below the one that was named: whatever else lies beside it is somebody else's. */
const OWN_NAME = 'ceteris-cache-1'

/** What was read of private tracks is nobody else's to read. */
const OWNER_ONLY = 0o700

/**
 * The folder for caches: beside no data, so that folders which are shared or cannot be written to stay as they are.
 * @source XDG Base Directory Specification; Apple File System Programming Guide; Microsoft KNOWNFOLDERID (LocalAppData)
 */
export function cacheFolder(environment: NodeJS.ProcessEnv, platform: NodeJS.Platform): string {
  const own = environment.CETERIS_CACHE_DIR
  if (own) return own
  if (platform === 'win32')
    return join(environment.LOCALAPPDATA || join(homedir(), 'AppData/Local'), 'ceteris', 'Cache')
  if (platform === 'darwin') return join(homedir(), 'Library/Caches/ceteris')
  return join(environment.XDG_CACHE_HOME || join(homedir(), '.cache'), 'ceteris')
}

/**
 * The cache's own folder below the one that was named, made and marked where there is none.
 * @returns null where it cannot be had, or where something lies there that this program did not make
 */
export function ownCacheFolder(named: string): string | null {
  const folder = join(named, OWN_NAME)
  try {
    makeFolder(folder, OWNER_ONLY)
    const info = lstatSync(folder)
    // The system of Windows has no such numbers: there a user's folders are their own.
    const isOwn = info.isDirectory() && (process.getuid === undefined || info.uid === process.getuid())
    if (!isOwn || !(isCacheFolder(folder) || markedNow(folder))) return null
    if ((info.mode & 0o077) !== 0 && process.getuid !== undefined) chmodSync(folder, OWNER_ONLY)
    return folder
  } catch (error) {
    if (isFileError(error)) return null
    throw error
  }
}

/** Marks an empty folder, or one whose marker was only begun; one that holds anything else is not taken. */
function markedNow(folder: string): boolean {
  const marker = join(folder, CACHE_MARKER)
  const names = readdirSync(folder)
  if (names.length > 0) {
    const begun = names.length === 1 ? readPlainFile(marker, CACHE_MARKER_TEXT.length) : null
    if (!begun || !CACHE_MARKER_TEXT.startsWith(begun.toString())) return false
  }
  writeFileSync(marker, CACHE_MARKER_TEXT, { mode: 0o600 })
  return true
}
