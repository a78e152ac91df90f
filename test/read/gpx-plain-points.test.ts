import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readGpx } from '../../src/read/gpx/read.ts'

/** Plain points are read by hand; a blank in the end tag sends each through the XML parser instead. */
const throughParser = (text: string): string => text.replaceAll('</trkpt>', '</trkpt >')

const told = (text: string) => {
  const { value, problems } = readGpx(text)
  // The blanks shift columns, not lines.
  return { value, problems: problems.map(({ column: _, ...problem }) => problem) }
}

const number = fc.oneof(
  fc.double({ min: -180, max: 180, noNaN: true }).map((x) => x.toFixed(7)),
  fc.constantFrom('5', '-.5', '48.', '+3', '1e2', '', ' 7 ', '0x1f', '48,25', 'NaN', '&#52;8', '-', '1.2.3'),
)
const elevation = fc.oneof(
  { weight: 5, arbitrary: number.map((n) => `<ele>${n}</ele>`) },
  fc.constantFrom('', '<ele/>', '<ele><b/>3</ele>'),
)
const time = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.integer({ min: 1e9, max: 2e9 }).map((s) => `<time>${new Date(s * 1000).toISOString()}</time>`),
  },
  fc.constantFrom(
    '',
    '<time>2024-05-03T08:05:00</time>',
    '<time>yesterday</time>',
    '<time>2024-05-03T08:05:00+02:00</time>',
  ),
)
const blank = fc.constantFrom('', ' ', '\n', '\r\n  ', '\t')
const point = fc
  .tuple(
    number,
    number,
    blank,
    elevation,
    blank,
    time,
    blank,
    fc.constantFrom('', '', '', '<sat>7</sat>', '<!-- </trkpt> -->'),
  )
  .map(
    ([lat, lon, a, ele, b, at, c, more]) => `<trkpt lat="${lat}" lon="${lon}">${a}${ele}${b}${at}${more}${c}</trkpt>`,
  )
const between = fc.constantFrom(
  '',
  '\n',
  '<!-- <trkseg><trkpt lat="1" lon="2"><time>2024-05-03T08:05:00Z</time></trkpt> -->',
  '</trkseg><trkseg>',
  '<![CDATA[<trkseg>]]>',
  'text',
  '<x:trkpt xmlns:x="urn:other" lat="1" lon="2"/>',
)
const file = fc
  .tuple(
    fc.constantFrom('http://www.topografix.com/GPX/1/1', 'urn:other'),
    fc.array(fc.tuple(point, between), { maxLength: 30 }),
  )
  .map(
    ([uri, points]) => `<gpx xmlns="${uri}"><trk><name>n</name><trkseg>${points.flat().join('')}</trkseg></trk></gpx>`,
  )

describe('plain track points', () => {
  it('give what the XML parser makes of them, whatever stands between them', () => {
    fc.assert(
      fc.property(file, (text) => {
        expect(told(text)).toEqual(told(throughParser(text)))
      }),
      { numRuns: 400 },
    )
  })

  it('give the same problems at the same lines when the file is cut off anywhere', () => {
    fc.assert(
      fc.property(file, fc.double({ min: 0, max: 1, noNaN: true }), (text, share) => {
        const cut = text.slice(0, Math.floor(share * text.length))
        expect(told(cut)).toEqual(told(throughParser(cut)))
      }),
      { numRuns: 200 },
    )
  })

  // The sign < that cannot stand there is the 18th character of the seventh line.
  it('keep the place of what comes after them', () => {
    const points = Array.from(
      { length: 5 },
      (_, i) => `<trkpt lat="4${i}" lon="5"><ele>1</ele><time>2024-05-03T08:05:0${i}Z</time></trkpt>\n`,
    )
    const text = `<gpx xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>\n${points.join('')}  <trkpt lat="1" </gpx>`
    expect(readGpx(text).problems.find(({ code }) => code === 'xml-not-well-formed')).toMatchObject({
      line: 7,
      column: 18,
    })
  })
})
