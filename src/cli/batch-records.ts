import type { Problem } from '../base/problem.ts'
import { withExchanged } from '../campaign/load/exchanged.ts'
import { onCampaignClock } from '../campaign/load/log-clock.ts'
import type { InputFile, MappedFile, WholeFile } from '../campaign/load/map-file.ts'
import { type ListedFile, listFolder, readListed } from '../files/folder.ts'
import type { FileRecord } from '../records/batch-schema.ts'
import { mapExchanged } from '../work/map-files.ts'

/** What the reduce step needs of all records of files. */
export interface Assembled {
  /** In the order of their paths. */
  mapped: WholeFile[]
  /** Terrain tiles, which no record carries: they are large, and little of them is needed. */
  tiles: InputFile[]
  problems: Problem[]
}

/**
 * Puts the records of a campaign together. With its folder, every file that a report would read there must have its
 * record, and terrain tiles are read from it.
 */
export async function assembled(records: FileRecord[], root: string | null): Promise<Assembled> {
  const asRead = records.flatMap((r) => r.mapped ?? []).sort((a, b) => (a.path < b.path ? -1 : 1))
  const known = new Set(records.map(({ path }) => path))
  const problems = records.flatMap((r) => r.problems)
  const tiles: InputFile[] = []
  const { listed, problems: walked } = root === null ? { listed: [], problems: [] } : await listFolder(root)
  // What is wrong with a path itself stands in its record, if it has one.
  problems.push(...walked.filter(({ file }) => !known.has(file ?? '')))
  const files = new Map(listed.map((file) => [file.path, file]))
  const mapped = onCampaignClock(await withExchanged(asRead, (path) => mapExchanged(files.get(path))))
  if (root !== null) problems.push(...missing(files, known), ...leftOver(files, mapped))
  for (const tile of mapped.filter(({ kind }) => kind === 'elevation')) {
    const found = await tileOf(tile, files.get(tile.path), root)
    if ('bytes' in found) tiles.push(found)
    else problems.push(found)
  }
  return { mapped, tiles, problems }
}

function missing(files: Map<string, ListedFile>, known: Set<string>): Problem[] {
  return [...files.keys()]
    .filter((path) => !known.has(path))
    .map((file) => ({
      code: 'record-missing',
      severity: 'error',
      message: 'this file has no record among those given, and is left out',
      hint: 'Map it, and give its record as well.',
      file,
    }))
}

function leftOver(files: Map<string, ListedFile>, mapped: MappedFile[]): Problem[] {
  return mapped
    .filter(({ path }) => !files.has(path))
    .map(({ path }) => ({
      code: 'record-without-file',
      severity: 'warning',
      message: 'there is a record of this file, but no such file in the folder any more; the record is used',
      hint: 'Leave out its record if the file does not belong to the campaign.',
      file: path,
    }))
}

/** The tile that a record tells of, as it lies in the folder, or why it is not there. */
async function tileOf(
  { path, sha256 }: MappedFile,
  file: ListedFile | undefined,
  root: string | null,
): Promise<InputFile | Problem> {
  const lost = (message: string, hint: string): Problem => ({
    code: 'tile-not-read',
    severity: 'error',
    message,
    hint,
    file: path,
  })
  if (root === null)
    return lost('records do not carry terrain tiles, and no folder to read it from was named', 'Name it with --root.')
  if (!file) return lost('this terrain tile is not in the folder', 'Bring it back, or leave out its record.')
  const { value, problems } = await readListed(file)
  if (!value) return problems[0]
  if (value.sha256 === sha256) return value
  return lost('this terrain tile is not the one that its record was made from', 'Map it again.')
}
