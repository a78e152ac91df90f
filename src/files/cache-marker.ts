import { join } from 'node:path'
import { readPlainFile } from './plain-file.ts'

/**
 * The file that makes a folder a cache of this program, and its content. Backup programs know its first line, and leave
 * the folder out.
 * @source Cache Directory Tagging Specification (bford.info/cachedir)
 */
export const CACHE_MARKER = 'CACHEDIR.TAG'

const OWN_LINE =
  '# ceteris-cache/1: kept between calls of ceteris, which removes what it put here. Put nothing else here.'

export const CACHE_MARKER_TEXT = `Signature: 8a477f597d28d172789f06886806bc55\n${OWN_LINE}\n`

/** Whether a folder is a cache of this program, by its marker. */
export function isCacheFolder(path: string): boolean {
  const { length } = CACHE_MARKER_TEXT
  return readPlainFile(join(path, CACHE_MARKER), length)?.equals(Buffer.from(CACHE_MARKER_TEXT)) ?? false
}
