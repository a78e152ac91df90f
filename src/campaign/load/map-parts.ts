import { isWorkbook, readWorkbook, type Sheet } from '../../read/workbook.ts'
import { type InputFile, mapFile, mapText, type WholeFile } from './map-file.ts'

/**
 * The map step of a file that may hold several others: the sheets of a workbook, each under the workbook's name with `#` and
 * its own behind it. Any other file is one part.
 */
export async function mapParts(file: InputFile): Promise<WholeFile[]> {
  if (!isWorkbook(file.bytes, file.path)) return [mapFile(file)]
  const { value: sheets, problems } = await readWorkbook(file.bytes)
  const whole: WholeFile = {
    path: file.path,
    sha256: file.sha256,
    kind: 'unrecognised',
    problems: [...(file.problems ?? []), ...problems],
    notes: [],
    tracks: [],
    text: null,
  }
  if (!sheets || sheets.length === 0) return [whole]
  const parts = sheets.map((sheet) => partOf(whole, sheet))
  const isRead = parts.some(({ kind }) => kind !== 'unrecognised')
  return numbered(isRead ? parts.map(withoutAlarm) : parts)
}

/** The part of a file behind `#`, as `mapParts` names it, taken away again. */
export const fileOfPart = (path: string): string => path.replace(/(\.(?:xls[xm]|ods))#.*$/i, '$1')

function partOf(whole: WholeFile, { name, text, problems }: Sheet): WholeFile {
  const empty: WholeFile = {
    ...whole,
    path: `${whole.path}#${name}`,
    problems: [...whole.problems, ...problems],
    notes: [`sheet of ${whole.path}`],
    tracks: [],
  }
  return mapText(empty, text)
}

/** Beside sheets that are read, others may hold whatever they like. */
const withoutAlarm = (part: WholeFile): WholeFile => ({
  ...part,
  problems: part.problems.map((problem) =>
    part.kind === 'unrecognised' && problem.code === 'unrecognised'
      ? { ...problem, severity: problem.severity === 'error' ? 'warning' : 'note' }
      : problem,
  ),
})

/** Tracks are told apart by the file's content and their number in it, which goes on from sheet to sheet. */
function numbered(parts: WholeFile[]): WholeFile[] {
  let before = 0
  return parts.map((part) => {
    const tracks = part.tracks.map((track) => ({ ...track, index: track.index + before }))
    before = Math.max(before, ...tracks.map(({ index }) => index))
    return { ...part, tracks }
  })
}
