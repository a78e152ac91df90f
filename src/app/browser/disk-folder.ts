import { sha256, toHex } from '../../base/platform.ts'
import { LIST_NAME, listIn, type ReportList } from '../../report/report-list.ts'
import type { GivenFile, OutputFile } from '../compute/compute.ts'

/** A folder on the user's disk that the browser was allowed to read. */
export interface DiskFolder {
  /** Whether this browser can open one at all. */
  isOffered: boolean
  /** null before one was opened. */
  name: () => string | null
  /** Asks for a folder; null where the user thought otherwise. */
  open: () => Promise<GivenFile[] | null>
  readAgain: () => Promise<GivenFile[]>
  /** Asks for leave to write, and writes the report; why it was not written comes back. */
  write: (files: readonly OutputFile[]) => Promise<string | null>
}

/** Not every browser has it, and the compiler knows of none. */
type Picker = (options: { mode: 'read' }) => Promise<FileSystemDirectoryHandle>
type Asked = FileSystemDirectoryHandle & {
  requestPermission: (options: { mode: 'readwrite' }) => Promise<PermissionState>
  values: () => AsyncIterable<FileSystemDirectoryHandle | FileSystemFileHandle>
}

export function diskFolder(): DiskFolder {
  const picker = (globalThis as { showDirectoryPicker?: Picker }).showDirectoryPicker
  let handle: Asked | null = null
  const read = async (): Promise<GivenFile[]> => (handle === null ? [] : filesIn(handle, handle.name))
  return {
    isOffered: picker !== undefined,
    name: () => handle?.name ?? null,
    open: async () => {
      try {
        handle = ((await picker?.({ mode: 'read' })) as Asked | undefined) ?? null
      } catch (error) {
        if (error instanceof DOMException && error.name === 'AbortError') return null
        throw error
      }
      return read()
    },
    readAgain: read,
    write: async (files) => {
      if (handle === null) return 'no folder is open'
      if ((await handle.requestPermission({ mode: 'readwrite' })) !== 'granted')
        return 'the browser was not given leave to write'
      return writeReport(handle, files)
    },
  }
}

/** All files below a folder, with their paths from the one given on. */
export async function filesIn(folder: FileSystemDirectoryHandle, path: string): Promise<GivenFile[]> {
  const found: GivenFile[] = []
  for await (const entry of (folder as Asked).values()) {
    const own = `${path}/${entry.name}`
    if (entry.kind === 'file') found.push({ path: own, content: await (entry as FileSystemFileHandle).getFile() })
    else found.push(...(await filesIn(entry as FileSystemDirectoryHandle, own)))
  }
  return found
}

/** The folder of the report within the one that is read, as on the command line. */
const REPORT = 'report'

/**
 * Writes a report as the command line does: only a folder with the list of what this program wrote, or an empty one, is
 * written into, and of what lies there only the files of that list are replaced or removed. The list is written last.
 * @returns why nothing was written; null where all was
 */
async function writeReport(folder: FileSystemDirectoryHandle, files: readonly OutputFile[]): Promise<string | null> {
  const report = await folder.getDirectoryHandle(REPORT, { create: true }).catch(() => null)
  if (report === null) return `${REPORT} is a file that this program did not write`
  const there = new Map((await filesIn(report, '')).map(({ path, content }) => [path.slice(1), content]))
  const listed = listIn((await there.get(LIST_NAME)?.text()) ?? '')
  const refusal = await refusalOf(there, listed, files)
  if (refusal !== null) return refusal
  const inOrder = [...files].sort((a, b) => Number(a.path === LIST_NAME) - Number(b.path === LIST_NAME))
  for (const { path, content } of inOrder) await writeFile(report, path, content)
  const fresh = new Set(files.map(({ path }) => path))
  for (const path of listed?.keys() ?? []) if (!fresh.has(path)) await removeFile(report, path)
  return null
}

/** Files that the systems' own file managers leave in any folder that was looked at. */
const OF_FILE_MANAGERS = ['.DS_Store', 'Thumbs.db', 'desktop.ini', '.directory']

async function refusalOf(
  there: ReadonlyMap<string, Blob>,
  listed: ReportList | null,
  files: readonly OutputFile[],
): Promise<string | null> {
  if (listed === null) {
    const other = [...there.keys()].find((path) => !OF_FILE_MANAGERS.includes(path))
    return other === undefined ? null : `${REPORT} holds something that this program did not write, such as ${other}`
  }
  for (const [path, { sizeBytes, sha256: digest }] of listed) {
    const content = there.get(path)
    const isAsWritten =
      content?.size === sizeBytes && toHex(sha256(new Uint8Array(await content.arrayBuffer()))) === digest
    if (!isAsWritten) return `${REPORT}/${path} is no longer as this program wrote it, and would be lost`
  }
  const taken = files.find(({ path }) => path !== LIST_NAME && there.has(path) && !listed.has(path))
  return taken ? `${REPORT}/${taken.path} is not this program’s, and one of its files has to lie there` : null
}

async function folderOf(top: FileSystemDirectoryHandle, path: string): Promise<[FileSystemDirectoryHandle, string]> {
  const parts = path.split('/')
  let folder = top
  for (const part of parts.slice(0, -1)) folder = await folder.getDirectoryHandle(part, { create: true })
  return [folder, parts[parts.length - 1]]
}

async function writeFile(top: FileSystemDirectoryHandle, path: string, content: Blob): Promise<void> {
  const [folder, name] = await folderOf(top, path)
  // The browser writes beside, and puts the file in its place when it is whole.
  const stream = await (await folder.getFileHandle(name, { create: true })).createWritable()
  await stream.write(content)
  await stream.close()
}

async function removeFile(top: FileSystemDirectoryHandle, path: string): Promise<void> {
  const [folder, name] = await folderOf(top, path)
  await folder.removeEntry(name)
}
