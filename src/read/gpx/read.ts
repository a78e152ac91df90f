import type { Outcome, Problem } from '../../base/problem.ts'
import { failed, found } from '../../base/problem.ts'
import { localName } from '../prolog.ts'
import type { TrackFile } from '../types.ts'
import { doctypeRefused } from '../xml-dom.ts'
import type { GpxScan } from './cursor.ts'
import { scanGpx } from './scan.ts'
import { type Tally, tallyProblem } from './values.ts'
import { readWaypoints } from './waypoints.ts'

/**
 * Reads a GPX file (1.0, 1.1 or unmarked, any prefix) into one set of columns per `<trk>`, rows in the file's order and
 * nothing repaired but decimal commas. What is missing or unreadable is NaN and counted. A file that is cut off or
 * damaged gives the points before the damage, as long as they hold a track of two points or more.
 * @param text the decoded file
 * @source GPX 1.0 and 1.1 schemas, https://www.topografix.com/GPX/1/1/
 */
export function readGpx(text: string): Outcome<TrackFile> {
  const scan = scanGpx(text)
  const refusal = refusalOf(scan)
  if (refusal !== null) return failed(refusal)
  const waypoints = readWaypoints(scan)
  const file: TrackFile = {
    format: 'gpx',
    version: scan.version,
    creator: scan.creator,
    tracks: scan.tracks,
    waypoints: waypoints.value ?? [],
    routeCount: scan.routeCount,
  }
  return found(file, [...damage(scan), ...emptiness(scan), ...pointProblems(scan), ...waypoints.problems])
}

/** Why nothing of this file can be used, if so. */
function refusalOf(scan: GpxScan): Omit<Problem, 'severity'> | null {
  const root = scan.root === null ? null : localName(scan.root)
  if (/^html\b/i.test(scan.doctype?.name ?? root ?? '')) {
    const hint = 'A download that needs a login often saves a page like this: fetch the file again.'
    return { code: 'html-page', message: 'this is a web page (HTML), expected a GPX file', hint }
  }
  if (scan.doctype !== null) return { ...doctypeRefused, line: scan.doctype.line }
  if (root !== null && root !== 'gpx') {
    return { code: 'not-gpx', message: `the root element is <${scan.root}>, expected <gpx>` }
  }
  const usable = scan.tracks.some(({ time }) => time.length >= 2)
  if (scan.broken === null || usable) return null
  const { code, line, column, reason } = scan.broken
  const message = `the file is not well-formed XML (${reason}), and no track of two points or more stands before that place`
  return { code, message, line, column }
}

function damage(scan: GpxScan): Problem[] {
  const problems = tallyProblem(scan.tolerated, 'xml-fault-passed-over', 'warning', ({ count, sample }) => {
    const more = count === 1 ? '' : ` and ${count - 1} more of this kind`
    return `the file is not strictly well-formed XML (${sample})${more}; it could be read all the same`
  })
  if (scan.broken === null) return problems
  const { code, line, column, reason } = scan.broken
  const saved = `${plural(scan.points, 'point')} in ${plural(scan.tracks.length, 'track')}`
  const message = `the file is damaged or cut off here (${reason}); what was read before is kept: ${saved}`
  return [...problems, { code, severity: 'warning', message, line, column }]
}

function emptiness(scan: GpxScan): Problem[] {
  const empty = scan.trackCount - scan.tracks.length
  if (scan.tracks.length > 0) {
    const message = `${plural(empty, 'track')} without points ${empty === 1 ? 'is' : 'are'} left out`
    return empty === 0 ? [] : [{ code: 'track-empty', severity: 'note', message }]
  }
  const has = [
    empty > 0 ? `${plural(empty, 'track')} without points` : '',
    scan.waypointCount > 0 ? plural(scan.waypointCount, 'waypoint') : '',
    scan.routeCount > 0 ? plural(scan.routeCount, 'route') : '',
  ].filter((text) => text !== '')
  const message = `the file holds no track points; it has ${has.join(' and ') || 'nothing that could be used'}`
  const hint = 'Export the recorded track, not the planned route or the marked places.'
  return [{ code: 'no-tracks', severity: 'warning', message, hint }]
}

function pointProblems(scan: GpxScan): Problem[] {
  const { unreadable, missing } = scan
  const first = ({ sample }: Tally) => `the first is ${sample.startsWith('lat=') ? sample : `"${sample}"`}`
  const of = ({ count }: Tally) => `${count} of ${plural(scan.points, 'point')}`
  return [
    ...tallyProblem(unreadable.position, 'position-unreadable', 'warning', (t) => {
      return `${of(t)} without a readable position; ${first(t)}, expected decimal degrees`
    }),
    ...tallyProblem(scan.decimalCommas, 'decimal-comma', 'warning', (t) => {
      return `${of(t)} with a decimal comma in the position, read as a decimal point; ${first(t)}`
    }),
    ...tallyProblem(unreadable.elevation, 'elevation-unreadable', 'warning', (t) => {
      return `${of(t)} with an elevation that is no number, taken as not recorded; ${first(t)}`
    }),
    ...tallyProblem(unreadable.time, 'time-unreadable', 'warning', (t) => {
      return `${of(t)} with an unreadable time, taken as not recorded; ${first(t)}, expected a form like 2024-05-31T14:03:07Z`
    }),
    ...tallyProblem(missing.time, 'time-missing', 'warning', (t) => `${of(t)} without a time`),
    ...tallyProblem(missing.elevation, 'elevation-missing', 'note', (t) => `${of(t)} without an elevation`),
    ...zonelessProblem(scan),
  ]
}

function zonelessProblem(scan: GpxScan): Problem[] {
  const zoneless = scan.tracks.reduce((sum, track) => sum + track.zonelessTimes, 0)
  if (zoneless === 0) return []
  const message = `${zoneless} of ${plural(scan.points, 'point')} with a time that names no zone, read as UTC`
  return [{ code: 'time-without-zone', severity: 'warning', message }]
}

const plural = (count: number, noun: string): string => `${count} ${noun}${count === 1 ? '' : 's'}`
