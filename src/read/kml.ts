import type { Outcome, Problem } from '../base/problem.ts'
import { failed, found } from '../base/problem.ts'
import { ownText } from './gpx/values.ts'
import { parseInstant } from './instant.ts'
import { firstOfEach } from './many.ts'
import { localName, prologOf } from './prolog.ts'
import type { TrackColumns, TrackFile, Waypoint } from './types.ts'
import { type Feature, featuresOf } from './xml-dom.ts'

/** Longest text that is turned into a document tree, in characters; the tree takes a hundred times that in bytes. */
const MEBIBYTE = 1024 * 1024
const MOST_TEXT = 3 * MEBIBYTE

/** One line of a placemark: a `<gx:Track>`, a `<LineString>`. Positions are longitude, latitude, elevation. */
interface Line {
  positions: number[][]
  /** As long as `positions`, or null where there are no times. */
  times: string[] | null
}

/**
 * Reads the tracks (`gx:Track`, `gx:MultiTrack`, KML 2.3 `Track`) and lines of a KML file, one per placemark, by
 * togeojson with xmldom. Lines without times have NaN times. An elevation that is 0 at every point is not recorded.
 * @param text the decoded file
 * @source OGC 12-007r2, KML 2.3; OGC KML 2.2 with the "gx" extension
 */
export function readKml(text: string): Outcome<TrackFile> {
  if (text.length > MOST_TEXT) return failed(tooLarge(text.length))
  const { root } = prologOf(text)
  if (root !== null && localName(root) !== 'kml') {
    return failed({ code: 'not-kml', message: `the root element is <${root}>, expected <kml>` })
  }
  const features = featuresOf(prepared(text, root), 'kml')
  if (features.value === null) return { value: null, problems: features.problems }
  const problems = [...features.problems]
  const tracks: TrackColumns[] = []
  for (const feature of features.value) {
    const lines = linesOf(feature, problems)
    if (lines.length > 0) tracks.push(trackOf(lines, nameOf(feature), tracks.length + 1, problems))
  }
  const waypoints = features.value.flatMap(waypointOf)
  const file: TrackFile = {
    format: 'kml',
    version: /\/kml\/(\d+\.\d+)["']/.exec(text)?.[1] ?? null,
    creator: null,
    tracks,
    waypoints,
    routeCount: 0,
  }
  return found(file, [...firstOfEach(problems), ...fileProblems(file)])
}

const tooLarge = (characters: number) => ({
  code: 'file-too-large',
  message: `the KML file has ${Math.round(characters / MEBIBYTE)} million characters, the most that can be read is ${MOST_TEXT / MEBIBYTE}`,
  hint: 'Export the tracks as GPX, which is read in a stream.',
})

/**
 * Mends what togeojson does not read: elements with a prefix for KML itself, and coordinates of a track that are
 * separated by more than one blank.
 */
function prepared(text: string, root: string | null): string {
  const prefix = root === null ? '' : root.slice(0, root.indexOf(':') + 1)
  const plain = prefix === '' ? text : text.replaceAll(`<${prefix}`, '<').replaceAll(`</${prefix}`, '</')
  return plain.replace(
    /(<(?:gx:)?coord>)([^<]*)/g,
    (_, tag, coordinates) => tag + coordinates.trim().replace(/\s+/g, ' '),
  )
}

/** The lines of a placemark with their times, which togeojson keeps in a list of their own. */
function linesOf(feature: Feature, problems: Problem[]): Line[] {
  const times = timeLists(feature)
  const positions = lineGeometries(feature, times.length > 0)
  const lines: Line[] = []
  let next = 0
  for (const line of positions) {
    // A line without times has no entry among the times, so the lists are matched by length, in order.
    const isTimed = next < times.length && times[next].length === line.length
    lines.push({ positions: line, times: isTimed ? times[next++] : null })
  }
  if (next < times.length) problems.push(unmatchedTimes(feature, times.length - next))
  return lines
}

function unmatchedTimes(feature: Feature, count: number): Problem {
  const which = nameOf(feature) === null ? 'a track' : `the track "${nameOf(feature)?.slice(0, 100)}"`
  const what = count === 1 ? 'a list of times' : `${count} lists of times`
  const message = `${which} has ${what} that is not as long as its list of coordinates; these times are not used`
  return { code: 'kml-times-mismatch', severity: 'warning', message }
}

function timeLists(feature: Feature): string[][] {
  const times: unknown = feature.properties?.coordinateProperties?.times
  if (!Array.isArray(times)) return []
  return Array.isArray(times[0]) ? times : [times]
}

/** A track of a single position comes as a point, and is one where times say so. */
function lineGeometries({ geometry }: Feature, isTimed: boolean): number[][][] {
  const parts = geometry?.type === 'GeometryCollection' ? geometry.geometries : [geometry]
  return parts.flatMap((part) => {
    if (part?.type === 'LineString') return [part.coordinates]
    return part?.type === 'Point' && isTimed ? [[part.coordinates]] : []
  })
}

function trackOf(lines: Line[], name: string | null, index: number, problems: Problem[]): TrackColumns {
  const positions = lines.flatMap((line) => line.positions)
  const written = lines.flatMap((line) => line.times ?? line.positions.map(() => ''))
  const instants = written.map((time) => parseInstant(time))
  const starts: number[] = []
  for (let i = 0, row = 0; i < lines.length; row += lines[i++].positions.length) starts.push(row)
  const column = (place: number) => Float64Array.from(positions, (position) => position[place] ?? Number.NaN)
  const elevation = column(2)
  if (elevation.every((metres) => metres === 0)) elevation.fill(Number.NaN)
  const unreadable = instants.findIndex(({ seconds }, i) => Number.isNaN(seconds) && written[i].trim() !== '')
  if (unreadable >= 0) problems.push(unreadableTime(written[unreadable]))
  return {
    name,
    index,
    time: Float64Array.from(instants, ({ seconds }) => seconds),
    latitude: column(1),
    longitude: column(0),
    elevation,
    logged: {},
    segmentStart: Uint32Array.from(starts),
    zonelessTimes: instants.filter(({ zoneless }) => zoneless).length,
  }
}

const unreadableTime = (time: string): Problem => ({
  code: 'time-unreadable',
  severity: 'warning',
  message: `unreadable times are taken as not recorded; the first is "${time.trim().slice(0, 40)}", expected a form like 2024-05-31T14:03:07Z`,
})

function nameOf(feature: Feature): string | null {
  const name: unknown = feature.properties?.name
  return typeof name === 'string' ? ownText(name.trim()) || null : null
}

function waypointOf(feature: Feature): Waypoint[] {
  if (feature.geometry?.type !== 'Point' || timeLists(feature).length > 0) return []
  const [longitude, latitude, elevation = Number.NaN] = feature.geometry.coordinates
  const { timestamp } = feature.properties ?? {}
  const time = typeof timestamp === 'string' ? parseInstant(timestamp).seconds : Number.NaN
  return [{ name: nameOf(feature), latitude, longitude, elevation, time }]
}

function fileProblems(file: TrackFile): Problem[] {
  const points = file.tracks.reduce((sum, track) => sum + track.time.length, 0)
  if (points === 0) {
    const message = `the file holds no tracks and no lines; it has ${file.waypoints.length} marked places`
    return [{ code: 'no-tracks', severity: 'warning', message, hint: 'Export the recorded track with its times.' }]
  }
  const untimed = file.tracks.reduce((sum, { time }) => sum + time.filter(Number.isNaN).length, 0)
  const zoneless = file.tracks.reduce((sum, track) => sum + track.zonelessTimes, 0)
  const problem = (code: string, count: number, what: string): Problem[] =>
    count === 0 ? [] : [{ code, severity: 'warning', message: `${count} of ${points} points ${what}` }]
  return [
    ...problem('time-missing', untimed, 'without a time'),
    ...problem('time-without-zone', zoneless, 'with a time that names no zone, read as UTC'),
  ]
}
