import { gzipSync } from 'node:zlib'

/** A bad input: made in code, so that the repository stays small. */
export interface BadInput {
  what: string
  /** Name under which it lies in the folder. */
  path: string
  make: () => string | Uint8Array
  /** Code of the problem expected at this file; null where it must be read without an error. */
  code: string | null
  /** Whether a run must, or must not, come of it; left out where that is not the question. */
  run?: boolean
}

/** A point as written, so that any of it can be spoilt. */
export interface WrittenPoint {
  lat: string
  lon: string
  ele: string
  time: string
}

export const START = Date.parse('2024-05-03T08:30:00Z')
const METRES_PER_DEGREE = 111_250

/** A drive north at 25 m/s with a fix each second: sound, until something is done to it. */
export function drive(count = 120, edit: (point: WrittenPoint, i: number) => Partial<WrittenPoint> = () => ({})) {
  return Array.from({ length: count }, (_, i) => {
    const point = {
      lat: (52 + (i * 25) / METRES_PER_DEGREE).toFixed(7),
      lon: '5',
      ele: '3',
      time: new Date(START + i * 1000).toISOString(),
    }
    return { ...point, ...edit(point, i) }
  })
}

export const HEAD = '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'

export const pointText = ({ lat, lon, ele, time }: WrittenPoint): string =>
  `<trkpt lat="${lat}" lon="${lon}"><ele>${ele}</ele><time>${time}</time></trkpt>`

/** Points as a GPX file of one track. */
export const gpx = (points: WrittenPoint[], head = HEAD, write = pointText): string =>
  `${head}<trk><trkseg>${points.map(write).join('\n')}</trkseg></trk></gpx>`

/** A sound file whose text is changed. */
export const changed = (edit: (text: string) => string, points = drive()): string => edit(gpx(points))

/** A sound drive whose points are spoilt. */
export const spoilt = (edit: (point: WrittenPoint, i: number) => Partial<WrittenPoint>, count = 120): string =>
  gpx(drive(count, edit))

export const utf8 = (text: string): Uint8Array => new TextEncoder().encode(text)
export const latin1 = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0))
export const gzipped = (content: string | Uint8Array): Uint8Array => new Uint8Array(gzipSync(content))
export const bytes = (...values: number[]): Uint8Array => Uint8Array.from(values)

export function utf16(text: string, bigEndian: boolean): Uint8Array {
  const view = new DataView(new ArrayBuffer(text.length * 2))
  for (let i = 0; i < text.length; i++) view.setUint16(i * 2, text.charCodeAt(i), !bigEndian)
  return new Uint8Array(view.buffer)
}

export function joined(...parts: Uint8Array[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => [...part]))
}

/** Bytes that look like nothing, the same each time. */
export function noise(length: number, seed = 1): Uint8Array {
  let state = seed
  return Uint8Array.from({ length }, () => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    return state >>> 24
  })
}
