import type { Problem } from '../../../base/problem.ts'
import { firstOfEach } from '../../../read/many.ts'
import { lineWords, placeOfRow, type RunRow, rowKey } from '../../../read/runs/rows.ts'
import { byRecording } from '../../../road/division/found.ts'
import type { NamedPiece } from '../recordings/piece-names.ts'
import {
  type ClaimedRow,
  type FoundDrive,
  MOST_OF_A_KIND,
  type Recording,
  type Stint,
  type Stretch,
} from './drives-and-rows.ts'
import { type DrivenElsewhere, doubtfulFuel, fuelProblem, withoutFuel } from './fuel-of-stints.ts'
import { oneRowEach } from './one-row-each.ts'
import { drivesByTime } from './rows-by-time.ts'

/** So many rows are named that were given to recordings by their time. */
const MOST_GIVEN = 3
/** So many drives are named where a row fits none of them. */
const MOST_NAMED = 12

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

/** A row with the places of the drives that it means. */
interface MeantRow {
  claim: ClaimedRow
  own: number[]
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
  const { meant, problems } = meantDrives(claimed, stretches, drives, recordings)
  const { wanted, problems: ofRepeats } = oneRowEach(meant, drives)
  problems.push(...ofRepeats)
  for (const { claim, own } of wanted) {
    const { row } = claim
    if (own.length > 1) {
      const { stint, problem } = stintOf({ claim, own }, drives, stints, elsewhere)
      if (problem) problems.push({ severity: 'error', ...problem, ...placeOfRow(row) })
      if (stint) stints.push(stint)
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

/** The rows that mean a drive, those of fewer drives first; the others become problems. */
function meantDrives(
  claimed: ClaimedRow[],
  stretches: ReadonlyMap<ClaimedRow, Stretch>,
  drives: FoundDrive[],
  recordings: Recording[],
): { meant: MeantRow[]; problems: Problem[] } {
  const { inUtc, problems } = rowsNamedInUtc(claimed, drives, recordings)
  problems.push(...foundNote(claimed.filter(({ byTime }) => byTime).map(({ row }) => row)))
  const byUtc = inUtc.size > 0 ? calledByUtc(drives) : drives
  const named = ({ recording }: ClaimedRow): FoundDrive[] => (inUtc.has(recording) ? byUtc : drives)
  const meant = claimed
    // What is wrong with a stretch has been said: the row means no other drive.
    .filter((claim) => stretches.has(claim) || (claim.row.from === null && claim.row.to === null))
    .map((claim) => ({ claim, own: drivesMeant(claim, stretches.get(claim) ?? null, named(claim), recordings) }))
    .sort((a, b) => a.own.length - b.own.length)
    .filter(({ claim, own }) => {
      const missing = own.length === 0 ? noSuchDrive(claim, drives, recordings) : missingLaps(claim, own, named(claim))
      if (missing !== null)
        problems.push({ code: 'row-without-drive', severity: 'error', message: missing, ...placeOfRow(claim.row) })
      return missing === null
    })
  return { meant, problems }
}

/** The stint of a row of several drives, without its fuel where that cannot be theirs; null where its setup is not that of all. */
function stintOf(
  { claim, own }: MeantRow,
  drives: FoundDrive[],
  stints: Stint[],
  elsewhere: DrivenElsewhere[],
): { stint: Stint | null; problem: Told | null } {
  const { row } = claim
  const other = own
    .flatMap((drive) => drives[drive].row ?? [])
    .find(({ setup }) => setup !== null && setup !== row.setup)
  if (other && row.setup !== null) return { stint: null, problem: setupsDiffer(row, other) }
  const isWhole = !claim.byTime && claim.piece === null
  const problem = fuelProblem(row, own, drives, stints, isWhole ? elsewhere[claim.recording] : null)
  return { stint: { row: problem ? withoutFuel(row) : row, drives: own }, problem }
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
