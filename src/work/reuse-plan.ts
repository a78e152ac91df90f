import type { Problem } from '../base/problem.ts'
import type { ListedFile } from '../files/folder.ts'
import type { Receipt } from './receipt.ts'

/** What is to be done for one file, decided before anything is done. */
export interface FilePlan {
  file: ListedFile
  /** Of its content when the call began; empty where it cannot be read. */
  sha256: string
  /** Whether what was made of it lies in the cache, or it is to be read and mapped. */
  from: 'cache' | 'file'
}

/** What of earlier calls serves this one, decided before anything is done. */
export interface ReusePlan {
  /** The report that lies in its place already is the one that these files make. */
  unchanged: boolean
  /** In the order of their paths. */
  files: FilePlan[]
}

/** What is known when the plan is made. */
export interface Known {
  /** In the order of their paths, with the digests of their content. */
  files: { file: ListedFile; sha256: string }[]
  /** What was found wrong before any file was read. */
  unlisted: Problem[]
  /** Of the last report in this place; null where there is none. */
  receipt: Receipt | null
  /** Digests of all files of the report that lies in its place; null where there is none. */
  outputs: Record<string, string> | null
  /** Whether the cache holds what was made of a file. */
  holds: (path: string, sha256: string) => boolean
}

export function planReuse({ files, unlisted, receipt, outputs, holds }: Known): ReusePlan {
  return {
    unchanged:
      receipt !== null &&
      outputs !== null &&
      JSON.stringify(unlisted) === JSON.stringify(receipt.unlisted) &&
      files.length === receipt.inputs.length &&
      files.every(
        ({ file, sha256 }, i) => sha256 !== '' && file.path === receipt.inputs[i][0] && sha256 === receipt.inputs[i][1],
      ) &&
      sameRecord(outputs, receipt.outputs),
    files: files.map(({ file, sha256 }) => ({ file, sha256, from: holds(file.path, sha256) ? 'cache' : 'file' })),
  }
}

function sameRecord(a: Record<string, string>, b: Record<string, string>): boolean {
  const names = Object.keys(a)
  return names.length === Object.keys(b).length && names.every((name) => a[name] === b[name])
}
