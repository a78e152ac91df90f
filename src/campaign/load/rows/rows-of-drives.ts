import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import { firstOfEach } from '../../../read/many.ts'
import { lineWords, placeOfRow, type RunRow, rowKey } from '../../../read/runs/rows.ts'
import { nearestWord } from '../../../read/table/nearest-word.ts'
import { byRecording } from '../../../road/division/found.ts'
import { bareName, tracksByName } from '../names.ts'
import { type NamedPiece, pieceInName } from '../recordings/piece-names.ts'
import type { ClaimedRow, FoundDrive, Recording, Stint, Stretch } from './drives-and-rows.ts'
import { type DrivenElsewhere, doubtfulFuel, fuelProblem, withoutFuel } from './fuel-of-stints.ts'
import { oneRowEach } from './one-row-each.ts'
import { drivesByTime, recordingByTime } from './rows-by-time.ts'

/** A thousand rows of one slip say so once. */
const MOST_OF_A_KIND = 20
/** So many rows are named that were given to recordings by their time. */
const MOST_GIVEN = 3
/** So many drives are named where a row fits none of them. */
const MOST_NAMED = 12

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

/** Says once of all rows without a track which recordings they were given to; the first few by name. */
function foundNote(rows: readonly RunRow[]): Problem[] {
  if (rows.length === 0) return []
  const [first] = rows
  const named = rows.slice(0, MOST_GIVEN).map((row) => `${row.track} (${lineWords(row, first)})`)
  const more = rows.length - named.length
  const message =
    rows.length === 1
      ? `this row names no track; by its time it is that of ${first.track}`
      : `${rows.length} rows name no track; by their times they are those of ${named.join(', ')}${more > 0 ? ` and ${more} more` : ''}`
  return [{ code: 'row-found-by-time', severity: 'note', message, ...placeOfRow(first) }]
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

/**
 * Gives drives their rows: a row of several drives makes a stint of them. Rows of fewer drives come first.
 * @param elsewhere how much of each recording is no drive
 */
export function withRows(
  claimed: ClaimedRow[],
  stretches: ReadonlyMap<ClaimedRow, Stretch>,
  drives: FoundDrive[],
  recordings: Recording[],
  elsewhere: DrivenElsewhere[],
): { stints: Stint[]; problems: Problem[] } {
  const stints: Stint[] = []
  const { inUtc, problems } = rowsNamedInUtc(claimed, drives, recordings)
  problems.push(...foundNote(claimed.filter(({ byTime }) => byTime).map(({ row }) => row)))
  const byUtc = inUtc.size > 0 ? calledByUtc(drives) : drives
  const named = (isUtc: boolean): FoundDrive[] => (isUtc ? byUtc : drives)
  const meant = claimed
    // What is wrong with a stretch has been said: the row means no other drive.
    .filter((claim) => stretches.has(claim) || (claim.row.from === null && claim.row.to === null))
    .map((claim) => ({
      claim,
      own: drivesMeant(claim, stretches.get(claim) ?? null, named(inUtc.has(claim.recording)), recordings),
    }))
    .sort((a, b) => a.own.length - b.own.length)
    .filter(({ claim, own }) => {
      const missing =
        own.length === 0
          ? noSuchDrive(claim, drives, recordings)
          : missingLaps(claim, own, named(inUtc.has(claim.recording)))
      if (missing !== null)
        problems.push({ code: 'row-without-drive', severity: 'error', message: missing, ...placeOfRow(claim.row) })
      return missing === null
    })
  const { wanted, problems: ofRepeats } = oneRowEach(meant, drives)
  problems.push(...ofRepeats)
  for (const { claim, own } of wanted) {
    const { row } = claim
    const say = (problem: Omit<Problem, 'severity' | 'line'>): void => {
      problems.push({ severity: 'error', ...problem, ...placeOfRow(row) })
    }
    if (own.length > 1) {
      const other = own
        .flatMap((drive) => drives[drive].row ?? [])
        .find(({ setup }) => setup !== null && setup !== row.setup)
      if (other && row.setup !== null) {
        say(setupsDiffer(row, other))
        for (const drive of own) drives[drive].row ??= withoutFuel(row)
        continue
      }
      const isWhole = !claim.byTime && claim.piece === null
      const wrong = fuelProblem(row, own, drives, stints, isWhole ? elsewhere[claim.recording] : null)
      if (wrong) say(wrong)
      stints.push({ row: wrong ? withoutFuel(row) : row, drives: own })
      for (const drive of own) drives[drive].row ??= withoutFuel(row)
    } else {
      drives[own[0]].row = row
      const isWhole = !claim.byTime && row.from === null && row.to === null && claim.piece === null
      const doubt = isWhole ? doubtfulFuel(row, elsewhere[claim.recording]) : null
      if (doubt) problems.push({ ...doubt, ...placeOfRow(row) })
    }
  }
  const order = new Map(claimed.map(({ row }, i) => [rowKey(row), i]))
  const at = ({ row }: Stint): number => order.get(rowKey(row)) ?? 0
  return { stints: stints.sort((a, b) => at(a) - at(b)), problems: firstOfEach(problems, MOST_OF_A_KIND) }
}

type Told = Omit<Problem, 'severity' | 'line'>

const setupsDiffer = (row: RunRow, other: RunRow): Told => ({
  code: 'row-setups-differ',
  message: `"${row.track.slice(0, 100)}" has the setup "${row.setup}" here, and some of its drives have "${other.setup}" by ${lineWords(other, row)}; that line counts for them, and no fuel of this row is used`,
  hint: 'Write a row for the drives of each setup.',
})

/**
 * The recordings whose rows call drives by UTC, as `init` wrote them before the campaign named a zone: where more of a
 * recording's rows fit its drives by UTC than by local time.
 */
function rowsNamedInUtc(
  claimed: ClaimedRow[],
  drives: FoundDrive[],
  recordings: Recording[],
): { inUtc: ReadonlySet<number>; problems: Problem[] } {
  const inUtc = new Set<number>()
  const problems: Problem[] = []
  const byUtc = calledByUtc(drives)
  for (const [recording, own] of byRecording(claimed)) {
    const naming = own.filter(({ piece }) => piece !== null)
    const fitting = (called: FoundDrive[]): ClaimedRow[] =>
      naming.filter((claim) => drivesMeant(claim, null, called, recordings).length > 0)
    const [first] = fitting(byUtc)
    if (fitting(byUtc).length <= fitting(drives).length) continue
    inUtc.add(recording)
    const { row } = first
    const now = drivesMeant(first, null, byUtc, recordings).map((i) => drives[i].track)
    const message = `${recordings[recording].track}: its rows call drives by UTC, as before time_zone was set, and are taken so; "${row.track.slice(0, 100)}" is now called ${now[0]}`
    problems.push({ code: 'rows-named-in-utc', severity: 'note', message, ...placeOfRow(row) })
  }
  return { inUtc, problems }
}

const calledByUtc = (drives: FoundDrive[]): FoundDrive[] => drives.map((drive) => ({ ...drive, name: drive.utcName }))

const listed = (names: string[]): string =>
  `${names.slice(0, MOST_NAMED).join(', ')}${names.length > MOST_NAMED ? ', …' : ''}` || 'none'

function noSuchDrive({ row, recording }: ClaimedRow, drives: FoundDrive[], recordings: Recording[]): string {
  const { track, sessions } = recordings[recording]
  const known = drives.filter(({ session }) => sessions.includes(session)).map((drive) => drive.track)
  return `"${row.track.slice(0, 100)}" names no drive that was found in ${track}; found were ${listed(known)}`
}

/** What is wrong where a row names more laps than there are; null where all of them are found. */
function missingLaps({ row, piece }: ClaimedRow, own: number[], drives: FoundDrive[]): string | null {
  if (!piece || piece.firstLap === null) return null
  const { firstLap, lastLap } = piece
  if (own.length === (lastLap ?? firstLap) - firstLap + 1) return null
  const { session } = drives[own[0]]
  const laps = drives.filter((drive) => drive.session === session && isOf(piece, drive.name)).map(({ track }) => track)
  return `"${row.track.slice(0, 100)}" names laps ${firstLap} to ${lastLap}, found were ${laps.length} laps: ${listed(laps)}; the row is not used`
}

/** Whether a drive is of the stint that a name's time says. */
function isOf({ time }: NamedPiece, name: string): boolean {
  const [at] = name.split('.')
  return at === time || at.endsWith(`T${time}`)
}

/** The drives that a row means, in the order of time. */
function drivesMeant(
  { row, recording, piece, byTime }: ClaimedRow,
  stretch: Stretch | null,
  drives: FoundDrive[],
  recordings: Recording[],
): number[] {
  const own = drives.flatMap(({ session }, i) => (recordings[recording].sessions.includes(session) ? [i] : []))
  if (stretch) return own.filter((i) => drives[i].fromTime === stretch.fromTime && drives[i].toTime === stretch.toTime)
  if (byTime && row.when !== null) return drivesByTime(row.when, own, drives)
  if (!piece) return own
  const { firstLap, lastLap } = piece
  return own.filter((i) => {
    const lap = Number(drives[i].name.split('.')[1])
    return isOf(piece, drives[i].name) && (firstLap === null || (lap >= firstLap && lap <= (lastLap ?? firstLap)))
  })
}
