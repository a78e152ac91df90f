import type { GivenFile } from '../compute/compute.ts'
import { filesIn } from './disk-folder.ts'

/** Files from a file input; of a folder with their paths from its name on. */
export const chosenFiles = (list: FileList): GivenFile[] =>
  [...list].map((file) => ({ path: file.webkitRelativePath || file.name, content: file }))

/** What was dropped: one folder alone counts as a folder, all else as files. */
export async function droppedFiles(data: DataTransfer): Promise<{ files: GivenFile[]; from: 'files' | 'folder' }> {
  // All must be asked for before anything is awaited: the data are gone afterwards.
  const items = [...data.items].filter(({ kind }) => kind === 'file').map(inAllForms)
  const files = await Promise.all(items.map(filesOf))
  return { files: files.flat(), from: items.length === 1 && items[0].entry?.isDirectory ? 'folder' : 'files' }
}

/** One thing that was dropped, in all the forms in which browsers give it. */
interface Dropped {
  file: File | null
  entry: FileSystemEntry | null
  handle: Promise<FileSystemHandle | null>
}

/** Not every browser has it, and the compiler knows of none. */
type WithHandle = DataTransferItem & { getAsFileSystemHandle?: () => Promise<FileSystemHandle | null> }

const inAllForms = (item: WithHandle): Dropped => ({
  file: item.getAsFile(),
  entry: item.webkitGetAsEntry(),
  handle: item.getAsFileSystemHandle?.().catch(() => null) ?? Promise.resolve(null),
})

/**
 * A page that was opened from disk is refused by Chromium what lies behind an entry (EncodingError): a file is taken as
 * itself, and a folder by its handle where there are handles.
 */
async function filesOf({ file, entry, handle }: Dropped): Promise<GivenFile[]> {
  if (!entry?.isDirectory) return file === null ? [] : [{ path: file.name, content: file }]
  const folder = await handle
  return folder?.kind === 'directory' ? filesIn(folder as FileSystemDirectoryHandle, folder.name) : filesBelow(entry)
}

async function filesBelow(entry: FileSystemEntry): Promise<GivenFile[]> {
  if (entry.isFile) {
    const content = await new Promise<File>((resolve, reject) => (entry as FileSystemFileEntry).file(resolve, reject))
    return [{ path: entry.fullPath.replace(/^\//, ''), content }]
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader()
  const found: GivenFile[] = []
  for (;;) {
    // A hundred at a time, until none is left.
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) => reader.readEntries(resolve, reject))
    if (some.length === 0) return found
    found.push(...(await Promise.all(some.map(filesBelow))).flat())
  }
}
