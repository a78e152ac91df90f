import { failed, found, type Outcome, type Problem } from '../../base/problem.ts'
import { firstOfEach } from '../../read/many.ts'
import { nearestWord } from '../../read/nearest-word.ts'
import type { RunRow } from '../../read/types.ts'
import type { ClaimedRow, FoundDrive, Recording, Stint, Stretch } from './drives-and-rows.ts'
import { namedBy } from './names.ts'
import { pieceInName } from './piece-names.ts'

/** A thousand rows of one slip say so once. */
const MOST_OF_A_KIND = 20

/** The rows that name a recording, with it; the others become problems. */
export function claimedBy(rows: RunRow[], recordings: Recording[]): { claimed: ClaimedRow[]; problems: Problem[] } {
  const problems: Problem[] = []
  const claimed = rows.flatMap((row): ClaimedRow[] => {
    const { value, problems: wrong } = recordingOf(row, recordings)
    problems.push(...wrong.map((problem) => ({ ...problem, line: row.line })))
    return value === null ? [] : [{ row, recording: value }]
  })
  return { claimed, problems: firstOfEach(problems, MOST_OF_A_KIND) }
}

function recordingOf({ track }: RunRow, recordings: Recording[]): Outcome<number> {
  const base = namesPiece(track, recordings)?.recording ?? track
  const matching = namedBy(base, recordings)
  if (matching.length === 1) return found(recordings.indexOf(matching[0]))
  if (matching.length === 0) {
    const known = recordings.map((recording) => recording.track)
    const near = nearestWord(base, known)
    const message = `"${track.slice(0, 100)}" names no track that was read as a drive`
    return failed({ code: 'row-without-track', message, ...(near ? { hint: `Did you mean ${near}?` } : {}) })
  }
  return failed({
    code: 'row-ambiguous',
    message: `"${track}" may be ${matching.map((recording) => recording.track).join(' or ')}`,
    hint: 'write the folder before the file name, or #n after it',
  })
}

/** What a name says of a piece of a recording; null where it is a recording's own name, '@' and all. */
const namesPiece = (track: string, recordings: Recording[]): ReturnType<typeof pieceInName> =>
  namedBy(track, recordings).length > 0 ? null : pieceInName(track)

/** Gives drives their rows: a row of several drives makes a stint of them. Rows of fewer drives come first. */
export function withRows(
  claimed: ClaimedRow[],
  stretches: ReadonlyMap<ClaimedRow, Stretch>,
  drives: FoundDrive[],
  recordings: Recording[],
): { stints: Stint[]; problems: Problem[] } {
  const stints: Stint[] = []
  const problems: Problem[] = []
  const wanted = claimed
    // What is wrong with a stretch has been said: the row means no other drive.
    .filter((claim) => stretches.has(claim) || (claim.row.from === null && claim.row.to === null))
    .map((claim) => ({ claim, own: drivesMeant(claim, stretches.get(claim) ?? null, drives, recordings) }))
    .sort((a, b) => a.own.length - b.own.length || a.claim.row.line - b.claim.row.line)
  for (const { claim, own } of wanted) {
    const { row } = claim
    const say = (code: string, message: string): void => {
      problems.push({ code, severity: 'error', message, line: row.line })
    }
    if (own.length === 0) say('row-without-drive', noSuchDrive(claim, drives, recordings))
    else if (own.length > 1) {
      stints.push({ row, drives: own })
      for (const drive of own) drives[drive].row ??= withoutFuel(row)
    } else if (drives[own[0]].row === null) drives[own[0]].row = row
    else say('row-repeated', `"${row.track.slice(0, 100)}" already has a row, at line ${drives[own[0]].row?.line}`)
  }
  return { stints: stints.sort((a, b) => a.row.line - b.row.line), problems: firstOfEach(problems, MOST_OF_A_KIND) }
}

function noSuchDrive({ row, recording }: ClaimedRow, drives: FoundDrive[], recordings: Recording[]): string {
  const { track, sessions } = recordings[recording]
  const known = drives.filter(({ session }) => sessions.includes(session)).map((drive) => drive.track)
  const listed = `${known.slice(0, 12).join(', ')}${known.length > 12 ? ', …' : ''}`
  return `"${row.track.slice(0, 100)}" names no drive that was found in ${track}; found were ${listed || 'none'}`
}

/** The drives that a row means, in the order of time. */
function drivesMeant(
  { row, recording }: ClaimedRow,
  stretch: Stretch | null,
  drives: FoundDrive[],
  recordings: Recording[],
): number[] {
  const own = drives.flatMap(({ session }, i) => (recordings[recording].sessions.includes(session) ? [i] : []))
  if (stretch) return own.filter((i) => drives[i].fromTime === stretch.fromTime && drives[i].toTime === stretch.toTime)
  const named = namesPiece(row.track, recordings)
  if (named === null) return own
  const { time, firstLap, lastLap } = named.piece
  return own.filter((i) => {
    const [at, lap] = drives[i].name.split('.')
    if (at !== time && !at.endsWith(`T${time}`)) return false
    return firstLap === null || (lap !== undefined && Number(lap) >= firstLap && Number(lap) <= (lastLap ?? firstLap))
  })
}

/** A row's words for one of its several drives: what was measured over all of them belongs to none alone. */
const withoutFuel = (row: RunRow): RunRow => ({
  ...row,
  fuelLitres: Number.NaN,
  fuelKg: Number.NaN,
  energyKwh: Number.NaN,
  tripComputerLitresPer100Km: Number.NaN,
  gaugeMarkM: Number.NaN,
  obdFuelLitres: Number.NaN,
  odometerM: Number.NaN,
  fillGroup: null,
})
