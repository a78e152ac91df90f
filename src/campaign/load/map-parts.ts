import type { Problem } from '../../base/problem.ts'
import { isArchive, type Member, membersOf } from '../../read/archive.ts'
import { tablesInText } from '../../read/table/tables-in-text.ts'
import { isWorkbook, readWorkbook, type Sheet } from '../../read/table/workbook.ts'
import { type InputFile, mapFile, mapText, type WholeFile } from './map-file.ts'

/**
 * The map step of a file that may hold several others: the sheets of a workbook or the files in a ZIP archive, each under the
 * name of the whole with `#` and its own behind it. Any other file is one part.
 */
export async function mapParts(file: InputFile): Promise<WholeFile[]> {
  if (isWorkbook(file.bytes, file.path)) {
    const { value: sheets, problems } = await readWorkbook(file.bytes)
    const whole = unread(file, problems)
    return joined(
      whole,
      (sheets ?? []).flatMap((sheet) => tablesOf(whole, sheet)),
    )
  }
  return filesIn(file)
}

/** The files in an archive; any other file as it is. */
export function filesIn(file: InputFile): WholeFile[] {
  if (!isArchive(file.bytes, file.path)) return [mapFile(file)]
  const { value: members, problems } = membersOf(file.bytes)
  return joined(
    unread(file, problems),
    (members ?? []).map((member, i) => memberOf(file, member, i === 0 ? problems : [])),
  )
}

const unread = ({ path, sha256, problems = [], isExchanged }: InputFile, more: Problem[]): WholeFile => ({
  ...(isExchanged && { isExchanged }),
  path,
  sha256,
  kind: 'unrecognised',
  problems: [...problems, ...more],
  notes: [],
  tracks: [],
  text: null,
})

/** A file in an archive. What is packed in it once more is not unpacked. */
function memberOf({ path, sha256, isExchanged }: InputFile, { name, bytes }: Member, problems: Problem[]): WholeFile {
  const part = mapFile({ path: `${path}#${name}`, bytes, sha256, problems, ...(isExchanged && { isExchanged }) })
  return { ...part, notes: [`file in ${path}`, ...part.notes] }
}

/** The parts of a file; where it has none, the file itself with what was found. */
function joined(whole: WholeFile, parts: WholeFile[]): WholeFile[] {
  if (parts.length === 0) return [whole]
  const isRead = parts.some(({ kind }) => kind !== 'unrecognised')
  return numbered(isRead ? parts.map(withoutAlarm) : parts)
}

/** The part of a file behind `#`, as `mapParts` names it, taken away again. */
export const fileOfPart = (path: string): string => path.replace(/(\.(?:xls[xm]|ods|zip|kmz))#.*$/i, '$1')

/** The tables of a sheet; the second of several is `book.xlsx#Sheet/2`. */
function tablesOf(whole: WholeFile, { name, text, problems }: Sheet): WholeFile[] {
  return tablesInText(text).map((table, i) => {
    const empty: WholeFile = {
      ...whole,
      path: `${whole.path}#${name}${i === 0 ? '' : `/${i + 1}`}`,
      problems: i === 0 ? [...whole.problems, ...problems] : [],
      notes: [i === 0 ? `sheet of ${whole.path}` : `table ${i + 1} of a sheet of ${whole.path}`],
      tracks: [],
    }
    return mapText(empty, table)
  })
}

/** Beside parts that are read, others may hold whatever they like. */
const withoutAlarm = (part: WholeFile): WholeFile => ({
  ...part,
  problems: part.problems.map((problem) =>
    part.kind === 'unrecognised' && problem.code === 'unrecognised'
      ? { ...problem, severity: problem.severity === 'error' ? 'warning' : 'note', hint: PASSED_OVER }
      : problem,
  ),
})

const PASSED_OVER =
  'Nothing to do if it holds totals, notes or something else; a table that should be read needs the columns that docs/files.md lists.'

/** Tracks are told apart by the file's content and their number in it, which goes on from part to part. */
function numbered(parts: WholeFile[]): WholeFile[] {
  let before = 0
  return parts.map((part) => {
    const tracks = part.tracks.map((track) => ({ ...track, index: track.index + before }))
    before = Math.max(before, ...tracks.map(({ index }) => index))
    return { ...part, tracks }
  })
}
