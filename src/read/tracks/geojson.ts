import { failed, found, type Outcome, type Problem } from '../../base/problem.ts'
import { ownText } from '../gpx/values.ts'
import { parseInstant } from '../instant.ts'
import type { LoggedColumns, LoggedQuantity, TrackColumns, TrackFile } from '../types.ts'
import { LOGGED_QUANTITIES } from '../types.ts'
import { epochSeconds } from './csv-log/clock.ts'
import { logColumn } from './csv-log/columns.ts'
import { trackReader } from './reader.ts'

/** Longest text that is read, characters: its tree takes some twenty times that in bytes. */
const MOST_TEXT = 32e6

interface Row {
  time: number
  position: number[]
  logged: Partial<Record<LoggedQuantity, number>>
}

interface Found {
  tracks: { name: string | null; segments: Row[][] }[]
  points: Row[]
  names: Map<LoggedQuantity, string>
  zoneless: number
  unreadableTimes: { count: number; sample: string }
  untimedLines: number
}

/**
 * Reads GeoJSON with times: lines whose times stand in `coordinateProperties.times` or `coordTimes`, one for each position,
 * and points with a property of time, which together are one recording. Properties of points named with a unit
 * (`speed_kmh`) are logged quantities.
 * @param text the decoded file
 * @source RFC 7946; times of lines as togeojson writes them
 */
export function readGeojson(text: string): Outcome<TrackFile> {
  if (text.length > MOST_TEXT) {
    const found = `${Math.round(text.length / 1e6)} million characters`
    const message = `found ${found}, expected at most ${MOST_TEXT / 1e6} million in a GeoJSON file`
    return failed({ code: 'file-too-large', message, hint: 'Export the tracks as GPX, which is read in a stream.' })
  }
  const parsed = parsedJson(text)
  if ('problem' in parsed) return failed(parsed.problem)
  const all: Found = {
    tracks: [],
    points: [],
    names: new Map(),
    zoneless: 0,
    unreadableTimes: { count: 0, sample: '' },
    untimedLines: 0,
  }
  for (const feature of featuresOf(parsed.value)) takeFeature(feature, all)
  if (all.points.length > 0) all.tracks.push({ name: null, segments: [all.points] })
  const tracks = all.tracks.map(({ name, segments }, i) => trackOf(name, i + 1, segments, all))
  const file: TrackFile = { format: 'geojson', version: null, creator: null, tracks, waypoints: [], routeCount: 0 }
  return found(file, problemsOf(all, tracks))
}

type Unknown = Record<string, unknown>
const isObject = (value: unknown): value is Unknown =>
  typeof value === 'object' && value !== null && !Array.isArray(value)

function parsedJson(text: string): { value: unknown } | { problem: Omit<Problem, 'severity'> } {
  try {
    return { value: JSON.parse(text) }
  } catch (error) {
    const reason = error instanceof Error ? ownText(error.message.slice(0, 120)) : 'unknown'
    const at = Number(/position (\d+)/.exec(reason)?.[1] ?? Number.NaN)
    const line = Number.isNaN(at) ? {} : { line: text.slice(0, at).split('\n').length }
    const message = `this GeoJSON is cut off or damaged (${reason}), expected a whole JSON document`
    return { problem: { code: 'json-unreadable', message, ...line, hint: 'Export or copy the file again.' } }
  }
}

function featuresOf(value: unknown): Unknown[] {
  if (!isObject(value)) return []
  if (Array.isArray(value.features)) return value.features.filter(isObject)
  return value.type === 'Feature' ? [value] : []
}

function takeFeature(feature: Unknown, all: Found): void {
  const properties = isObject(feature.properties) ? feature.properties : {}
  const geometry = isObject(feature.geometry) ? feature.geometry : {}
  const { type, coordinates } = geometry
  if (!Array.isArray(coordinates)) return
  if (type === 'Point') {
    takePoint(coordinates, properties, all)
    return
  }
  const lines =
    type === 'LineString' ? [coordinates] : type === 'MultiLineString' ? coordinates.filter(Array.isArray) : []
  if (lines.length === 0) return
  const inner = isObject(properties.coordinateProperties) ? properties.coordinateProperties : {}
  const times = inner.times ?? properties.coordTimes
  const lists: unknown[] = Array.isArray(times) ? (Array.isArray(times[0]) ? times : [times]) : []
  if (lists.length === 0) all.untimedLines++
  const segments = lines.map((line, i) => {
    const own = lists[i]
    const fits = Array.isArray(own) && own.length === line.length
    return line.map(
      (position: unknown, k: number): Row => ({
        time: fits ? timeOf(own[k], all) : Number.NaN,
        position: numbers(position),
        logged: {},
      }),
    )
  })
  const { name } = properties
  all.tracks.push({ name: typeof name === 'string' ? ownText(name.trim().slice(0, 200)) || null : null, segments })
}

/** Names of a point's time, the surest first. */
const TIMES = ['time', 'timestamp', 'datetime', 'date_time', 'date', 'epoch', 'when']

function takePoint(coordinates: unknown[], properties: Unknown, all: Found): void {
  const key = TIMES.find((name) => properties[name] !== undefined && properties[name] !== null)
  // A point without a time is a marked place.
  if (key === undefined) return
  const logged: Row['logged'] = {}
  for (const [name, value] of Object.entries(properties)) {
    const number = typeof value === 'string' && value.trim() !== '' ? Number(value) : value
    if (typeof number !== 'number' || !Number.isFinite(number)) continue
    const column = logColumn(name, 0)
    if (!column?.convert || !isLogged(column.field)) continue
    logged[column.field] = column.convert(number)
    if (!all.names.has(column.field)) all.names.set(column.field, ownText(name))
  }
  all.points.push({ time: timeOf(properties[key], all), position: numbers(coordinates), logged })
}

const isLogged = (field: string): field is LoggedQuantity => (LOGGED_QUANTITIES as readonly string[]).includes(field)

const numbers = (position: unknown): number[] =>
  Array.isArray(position) ? position.map((value) => (typeof value === 'number' ? value : Number.NaN)) : []

function timeOf(value: unknown, all: Found): number {
  if (typeof value === 'number') return epochSeconds(value)
  if (value === null || value === undefined) return Number.NaN
  const { seconds, zoneless } = parseInstant(String(value))
  if (zoneless) all.zoneless++
  if (Number.isNaN(seconds) && all.unreadableTimes.count++ === 0) {
    all.unreadableTimes.sample = ownText(String(value).slice(0, 40))
  }
  return seconds
}

function trackOf(name: string | null, index: number, segments: Row[][], { names, zoneless }: Found): TrackColumns {
  const rows = segments.flat()
  const column = (of: (row: Row) => number | undefined): Float64Array =>
    Float64Array.from(rows, (row) => of(row) ?? Number.NaN)
  const logged: LoggedColumns = {}
  for (const [quantity, called] of names) {
    const values = column((row) => row.logged[quantity])
    if (values.some((value) => !Number.isNaN(value))) logged[quantity] = { values, name: called }
  }
  const starts: number[] = []
  for (let i = 0, row = 0; i < segments.length; row += segments[i++].length)
    if (segments[i].length > 0) starts.push(row)
  return {
    name,
    index,
    time: column((row) => row.time),
    latitude: column(({ position }) => position[1]),
    longitude: column(({ position }) => position[0]),
    elevation: column(({ position }) => position[2]),
    logged,
    segmentStart: Uint32Array.from(starts),
    zonelessTimes: zoneless,
  }
}

function problemsOf({ zoneless, unreadableTimes, untimedLines }: Found, tracks: TrackColumns[]): Problem[] {
  const warning = (code: string, message: string, hint?: string): Problem => ({
    code,
    severity: 'warning',
    message,
    ...(hint && { hint }),
  })
  const { count, sample } = unreadableTimes
  return [
    ...(tracks.length > 0
      ? []
      : [
          warning(
            'no-tracks',
            'the file holds no line and no point with a time',
            'Export the recorded track with its times.',
          ),
        ]),
    ...(count > 0
      ? [
          warning(
            'time-unreadable',
            `${count} times cannot be read, taken as not recorded; the first is "${sample}", expected a form like 2024-05-31T14:03:07Z`,
          ),
        ]
      : []),
    ...(zoneless > 0 ? [warning('time-without-zone', `${zoneless} times name no zone, read as UTC`)] : []),
    ...(untimedLines > 0
      ? [
          warning(
            'time-missing',
            `${untimedLines} ${untimedLines === 1 ? 'line has' : 'lines have'} no times in coordinateProperties.times or coordTimes`,
          ),
        ]
      : []),
  ]
}

export const geojsonReader = trackReader({
  kind: 'geojson',
  recognises: ({ head }) => /^\{/.test(head) && /"type"\s*:\s*"(?:FeatureCollection|Feature)"/.test(head),
  read: readGeojson,
  format: {
    name: 'GeoJSON',
    holds:
      'lines with a time for each position (`coordinateProperties.times`, `coordTimes`), or points with a `time` each, which together are one recording; their properties named with a unit (`speed_kmh`) go with it.',
  },
})
