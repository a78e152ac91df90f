import type { TrackColumns } from '../types.ts'

/** Columns that grow while a track is read: one buffer per quantity, doubled when full; no object per point. */
export interface GrowingColumns {
  count: number
  time: Float64Array
  latitude: Float64Array
  longitude: Float64Array
  elevation: Float64Array
  /** Speed over ground, m/s; null as long as no point has one. */
  speed: Float64Array | null
  segmentStart: number[]
  zonelessTimes: number
}

export function emptyColumns(): GrowingColumns {
  const column = () => new Float64Array(256)
  return {
    count: 0,
    time: column(),
    latitude: column(),
    longitude: column(),
    elevation: column(),
    speed: null,
    segmentStart: [],
    zonelessTimes: 0,
  }
}

/** Appends one row; degrees, metres, seconds since 1970, NaN for "not recorded". */
export function addPoint(
  columns: GrowingColumns,
  latitude: number,
  longitude: number,
  elevation: number,
  time: number,
  speed = Number.NaN,
): void {
  if (columns.count === columns.time.length) {
    columns.time = doubled(columns.time)
    columns.latitude = doubled(columns.latitude)
    columns.longitude = doubled(columns.longitude)
    columns.elevation = doubled(columns.elevation)
    if (columns.speed) columns.speed = doubled(columns.speed)
  }
  const row = columns.count++
  columns.time[row] = time
  columns.latitude[row] = latitude
  columns.longitude[row] = longitude
  columns.elevation[row] = elevation
  if (!Number.isNaN(speed)) columns.speed ??= new Float64Array(columns.time.length).fill(Number.NaN)
  if (columns.speed) columns.speed[row] = speed
}

/** Begins a segment at the next row; a segment that stays empty is forgotten. */
export function beginSegment(columns: GrowingColumns): void {
  if (columns.segmentStart.at(-1) !== columns.count) columns.segmentStart.push(columns.count)
}

/** The finished track, its columns cut to length. */
export function finishedTrack(columns: GrowingColumns, name: string | null, index: number): TrackColumns {
  const { count } = columns
  return {
    name,
    index,
    time: columns.time.slice(0, count),
    latitude: columns.latitude.slice(0, count),
    longitude: columns.longitude.slice(0, count),
    elevation: columns.elevation.slice(0, count),
    logged: columns.speed ? { speedMps: { values: columns.speed.slice(0, count), name: 'speed' } } : {},
    segmentStart: Uint32Array.from(columns.segmentStart.filter((row) => row < count)),
    zonelessTimes: columns.zonelessTimes,
  }
}

function doubled(column: Float64Array): Float64Array {
  const larger = new Float64Array(column.length * 2)
  larger.set(column)
  return larger
}
