import { parseInstant } from '../instant.ts'
import { type CodeWindow, decimalAt, decimalEnd, holds, pastBlanks, windowOver } from './codes.ts'
import { addPoint } from './columns.ts'
import type { Cursor } from './cursor.ts'
import { learnMinute, secondsInMinute } from './minute.ts'
import { plainNamesAreGpx } from './namespaces.ts'
import { tally } from './values.ts'

const codesOf = (text: string): Uint16Array => Uint16Array.from(text, (letter) => letter.charCodeAt(0))
const POINT = codesOf('<trkpt lat="')
const LONGITUDE = codesOf('" lon="')
const POINT_BEGUN = codesOf('">')
const ELEVATION = codesOf('<ele>')
const ELEVATION_END = codesOf('</ele>')
const TIME = codesOf('<time>')
const TIME_END = codesOf('</time>')
const POINT_END = codesOf('</trkpt>')

/** Nearer than this to the end of a window the next is read, characters: a point is shorter. */
const LONGEST_POINT = 512

/**
 * Reads track points of the plainest form, `<trkpt lat="…" lon="…"><ele>…</ele><time>…</time></trkpt>` with or without
 * blanks between them, from a place directly inside a segment, and stops before the first that has anything else to it:
 * the streaming parser goes on from there. Most files hold nothing but such points, and reading them by hand takes a
 * tenth of the time. Whole elements are passed over, so the parser's state stays right.
 * @returns where it stopped
 */
export function readPlainPoints(cursor: Cursor, from: number): number {
  if (!plainNamesAreGpx(cursor.namespaces)) return from
  let end = from
  for (;;) {
    cursor.codes = windowOver(cursor.text, end, LONGEST_POINT, cursor.codes)
    const begun = end
    end = readWindow(cursor, cursor.codes, begun)
    const cutOff = cursor.codes.to - end < LONGEST_POINT && cursor.codes.to < cursor.text.length
    if (end === begun || !cutOff) return end
  }
}

/** Reads the plain points of one window; returns where the last of them ended in the text. */
function readWindow(cursor: Cursor, { codes, from: base }: CodeWindow, from: number): number {
  const { text, track, scan } = cursor
  let end = from - base
  for (;;) {
    let at = pastBlanks(codes, end)
    if (!holds(codes, at, POINT)) return base + end
    const latAt = at + POINT.length
    const latEnd = decimalEnd(codes, latAt)
    if (latEnd < 0 || !holds(codes, latEnd, LONGITUDE)) return base + end
    const lonAt = latEnd + LONGITUDE.length
    const lonEnd = decimalEnd(codes, lonAt)
    if (lonEnd < 0 || !holds(codes, lonEnd, POINT_BEGUN)) return base + end
    at = pastBlanks(codes, lonEnd + POINT_BEGUN.length)
    let elevation = Number.NaN
    const hasElevation = holds(codes, at, ELEVATION)
    if (hasElevation) {
      const eleEnd = decimalEnd(codes, at + ELEVATION.length)
      if (eleEnd < 0 || !holds(codes, eleEnd, ELEVATION_END)) return base + end
      elevation = decimalAt(codes, at + ELEVATION.length, eleEnd)
      at = pastBlanks(codes, eleEnd + ELEVATION_END.length)
    }
    // The first point without one is read by the parser, which knows its line.
    if (!hasElevation && scan.missing.elevation.count === 0) return base + end
    if (!holds(codes, at, TIME)) return base + end
    const timeAt = at + TIME.length
    const timeEnd = timeTextEnd(codes, timeAt)
    if (timeEnd < 0 || !holds(codes, timeEnd, TIME_END)) return base + end
    at = pastBlanks(codes, timeEnd + TIME_END.length)
    if (!holds(codes, at, POINT_END)) return base + end
    let seconds = secondsInMinute(cursor.minute, codes, timeAt, timeEnd)
    if (Number.isNaN(seconds)) {
      const instant = parseInstant(text.slice(base + timeAt, base + timeEnd))
      if (Number.isNaN(instant.seconds)) return base + end
      if (instant.zoneless) track.zonelessTimes++
      seconds = instant.seconds
      learnMinute(cursor.minute, codes, timeAt, timeEnd, seconds)
    }
    if (!hasElevation) tally(scan.missing.elevation, 0, '')
    addPoint(track, decimalAt(codes, latAt, latEnd), decimalAt(codes, lonAt, lonEnd), elevation, seconds)
    end = at + POINT_END.length
  }
}

const [SPACE, ZERO, LESS] = [32, 48, 60]
const SHORTEST_TIME = '20210329T111345'.length
const LONGEST_TIME = 40

/**
 * Where a time ends that begins at a place, or -1: at the first `<`, before which `parseInstant` takes nothing else but
 * blanks and control characters, and these are left to the parser.
 */
function timeTextEnd(codes: Uint16Array, from: number): number {
  if (codes[from] < ZERO) return -1
  for (let at = from + SHORTEST_TIME; at < from + LONGEST_TIME; at++) {
    if (codes[at] === LESS) return codes[at - 1] > SPACE ? at : -1
  }
  return -1
}
