import { parseInstant } from '../instant.ts'
import { addPoint } from './columns.ts'
import type { Cursor } from './cursor.ts'
import { plainNamesAreGpx } from './namespaces.ts'
import { tally } from './values.ts'

const [SPACE, QUOTE, DASH, DOT, ZERO, NINE, LESS, SLASH] = [32, 34, 45, 46, 48, 57, 60, 47]

/**
 * Reads track points of the plainest form, `<trkpt lat="…" lon="…"><ele>…</ele><time>…</time></trkpt>` with or without
 * blanks between them, from a place directly inside a segment, and stops before the first that has anything else to it:
 * the streaming parser goes on from there. Most files hold nothing but such points, and reading them by hand takes a
 * fifth of the time. Whole elements are passed over, so the parser's state stays right.
 * @returns where it stopped
 */
export function readPlainPoints(cursor: Cursor, from: number): number {
  const { text, namespaces, track, scan } = cursor
  if (!plainNamesAreGpx(namespaces)) return from
  let end = from
  for (;;) {
    let at = afterBlanks(text, end)
    if (!text.startsWith('<trkpt lat="', at)) return end
    const latEnd = decimalEnd(text, at + 12)
    if (latEnd < 0 || !text.startsWith('" lon="', latEnd)) return end
    const lonEnd = decimalEnd(text, latEnd + 7)
    if (lonEnd < 0 || !text.startsWith('">', lonEnd)) return end
    const latitude = Number(text.slice(at + 12, latEnd))
    const longitude = Number(text.slice(latEnd + 7, lonEnd))
    at = afterBlanks(text, lonEnd + 2)
    let elevation = Number.NaN
    const hasElevation = text.startsWith('<ele>', at)
    if (hasElevation) {
      const eleEnd = decimalEnd(text, at + 5)
      if (eleEnd < 0 || !text.startsWith('</ele>', eleEnd)) return end
      elevation = Number(text.slice(at + 5, eleEnd))
      at = afterBlanks(text, eleEnd + 6)
    }
    if (!text.startsWith('<time>', at)) return end
    const timeEnd = timeTextEnd(text, at + 6)
    if (timeEnd < 0 || !text.startsWith('</time>', timeEnd)) return end
    const { seconds, zoneless } = parseInstant(text.slice(at + 6, timeEnd))
    if (Number.isNaN(seconds)) return end
    at = afterBlanks(text, timeEnd + 7)
    if (!text.startsWith('</trkpt>', at)) return end
    if (!hasElevation) {
      if (scan.missing.elevation.count === 0) return end
      tally(scan.missing.elevation, 0, '')
    }
    if (zoneless) track.zonelessTimes++
    addPoint(track, latitude, longitude, elevation, seconds)
    end = at + 8
  }
}

/** Past blanks, tabs and line ends. */
function afterBlanks(text: string, from: number): number {
  let at = from
  for (;;) {
    const code = text.charCodeAt(at)
    if (code !== SPACE && code !== 10 && code !== 13 && code !== 9) return at
    at++
  }
}

/** Where a decimal number of digits and one point ends, or -1 where there is none. */
function decimalEnd(text: string, from: number): number {
  let at = text.charCodeAt(from) === DASH ? from + 1 : from
  let digits = 0
  let points = 0
  for (;;) {
    const code = text.charCodeAt(at)
    if (code >= ZERO && code <= NINE) digits++
    else if (code === DOT && points === 0) points++
    else return digits > 0 ? at : -1
    at++
  }
}

/** Where a text of letters, digits and `-:+.` ends. */
function timeTextEnd(text: string, from: number): number {
  let at = from
  while (at < from + 40) {
    const code = text.charCodeAt(at)
    if (code === LESS) return at
    if (!(code > SPACE && code < 127) || code === QUOTE || code === SLASH || code === 38) return -1
    at++
  }
  return -1
}
