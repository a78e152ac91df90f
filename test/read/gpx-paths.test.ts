import { gpx as featuresOf } from '@tmcw/togeojson'
import { DOMParser } from '@xmldom/xmldom'
import fc from 'fast-check'
import { DateTime } from 'luxon'
import { expect, it } from 'vitest'
import { readGpx } from '../../src/read/gpx/read.ts'

/**
 * GPX is read in two ways, by hand where points are plain and by a parser where they are not. Here both are held against
 * each other, against togeojson with xmldom, and their times against luxon, over documents made at random.
 * npm run test:gpx-paths tries 100,000 of them.
 */
const DOCUMENTS = Number(process.env.CETERIS_GPX_DOCUMENTS ?? 1000)
/** Beside whole seconds a double of seconds since 1970 holds 2.4e-7 s; two roundings. */
const FRACTION_TOLERANCE_S = 5e-7

interface Written {
  text: string
  /** NaN where the text is no time. */
  seconds: number
}

const two = (value: number): string => String(value).padStart(2, '0')
const decimals = fc.constantFrom('', '', '', '.5', ',25', '.000', '.9999999', '.99999999', '.123456789', '.0000000001')
const zones = fc.oneof(
  { weight: 6, arbitrary: fc.constant(['Z', 0] as const) },
  fc.constantFrom(
    ...([
      ['z', 0],
      [' Z', 0],
      [' UTC', 0],
      [' GMT', 0],
      ['', 0],
      ['+00:00', 0],
      ['+02:00', 120],
      [' +02:00', 120],
      ['-0330', -210],
      ['+14', 840],
      [' Z x', Number.NaN],
      ['ZZ', Number.NaN],
      ['+15:00', Number.NaN],
    ] as const),
  ),
)
const marks = fc.oneof({ weight: 6, arbitrary: fc.constant('T') }, fc.constantFrom('t', ' ', 'T   ', '  ', 'X'))
/** Minutes in which points come together, so that one is learnt from another: ends of days and years among them. */
const minutes = fc.constantFrom(
  ...['2024-05-03T08:01', '2024-05-03T08:00', '2023-12-31T23:59', '2024-02-29T00:00', '1969-12-31T23:59'],
)

/** What the parts of a time mean, told by luxon. */
function meant(minute: string, second: number, fraction: string, mark: string, offset: number): number {
  if (mark === 'X' || Number.isNaN(offset)) return Number.NaN
  const start = DateTime.fromISO(`${minute}:00Z`, { zone: 'utc' }).plus({ seconds: second, minutes: -offset })
  return start.toSeconds() + Number(`0${fraction.replace(',', '.')}`)
}

const fullTime = fc
  .tuple(minutes, fc.integer({ min: 0, max: 59 }), decimals, zones, marks)
  .map(([minute, second, fraction, [zone, offset], mark]): Written => {
    const text = `${minute.replace('T', mark)}:${two(second)}${fraction}${zone}`
    return { text, seconds: meant(minute, second, fraction, mark, offset) }
  })
const timeWithoutSeconds = fc.tuple(minutes, zones, marks).map(([minute, [zone, offset], mark]): Written => {
  return { text: `${minute.replace('T', mark)}${zone}`, seconds: meant(minute, 0, '', mark, offset) }
})
/** Hour 24 is the first instant of the next day (ISO 8601-1:2019, 5.3.2), and no other of that hour is a time. */
const endOfDay = fc.tuple(fc.constantFrom('T', ' ', 'T   '), fc.constantFrom(0, 0, 1, 30)).map(([mark, second]) => {
  const seconds = second === 0 ? DateTime.utc(2024, 5, 4).toSeconds() : Number.NaN
  return { text: `2024-05-03${mark}24:00:${two(second)}Z`, seconds }
})
const noTime = fc
  .constantFrom('yesterday', '', '2024-02-30T08:00:00Z', '2024-05-03T08:60:00Z', '2024-05-03')
  .map((text): Written => ({ text, seconds: Number.NaN }))
const time = fc.oneof(
  { weight: 12, arbitrary: fullTime },
  { weight: 2, arbitrary: timeWithoutSeconds },
  endOfDay,
  noTime,
)

const degrees = fc.oneof(
  { weight: 5, arbitrary: fc.double({ min: -89, max: 89, noNaN: true }).map((x) => x.toFixed(7)) },
  fc.constantFrom('5', '-.5', '48.', '1e1', ' 7 ', '-0', '12.345678901234567'),
)
const elevation = fc.oneof({ weight: 5, arbitrary: degrees }, fc.constant(null))
const blank = fc.constantFrom('', '', ' ', '\n', '\r', '\r\n\t')
const extra = fc.constantFrom(
  '',
  '',
  '',
  '',
  '<sat>7</sat>',
  '<!-- </trkpt> -->',
  '<extensions><time>1</time></extensions>',
)
const point = fc.record({ lat: degrees, lon: degrees, elevation, time, blank, extra })
type Point = typeof point extends fc.Arbitrary<infer T> ? T : never

const pointText = ({ lat, lon, elevation: ele, time: { text }, blank: b, extra: more }: Point): string =>
  `<trkpt lat="${lat}" lon="${lon}">${b}${ele === null ? '' : `<ele>${ele}</ele>`}${b}<time>${text}</time>${more}</trkpt>${b}`

/** Of one point alone togeojson makes no line. */
const segment = fc.array(point, { minLength: 2, maxLength: 9 })
const track = fc.array(segment, { minLength: 1, maxLength: 3 })
const HEAD = '<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>'
const fileOf = (segments: Point[][], end = '</trkseg></trk></gpx>'): string =>
  HEAD + segments.map((points) => points.map(pointText).join('')).join('</trkseg><trkseg>') + end

/** A blank in the end tag sends each point through the parser. */
const throughParser = (text: string): string => text.replaceAll('</trkpt>', '</trkpt >')

/** Blanks in end tags shift columns, not lines. */
function told(text: string) {
  const { value, problems } = readGpx(text)
  return { value, problems: problems.map(({ column: _, ...problem }) => problem) }
}

/** The rows that togeojson makes: longitude, latitude, elevation. */
function otherRows(text: string): { position: number[]; times: string[] } {
  const document = new DOMParser({ onError: () => undefined }).parseFromString(text, 'text/xml')
  const [{ geometry, properties }] = featuresOf(document).features
  if (geometry?.type !== 'LineString' && geometry?.type !== 'MultiLineString') throw new Error('no line')
  const lines = geometry.type === 'LineString' ? [geometry.coordinates] : geometry.coordinates
  const position = lines.flat().flatMap(([lon, lat, ele = Number.NaN]) => [lon, lat, ele])
  return { position, times: ((properties?.coordinateProperties?.times ?? []) as string[] | string[][]).flat() }
}

it(`${DOCUMENTS} documents are the same by hand, by the parser, by togeojson and luxon`, () => {
  let timesMet = 0
  const check = (segments: Point[][]): void => {
    const text = fileOf(segments)
    const byHand = told(text)
    expect(byHand).toEqual(told(throughParser(text)))
    const points = segments.flat()
    const [columns] = byHand.value!.tracks
    const rows = otherRows(text)
    const position = points.flatMap((_, i) => [columns.longitude[i], columns.latitude[i], columns.elevation[i]])
    expect(position).toEqual(rows.position)
    for (const [
      i,
      {
        time: { text: written, seconds },
      },
    ] of points.entries()) {
      const off = Number.isNaN(seconds)
        ? Number.isNaN(columns.time[i])
        : Math.abs(columns.time[i] - seconds) <= FRACTION_TOLERANCE_S
      if (!off) expect(`${written}: ${columns.time[i]}`).toBe(`${written}: ${seconds}`)
      if (seconds % 1 === 0) expect(columns.time[i]).toBe(seconds)
      timesMet++
    }
    // It leaves out times that are empty, so that the others stand in wrong rows, and takes those of extensions too.
    if (points.every((it) => it.time.text !== '' && !it.extra.includes('<time>'))) {
      expect(rows.times).toEqual(points.map(({ time: { text: written } }) => written))
    }
  }
  fc.assert(fc.property(track, check), { numRuns: DOCUMENTS, seed: 11 })
  expect(timesMet).toBeGreaterThan(DOCUMENTS)
})

it('a fault behind them has the same line in both, and the one that an editor shows', () => {
  const check = (segments: Point[][]): void => {
    const text = fileOf(segments, '<trkpt lat="1" </gpx>')
    const fault = (read: string) => readGpx(read).problems.find(({ code }) => code === 'xml-not-well-formed')?.line
    expect(fault(text)).toBe(text.split(/\r\n|\r|\n/).length)
    expect(fault(throughParser(text))).toBe(fault(text))
  }
  fc.assert(fc.property(track, check), { numRuns: Math.ceil(DOCUMENTS / 5), seed: 12 })
})
