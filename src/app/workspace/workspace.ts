import { byCodeUnits } from '../../base/arithmetic.ts'
import type { Problem } from '../../base/problem.ts'
import type { GivenFile } from '../compute/compute.ts'

/**
 * The user's files as they stand in the page, edits included: an edit is another content of a file. Nothing here is ever
 * changed in place, so that an earlier workspace is still whole. What the files mean is computed from them and never kept
 * with them.
 */
export interface Workspace {
  /** In the order of their paths. */
  files: readonly GivenFile[]
  /** Of a folder that was chosen; null of loose files. */
  folderName: string | null
  /** What was told of files that were passed over. */
  passedOver: readonly Problem[]
}

export const EMPTY: Workspace = { files: [], folderName: null, passedOver: [] }

/** With more files; one of a path that is there already takes its place. */
export function withFiles(workspace: Workspace, added: readonly GivenFile[]): Workspace {
  const byPath = new Map([...workspace.files, ...added].map((file) => [file.path, file]))
  return { ...workspace, files: [...byPath.values()].sort((a, b) => byCodeUnits(a.path, b.path)) }
}

/** Without the files of some paths. */
export function withoutFiles(workspace: Workspace, paths: readonly string[]): Workspace {
  return { ...workspace, files: workspace.files.filter(({ path }) => !paths.includes(path)) }
}

export const fileAt = (workspace: Workspace, path: string | null): GivenFile | null =>
  workspace.files.find((file) => file.path === path) ?? null

/** A name that no file has yet: the wanted one, or with a number before its ending. */
export function freePath(workspace: Workspace, wanted: string): string {
  const [, base, ending] = /^(.*?)(\.[^.]*)?$/.exec(wanted) ?? [wanted, wanted, '']
  for (let n = 1; ; n++) {
    const path = n === 1 ? wanted : `${base}-${n}${ending ?? ''}`
    if (fileAt(workspace, path) === null) return path
  }
}
