import type { Problem } from '../../base/problem.ts'
import { firstOfEach } from '../../read/many.ts'
import type { RunRow } from '../../read/types.ts'
import type { DriveSummary } from '../../track/types.ts'
import type { MappedFile, MappedTrack } from './map-file.ts'
import type { MappedDrive } from './mapped-drive.ts'

/** One run of the campaign: a drive with its name, its place in runs.csv and its own troubles. */
export interface Run {
  id: string
  /** Path relative to the folder, `#n` where the file holds several tracks. */
  track: string
  /** Names what it was read from by its content, never by its name: hash of the file and number of the track. */
  source: string
  drive: MappedDrive
  summary: DriveSummary
  row: RunRow | null
  problems: Problem[]
}

/** A file of a thousand scraps of tracks says so once. */
const MOST_OF_A_KIND = 20

/** Makes runs of all tracks that can be one, in order of their start, and names them. */
export function runsOf(
  files: MappedFile[],
  rows: RunRow[],
  runsFile: string | null,
): { runs: Run[]; problems: Problem[] } {
  const problems: Problem[] = []
  const found: Omit<Run, 'id' | 'row'>[] = []
  for (const file of files) {
    const several = file.tracks.length > 1
    const nameOf = (track: MappedTrack): string => (several ? `${file.path}#${track.index}` : file.path)
    const ofTracks = file.tracks.flatMap((track) => track.problems.map((p) => ({ ...p, file: nameOf(track) })))
    for (const problem of firstOfEach(ofTracks, MOST_OF_A_KIND)) problems.push({ file: file.path, ...problem })
    for (const track of file.tracks) {
      const name = nameOf(track)
      if (track.drive) {
        found.push({
          track: name,
          source: sourceOf(file, track),
          drive: track.drive,
          summary: track.drive.summary,
          problems: track.problems,
        })
      }
    }
  }
  found.sort((a, b) => a.summary.startTime - b.summary.startTime || compareText(a.track, b.track))
  const kept = withoutCopies(found, problems)
  const slugs = slugsOf(kept.map((r) => r.track))
  const runs = kept.map((run, i) => ({ ...run, id: slugs[i], row: null as RunRow | null }))
  assignRows(runs, rows, runsFile, problems)
  return { runs, problems }
}

/** Names a track by the content of its file, never by that one's name. */
export const sourceOf = ({ sha256 }: MappedFile, { index }: MappedTrack): string => `${sha256}#${index}`

const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

/** The same recording under two names counts once: the first name, in order, stands. */
function withoutCopies<T extends Omit<Run, 'id' | 'row'>>(runs: T[], problems: Problem[]): T[] {
  return runs.filter((run, i) => {
    const original = runs.slice(0, i).find((other) => isCopy(run, other))
    if (!original) return true
    problems.push({
      code: 'duplicate-run',
      severity: 'warning',
      file: run.track,
      message: `holds the same recording as ${original.track}; it is counted once, under that name`,
    })
    return false
  })
}

function isCopy(a: Pick<Run, 'drive'>, b: Pick<Run, 'drive'>): boolean {
  const x = a.drive.fixes
  const y = b.drive.fixes
  if (a.drive.fixCount !== b.drive.fixCount || x.time[0] !== y.time[0]) return false
  for (let i = 0; i < x.time.length; i++) {
    if (x.time[i] !== y.time[i] || x.latitude[i] !== y.latitude[i] || x.longitude[i] !== y.longitude[i]) return false
  }
  return true
}

/**
 * Names that Windows gives to devices, with any ending too; files are called after drives.
 * @source Microsoft, "Naming Files, Paths, and Namespaces"
 */
const DEVICE = /^(?:con|prn|aux|nul|com\d|lpt\d)$/

/** Stable names from file names: lower case letters, digits and '-'; made unique by the folder, then by a number. */
export function slugsOf(tracks: string[]): string[] {
  const slug = (text: string): string =>
    text
      .normalize('NFKD')
      .replace(/[\u0300-\u036f]/g, '')
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-+|-+$/g, '')
      .replace(DEVICE, 'run-$&') || 'run'
  const withoutExtension = (path: string): string =>
    path.replace(/(\.gpx|\.kml|\.xml)?(\.gz)?(#\d+)?$/i, (_, _e, _z, n) => n ?? '')
  const short = tracks.map((t) => slug(withoutExtension(t.slice(t.lastIndexOf('/') + 1))))
  const long = tracks.map((t) => slug(withoutExtension(t)))
  const chosen = tracks.map((_, i) => (short.indexOf(short[i]) === short.lastIndexOf(short[i]) ? short[i] : long[i]))
  const taken = new Set<string>()
  return chosen.map((base) => {
    let name = base
    for (let n = 2; taken.has(name); n++) name = `${base}-${n}`
    taken.add(name)
    return name
  })
}

/** Gives each run its row of runs.csv; rows and runs that find no partner are named. */
function assignRows(runs: Run[], rows: RunRow[], runsFile: string | null, problems: Problem[]): void {
  if (runsFile === null) return
  const lost: Problem[] = []
  for (const row of rows) {
    const matching = namedBy(row.track, runs)
    const free = matching.filter((run) => run.row === null)
    if (matching.length === 1 && free.length === 1) {
      free[0].row = row
      continue
    }
    lost.push({
      severity: 'error',
      line: row.line,
      ...(matching.length === 0
        ? { code: 'row-without-track', message: `"${row.track.slice(0, 100)}" names no track that was read as a run` }
        : matching.length > 1
          ? {
              code: 'row-ambiguous',
              message: `"${row.track}" may be ${matching.map((r) => r.track).join(' or ')}`,
              hint: 'write the folder before the file name, or #n after it',
            }
          : { code: 'row-repeated', message: `"${row.track}" already has a row, at line ${matching[0].row?.line}` }),
    })
  }
  for (const problem of firstOfEach(lost, MOST_OF_A_KIND)) problems.push({ ...problem, file: runsFile })
  const rowless = runs.filter((run) => run.row === null).map((run) => run.track)
  if (rowless.length > 0) {
    problems.push({
      code: 'track-without-row',
      severity: 'note',
      file: runsFile,
      message: `${rowless.length} of ${runs.length} runs have no row here: ${rowless.slice(0, 5).join(', ')}${rowless.length > 5 ? ', …' : ''}`,
    })
  }
}

const normalised = (name: string): string => name.replaceAll('\\', '/').replace(/^\.\//, '').toLowerCase()

/** The runs that a row may mean: that of the path as it is written, or else in any case, or else by its file name. */
function namedBy(name: string, runs: Run[]): Run[] {
  const wanted = normalised(name)
  const ways: ((track: string) => boolean)[] = [
    (track) => track === name,
    (track) => normalised(track) === wanted,
    (track) => names(track).includes(wanted),
  ]
  const matches = ways.map((way) => runs.filter(({ track }) => way(track)))
  return matches.find((found) => found.length > 0) ?? []
}

/** The names by which a row may call a track: path or file name, with or without its extension. */
function names(track: string): string[] {
  const full = normalised(track)
  const [path, number = ''] = full.split(/(?=#\d+$)/)
  const file = path.slice(path.lastIndexOf('/') + 1)
  const bare = (p: string): string => p.replace(/\.[a-z]+(\.gz)?$/, '')
  return [path, file, bare(path), bare(file)].map((p) => p + number)
}
