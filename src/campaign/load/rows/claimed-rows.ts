import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import { firstOfEach } from '../../../read/many.ts'
import { placeOfRow, type RunRow } from '../../../read/runs/rows.ts'
import { nearestWord } from '../../../read/table/nearest-word.ts'
import { bareName, tracksByName } from '../names.ts'
import { pieceInName } from '../recordings/piece-names.ts'
import { type ClaimedRow, MOST_OF_A_KIND, type Recording } from './drives-and-rows.ts'
import { recordingByTime } from './rows-by-time.ts'

/** The rows that name a recording, with it; the others become problems. */
export function claimedBy(
  rows: RunRow[],
  recordings: Recording[],
  timeZone: string | null,
): { claimed: ClaimedRow[]; problems: Problem[] } {
  const problems: Problem[] = []
  const find = tracksByName(recordings)
  const claimed = rows.flatMap((row): ClaimedRow[] => {
    if (row.track === '') return foundByTime(row, recordings, timeZone, problems)
    const { value, problems: wrong } = recordingOf(row, recordings, find)
    problems.push(...wrong.map((problem) => ({ ...problem, ...placeOfRow(row) })))
    return value === null ? [] : [{ row, ...value }]
  })
  return { claimed, problems: firstOfEach(problems, MOST_OF_A_KIND) }
}

function foundByTime(row: RunRow, recordings: Recording[], timeZone: string | null, problems: Problem[]): ClaimedRow[] {
  if (row.when === null) return []
  const { value, problems: wrong } = recordingByTime(row.when, recordings, timeZone)
  problems.push(...wrong.map((problem) => ({ ...problem, ...placeOfRow(row) })))
  if (value === null) return []
  const { track } = recordings[value]
  return [{ row: { ...row, track }, recording: value, piece: null, byTime: true }]
}

type FindRecordings = (name: string) => Recording[]

function recordingOf(
  { track }: RunRow,
  recordings: Recording[],
  find: FindRecordings,
): Outcome<Pick<ClaimedRow, 'recording' | 'piece'>> {
  // A recording's own name may hold an '@' too.
  const inName = find(track).length > 0 ? null : pieceInName(track)
  const base = inName?.recording ?? track
  const matching = find(base)
  if (matching.length === 1) return found({ recording: recordings.indexOf(matching[0]), piece: inName?.piece ?? null })
  if (matching.length === 0) {
    const message = `"${track.slice(0, 100)}" names no track that was read as a drive`
    const hint = hintFor(base, recordings, find)
    return failed({ code: 'row-without-track', message, ...(hint ? { hint } : {}) })
  }
  return failed({
    code: 'row-ambiguous',
    message: `"${track}" may be ${matching.map((recording) => recording.track).join(' or ')}`,
    hint: 'write the folder before the file name, or #n after it',
  })
}

function hintFor(base: string, recordings: Recording[], find: FindRecordings): string | null {
  const beforeAt = base.slice(0, Math.max(0, base.lastIndexOf('@')))
  const [named] = beforeAt === '' ? [] : find(beforeAt)
  if (named)
    return `after @ stands the time at which the drive begins, such as ${named.track}@0914, and of laps their numbers, such as ${named.track}@0914.1-6`
  const names = recordings.map(({ track }) => bareName(track))
  const near = nearestWord(bareName(base), names)
  return near === null ? null : `Did you mean ${recordings[names.indexOf(near)].track}?`
}
