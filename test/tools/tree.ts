import { createHash } from 'node:crypto'
import { lstatSync, readdirSync, readFileSync, readlinkSync } from 'node:fs'
import { join, relative, sep } from 'node:path'

/**
 * Everything below a folder by its path: kind, mode, time of the last change and content, so that two states can be
 * compared as a whole. Folders without their times, which change when a file is put beside another.
 */
export function treeOf(folder: string, wanted: (path: string) => boolean = () => true): Record<string, string> {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true })
    .map((entry) => join(entry.parentPath, entry.name))
    .map((path) => [relative(folder, path).split(sep).join('/'), path])
    .filter(([name]) => wanted(name))
    .sort(([a], [b]) => (a < b ? -1 : 1))
  return Object.fromEntries(entries.map(([name, path]) => [name, stateOf(path)]))
}

function stateOf(path: string): string {
  const info = lstatSync(path)
  const mode = (info.mode & 0o7777).toString(8)
  if (info.isSymbolicLink()) return `link ${Math.round(info.mtimeMs)} to ${readlinkSync(path)}`
  if (info.isDirectory()) return `folder ${mode} `
  if (!info.isFile()) return `other ${mode} ${info.mtimeMs}`
  const digest = createHash('sha256').update(readFileSync(path)).digest('hex')
  return `file ${mode} ${Math.round(info.mtimeMs)} ${info.size} ${digest}`
}
