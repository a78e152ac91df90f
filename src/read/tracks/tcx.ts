import { SaxesParser, type SaxesTagPlain } from 'saxes'
import { failed, found, type Outcome, type Problem } from '../../base/problem.ts'
import { decimal, noTally, ownText, type Tally, tally, tallyProblem } from '../gpx/values.ts'
import { parseInstant } from '../instant.ts'
import { localName } from '../prolog.ts'
import type { LoggedColumns, TrackColumns, TrackFile } from '../types.ts'
import { doctypeRefused } from '../xml-dom.ts'
import { type GrowingValues, growing, pushed, trimmed } from './growing.ts'
import { trackReader } from './reader.ts'

const CHUNK = 65_536
const MOST_DEPTH = 1000

/** The elements of a track point that are read, by the path from the point. */
const LEAVES: Record<string, keyof Point> = {
  Time: 'time',
  'Position/LatitudeDegrees': 'latitude',
  'Position/LongitudeDegrees': 'longitude',
  AltitudeMeters: 'elevation',
  DistanceMeters: 'distance',
  'Extensions/TPX/Speed': 'speed',
  'Extensions/TPX/Watts': 'power',
}

interface Point {
  time: number
  latitude: number
  longitude: number
  elevation: number
  distance: number
  speed: number
  power: number
}

const NO_POINT: Point = {
  time: Number.NaN,
  latitude: Number.NaN,
  longitude: Number.NaN,
  elevation: Number.NaN,
  distance: Number.NaN,
  speed: Number.NaN,
  power: Number.NaN,
}
type Columns = Record<keyof Point, GrowingValues>

interface Scan {
  path: string[]
  text: string
  point: Point
  columns: Columns
  segments: number[]
  name: string | null
  zoneless: number
  tracks: TrackColumns[]
  activities: number
  courses: number
  unreadable: Tally
  refused: Omit<Problem, 'severity'> | null
  broken: { line: number; column: number; reason: string } | null
}

/**
 * Reads the activities of a TCX file, each as one recording; its laps and tracks are segments. Courses are planned, and
 * are not read. A file that is cut off gives the points before the place.
 * @param text the decoded file
 * @source Training Center Database schema v2 and Activity Extension v2 (public XSDs)
 */
export function readTcx(text: string): Outcome<TrackFile> {
  const parser = new SaxesParser()
  const scan: Scan = {
    path: [],
    text: '',
    point: { ...NO_POINT },
    columns: noColumns(),
    segments: [],
    name: null,
    zoneless: 0,
    tracks: [],
    activities: 0,
    courses: 0,
    unreadable: noTally(),
    refused: null,
    broken: null,
  }
  const live = (): boolean => scan.broken === null && scan.refused === null
  parser.fail = (message) => {
    if (live()) scan.broken = { line: parser.line, column: parser.column, reason: ownText(message.replace(/\.$/, '')) }
    return parser
  }
  parser.on('doctype', () => {
    if (live()) scan.refused = { ...doctypeRefused, line: parser.line }
  })
  parser.on('opentag', (tag) => live() && open(scan, tag))
  parser.on('text', (piece) => {
    if (scan.path.length > 0) scan.text += piece
  })
  parser.on('closetag', () => live() && close(scan, parser.line))
  for (let at = 0; at < text.length && live(); at += CHUNK) parser.write(text.slice(at, at + CHUNK))
  if (live()) parser.close()
  if (scan.refused) return failed(scan.refused)
  endActivity(scan)
  return outcomeOf(scan)
}

const noColumns = (): Columns => ({
  time: growing(),
  latitude: growing(),
  longitude: growing(),
  elevation: growing(),
  distance: growing(),
  speed: growing(),
  power: growing(),
})

function open(scan: Scan, tag: SaxesTagPlain): void {
  const name = localName(tag.name)
  if (scan.path.length >= MOST_DEPTH) {
    scan.refused = { code: 'xml-too-deep', message: `its elements are nested more than ${MOST_DEPTH} deep` }
    return
  }
  scan.path.push(name)
  scan.text = ''
  const within = scan.path[1]
  if (name === 'Course' && within === 'Courses') scan.courses++
  if (within !== 'Activities') return
  if (name === 'Activity' && scan.path.length === 3) {
    scan.activities++
    scan.name = tag.attributes.Sport === undefined ? null : ownText(tag.attributes.Sport.slice(0, 100))
  }
  if (name === 'Track') scan.segments.push(scan.columns.time.count)
  if (name === 'Trackpoint') scan.point = { ...NO_POINT }
}

function close(scan: Scan, line: number): void {
  const { path } = scan
  const point = path.lastIndexOf('Trackpoint')
  if (path[1] === 'Activities' && point >= 0) {
    const leaf = LEAVES[path.slice(point + 1).join('/')]
    if (leaf !== undefined) scan.point[leaf] = leafValue(scan, leaf, line)
    else if (point === path.length - 1) {
      for (const key of Object.keys(scan.columns) as (keyof Point)[]) pushed(scan.columns[key], scan.point[key])
    }
  }
  if (path.length === 3 && path[2] === 'Activity') endActivity(scan)
  path.pop()
  scan.text = ''
}

function leafValue(scan: Scan, leaf: keyof Point, line: number): number {
  const written = scan.text.trim()
  if (leaf !== 'time') {
    const value = decimal(written)
    if (Number.isNaN(value)) tally(scan.unreadable, line, written)
    return value
  }
  const { seconds, zoneless } = parseInstant(written)
  if (Number.isNaN(seconds)) tally(scan.unreadable, line, written)
  else if (zoneless) scan.zoneless++
  return seconds
}

function endActivity(scan: Scan): void {
  const { columns, segments, name, zoneless } = scan
  const count = columns.time.count
  if (count > 0) {
    const logged: LoggedColumns = {}
    const add = (quantity: keyof LoggedColumns, values: Float64Array, called: string): void => {
      if (values.some((value) => !Number.isNaN(value))) logged[quantity] = { values, name: called }
    }
    add('speedMps', trimmed(columns.speed), 'Speed')
    add('powerW', trimmed(columns.power), 'Watts')
    add('odometerM', trimmed(columns.distance), 'DistanceMeters')
    scan.tracks.push({
      name,
      index: scan.tracks.length + 1,
      time: trimmed(columns.time),
      latitude: trimmed(columns.latitude),
      longitude: trimmed(columns.longitude),
      elevation: trimmed(columns.elevation),
      logged,
      segmentStart: Uint32Array.from(new Set(segments.filter((row) => row < count))),
      zonelessTimes: zoneless,
    })
  }
  scan.columns = noColumns()
  scan.segments = []
  scan.zoneless = 0
}

function outcomeOf(scan: Scan): Outcome<TrackFile> {
  const { tracks, broken, unreadable, courses } = scan
  const points = tracks.reduce((sum, { time }) => sum + time.length, 0)
  if (broken && points < 2) {
    const message = `the file is not well-formed XML (${broken.reason}), and no track of two points or more stands before that place`
    return failed({ code: 'xml-not-well-formed', message, line: broken.line, column: broken.column })
  }
  const problems: Problem[] = []
  if (broken) {
    const message = `the file is damaged or cut off here (${broken.reason}); what was read before is kept: ${points} points`
    problems.push({
      code: 'xml-not-well-formed',
      severity: 'warning',
      message,
      line: broken.line,
      column: broken.column,
    })
  }
  problems.push(
    ...tallyProblem(unreadable, 'tcx-value-unreadable', 'warning', ({ count, sample }) => {
      return `${count} values of track points cannot be read, taken as not recorded; the first is "${sample}", expected a decimal number or a time like 2024-05-31T14:03:07Z`
    }),
  )
  const zoneless = tracks.reduce((sum, track) => sum + track.zonelessTimes, 0)
  if (zoneless > 0) {
    const message = `${zoneless} of ${points} points with a time that names no zone, read as UTC`
    problems.push({ code: 'time-without-zone', severity: 'warning', message })
  }
  if (tracks.length === 0) {
    const message = `the file holds no track points of an activity; it has ${courses} planned course${courses === 1 ? '' : 's'}`
    problems.push({ code: 'no-tracks', severity: 'warning', message, hint: 'Export the recorded activity.' })
  }
  const file: TrackFile = { format: 'tcx', version: null, creator: null, tracks, waypoints: [], routeCount: courses }
  return found(file, problems)
}

export const tcxReader = trackReader({
  kind: 'tcx',
  recognises: ({ root }) => root === 'TrainingCenterDatabase',
  read: readTcx,
  format: {
    name: 'TCX',
    holds:
      'recorded activities, each a recording, with speed, distance and power where they are written. Courses are planned and not read.',
  },
})
