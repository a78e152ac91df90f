import { mkdirSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { isFileError } from './file-errors.ts'

/**
 * Makes a folder and those above it that are missing; a folder that is there stays as it is. Unlike Node's own recursive
 * form it ends where the system says that a place does not exist and cannot be made, as below /proc, where that one turns
 * in circles.
 */
export function makeFolder(folder: string, mode?: number): void {
  if (isFolder(folder)) return
  const above = dirname(folder)
  if (above !== folder && !isFolder(above)) makeFolder(above, mode)
  try {
    mkdirSync(folder, { mode })
  } catch (error) {
    // Another call may have made it meanwhile.
    if (!(isFileError(error) && error.code === 'EEXIST' && isFolder(folder))) throw error
  }
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory()
  } catch (error) {
    if (isFileError(error)) return false
    throw error
  }
}
