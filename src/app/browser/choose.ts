import type { GivenFile } from '../compute/compute.ts'

/** Files from a file input; of a folder with their paths from its name on. */
export const chosenFiles = (list: FileList): GivenFile[] =>
  [...list].map((file) => ({ path: file.webkitRelativePath || file.name, content: file }))

/** What was dropped: one folder alone counts as a folder, all else as files. */
export async function droppedFiles(data: DataTransfer): Promise<{ files: GivenFile[]; from: 'files' | 'folder' }> {
  // The entries must be asked for before anything is awaited: the data are gone afterwards.
  const entries = [...data.items].flatMap((item) => item.webkitGetAsEntry() ?? [])
  if (entries.length === 0)
    return { files: [...data.files].map((file) => ({ path: file.name, content: file })), from: 'files' }
  const files = await Promise.all(entries.map(filesBelow))
  return { files: files.flat(), from: entries.length === 1 && entries[0].isDirectory ? 'folder' : 'files' }
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
