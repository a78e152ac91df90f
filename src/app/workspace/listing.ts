import type { Problem } from '../../base/problem.ts'
import { besideReport, isUnfinished, tooLargeToRead, UNFINISHED } from '../../files/passed-over.ts'
import { LARGEST_BYTES } from '../../read/bytes.ts'
import { LIST_NAME, listIn } from '../../report/report-list.ts'
import type { GivenFile } from '../compute/compute.ts'

/** What of some files or a folder is read, as the command line lists a folder. */
export interface Listing {
  files: GivenFile[]
  folderName: string | null
  problems: Problem[]
}

/**
 * Lists files as they were chosen or dropped: the name of their common folder is taken off, hidden files are passed over,
 * and so is a report's folder, known by the list of what this program wrote there. Loose files count as a flat folder.
 */
export async function listed(given: readonly GivenFile[], isFolder: boolean): Promise<Listing> {
  const { files, folderName } = isFolder ? withoutRoot(given) : { files: [...given], folderName: null }
  const reports = await reportFolders(files)
  const problems: Problem[] = reports.flatMap(({ folder, others }) =>
    others.length === 0 ? [] : [{ ...besideReport(others), file: folder }],
  )
  const kept = files.filter(({ path, content }) => {
    if (isHidden(path) || reports.some(({ folder }) => isWithin(path, folder))) return false
    if (isUnfinished(path.slice(path.lastIndexOf('/') + 1))) problems.push({ ...UNFINISHED, file: path })
    else if (content.size > LARGEST_BYTES)
      problems.push({ ...tooLargeToRead(content.size, LARGEST_BYTES), severity: 'warning', file: path })
    else return true
    return false
  })
  return { files: kept, folderName, problems }
}

const isHidden = (path: string): boolean => path.split('/').some((part) => part.startsWith('.'))
const isWithin = (path: string, folder: string): boolean => path.startsWith(`${folder}/`)

function withoutRoot(given: readonly GivenFile[]): { files: GivenFile[]; folderName: string | null } {
  const roots = new Set(given.map(({ path }) => path.slice(0, Math.max(0, path.indexOf('/')))))
  const [root] = roots
  if (roots.size !== 1 || root === '') return { files: [...given], folderName: null }
  return { files: given.map((file) => ({ ...file, path: file.path.slice(root.length + 1) })), folderName: root }
}

/** The folders below the root that hold the list of a report, and what else lies in them. */
async function reportFolders(files: readonly GivenFile[]): Promise<{ folder: string; others: string[] }[]> {
  const lists = files.filter(({ path }) => path.endsWith(`/${LIST_NAME}`))
  const found = await Promise.all(
    lists.map(async ({ path, content }) => ({
      folder: path.slice(0, -LIST_NAME.length - 1),
      list: listIn(await content.text()),
    })),
  )
  return found.flatMap(({ folder, list }) => {
    if (list === null) return []
    const inside = files.filter(({ path }) => isWithin(path, folder)).map(({ path }) => path.slice(folder.length + 1))
    return [{ folder, others: inside.filter((path) => !list.has(path) && !isHidden(path)).sort() }]
  })
}
