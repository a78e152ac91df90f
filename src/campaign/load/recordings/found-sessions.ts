import { byCodeUnits } from '../../../base/arithmetic.ts'
import type { Problem } from '../../../base/problem.ts'
import { firstOfEach } from '../../../read/many.ts'
import type { RunRow } from '../../../read/runs/rows.ts'
import { onExchangedPositions } from '../exchanged.ts'
import { onMovedClock } from '../log-clock.ts'
import type { MappedFile, MappedTrack } from '../map-file.ts'
import type { MappedDrive } from '../mapped-drive.ts'
import { tracksByName } from '../names.ts'
import type { Session } from '../rows/drives-and-rows.ts'
import { pieceInName } from './piece-names.ts'

/** All that one device wrote until a pause of an hour, with where it was read. */
export interface FoundSession extends Session {
  file: string
  source: string
  drive: MappedDrive
  problems: Problem[]
}

/** A file of a thousand scraps of tracks says so once. */
const MOST_OF_A_KIND = 20

/** All sessions with a drive, each recording once, in the order of their start. */
export function foundSessions(files: MappedFile[], rows: RunRow[]): { sessions: FoundSession[]; problems: Problem[] } {
  const problems: Problem[] = []
  return { sessions: withoutCopies(sessionsIn(files, problems), rows, problems), problems }
}

function sessionsIn(files: MappedFile[], problems: Problem[]): FoundSession[] {
  const found: FoundSession[] = []
  for (const file of files) {
    const several = file.tracks.some(({ index }) => index !== file.tracks[0].index)
    const nameOf = (track: MappedTrack): string => (several ? `${file.path}#${track.index}` : file.path)
    const ofTracks = file.tracks.flatMap((track) => track.problems.map((p) => ({ ...p, file: nameOf(track) })))
    for (const problem of firstOfEach(ofTracks, MOST_OF_A_KIND)) problems.push({ file: file.path, ...problem })
    for (const track of file.tracks) {
      const { drive } = track
      if (!drive) continue
      const { startTime, endTime } = drive.summary
      const { trace, rests } = drive
      const own = { track: nameOf(track), file: file.path, source: sourceOf(file, track), drive }
      found.push({ ...own, trace, rests, startTime, endTime, problems: track.problems })
    }
  }
  return found.sort((a, b) => a.startTime - b.startTime || byCodeUnits(a.track, b.track))
}

/** Names a track by the content of its file, never by that one's name. */
export function sourceOf({ sha256, isExchanged }: MappedFile, { index, session, clockShiftS }: MappedTrack): string {
  const asRead = session === 1 ? `${sha256}#${index}` : `${sha256}#${index}/${session}`
  return onMovedClock(onExchangedPositions(asRead, isExchanged), clockShiftS)
}

/** The same recording under two names counts once: the name that a row of runs.csv uses stands, or else the first in order. */
function withoutCopies<T extends { track: string; drive: MappedDrive }>(
  runs: T[],
  rows: RunRow[],
  problems: Problem[],
): T[] {
  const find = tracksByName(runs)
  const named = new Set(rows.flatMap(({ track }) => find(pieceInName(track)?.recording ?? track)))
  const kept = new Set<T>()
  const byBegin = new Map<string, T[]>()
  for (const run of [...runs.filter((r) => named.has(r)), ...runs.filter((r) => !named.has(r))]) {
    const begin = `${run.drive.fixCount} fixes from ${run.drive.fixes.time[0]}`
    const alike = byBegin.get(begin) ?? []
    const original = alike.find((other) => isCopy(run, other))
    if (!original) {
      kept.add(run)
      byBegin.set(begin, [...alike, run])
      continue
    }
    problems.push({
      code: 'duplicate-run',
      severity: 'warning',
      file: run.track,
      message: `holds the same recording as ${original.track}; it is counted once, under that name`,
    })
  }
  return runs.filter((run) => kept.has(run))
}

function isCopy(a: { drive: MappedDrive }, b: { drive: MappedDrive }): boolean {
  const x = a.drive.fixes
  const y = b.drive.fixes
  if (a.drive.fixCount !== b.drive.fixCount || x.time[0] !== y.time[0]) return false
  for (let i = 0; i < x.time.length; i++) {
    if (x.time[i] !== y.time[i] || x.latitude[i] !== y.latitude[i] || x.longitude[i] !== y.longitude[i]) return false
  }
  return true
}
