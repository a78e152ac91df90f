import { isoSecond } from '../../base/time.ts'

/**
 * The tracks of the sample as small as they can be carried in the page: of each line of points only what changes from the
 * one before, as whole numbers, column by column. Deflate alone makes them three times as large.
 */
const POINT =
  /^<trkpt lat="(-?\d+\.\d{7})" lon="(-?\d+\.\d{7})"><ele>(-?\d+\.\d)<\/ele><time>(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ)<\/time><\/trkpt>$/

/** Of each column: how a cell becomes a whole number and back, and how often differences are taken. */
const COLUMNS = [
  { order: 2, whole: scaled(7), text: decimal(7) },
  { order: 2, whole: scaled(7), text: decimal(7) },
  { order: 1, whole: scaled(1), text: decimal(1) },
  {
    order: 2,
    whole: (cell: string): number => Date.parse(cell) / 1000,
    text: (seconds: number): string => isoSecond(seconds),
  },
]

function scaled(decimals: number): (cell: string) => number {
  return (cell) => Math.round(Number(cell) * 10 ** decimals)
}

function decimal(decimals: number): (whole: number) => string {
  return (whole) => (whole / 10 ** decimals).toFixed(decimals)
}

/** A track's text, packed; null where it is written otherwise than the sample's tracks are. */
export function packedTrack(text: string): Uint8Array | null {
  const lines = text.split('\n')
  const from = lines.findIndex((line) => POINT.test(line))
  const to = lines.findLastIndex((line) => POINT.test(line)) + 1
  const points = lines.slice(from, to).map((line) => POINT.exec(line))
  if (from < 0 || points.includes(null)) return null
  const frame = JSON.stringify([lines.slice(0, from).join('\n'), lines.slice(to).join('\n')])
  const numbers = COLUMNS.flatMap(({ order, whole }, column) => {
    let values = points.map((point) => whole(point?.[column + 1] ?? ''))
    for (let n = 0; n < order; n++) values = values.map((value, i) => value - (values[i - 1] ?? 0))
    return values
  })
  const head = new TextEncoder().encode(frame)
  const packed = new Uint8Array([...bytesOf([head.length, points.length]), ...head, ...bytesOf(numbers)])
  return unpackedTrack(packed) === text ? packed : null
}

/** What `packedTrack` was given. */
export function unpackedTrack(packed: Uint8Array): string {
  const next = numbersIn(packed)
  const [headLength, count] = [next.number(), next.number()]
  const [before, after] = JSON.parse(new TextDecoder().decode(next.bytes(headLength))) as [string, string]
  const columns = COLUMNS.map(({ order, text }) => {
    const values = Array.from({ length: count }, next.number)
    for (let n = 0; n < order; n++) for (let i = 1; i < count; i++) values[i] += values[i - 1]
    return values.map(text)
  })
  const points = Array.from({ length: count }, (_, i) => {
    const [lat, lon, ele, time] = columns.map((cells) => cells[i])
    return `<trkpt lat="${lat}" lon="${lon}"><ele>${ele}</ele><time>${time}</time></trkpt>`
  })
  return `${before}\n${points.join('\n')}\n${after}`
}

/** Whole numbers in as few bytes as each takes, seven bits a byte, the sign in the lowest. */
function bytesOf(numbers: readonly number[]): number[] {
  return numbers.flatMap((number) => {
    let rest = number < 0 ? -2 * number - 1 : 2 * number
    const bytes: number[] = []
    for (; rest > 127; rest = Math.floor(rest / 128)) bytes.push(128 + (rest % 128))
    return [...bytes, rest]
  })
}

function numbersIn(packed: Uint8Array): { number: () => number; bytes: (length: number) => Uint8Array } {
  let at = 0
  return {
    number: () => {
      let [value, place] = [0, 1]
      for (; packed[at] > 127; place *= 128) value += place * (packed[at++] - 128)
      value += place * packed[at++]
      return value % 2 === 0 ? value / 2 : -(value + 1) / 2
    },
    bytes: (length) => {
      at += length
      return packed.slice(at - length, at)
    },
  }
}
