import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { decodeText } from '../../src/read/bytes.ts'
import { readGpx } from '../../src/read/gpx/read.ts'

const NOON = Date.UTC(2024, 4, 31, 12) / 1000

const point = (i: number, inside = `<ele>${100 + i}</ele><time>2024-05-31T12:00:0${i}Z</time>`) =>
  `<trkpt lat="48.00${i}" lon="16.00${i}">${inside}</trkpt>\n`
const POINTS = point(0) + point(1) + point(2)
const ROOT = 'gpx version="1.1" creator="bench" xmlns="http://www.topografix.com/GPX/1/1"'
const gpx = (content: string, root = ROOT) => `<?xml version="1.0"?>\n<${root}>\n${content}\n</${root.split(' ')[0]}>`
/** In `gpx(trk(…))` the points begin on line 4, one a line. */
const trk = (points: string, before = '') => `<trk>${before}<trkseg>\n${points}</trkseg></trk>`

const codes = (text: string) => readGpx(text).problems.map(({ code, severity, line }) => [code, severity, line])
const columns = (text: string) => {
  const [{ time, latitude, longitude, elevation }] = readGpx(text).value!.tracks
  return {
    time: [...time].map((t) => t - NOON),
    latitude: [...latitude],
    longitude: [...longitude],
    elevation: [...elevation],
  }
}
const THREE = {
  time: [0, 1, 2],
  latitude: [48, 48.001, 48.002],
  longitude: [16, 16.001, 16.002],
  elevation: [100, 101, 102],
}

describe('readGpx: forms of the same track', () => {
  /** Every element of GPX with a prefix, as some libraries write. */
  const prefixed = gpx(trk(POINTS))
    .replace(/<(\/?)(?=[a-z])/g, '<$1g:')
    .replace('xmlns=', 'xmlns:g=')

  it.each([
    ['GPX 1.1', gpx(trk(POINTS))],
    ['GPX 1.0', gpx(trk(POINTS), 'gpx version="1.0" xmlns="http://www.topografix.com/GPX/1/0"')],
    ['no namespace, no version', gpx(trk(POINTS), 'gpx')],
    ['no declaration', gpx(trk(POINTS)).slice(22)],
    ['an invented version and namespace', gpx(trk(POINTS), 'gpx version="7.7.5-play" xmlns="https://example.org/gpx"')],
    ['a prefixed root', prefixed],
    ['a prefix that is declared nowhere', prefixed.replace(/xmlns:g="[^"]*"/, '')],
    [
      'a namespace declared on the track',
      gpx(trk(POINTS).replace('<trk>', '<trk xmlns="http://www.topografix.com/GPX/1/1">'), 'gpx'),
    ],
    ['comments', gpx(trk(POINTS.replace(/>(\d+)</g, '><!-- up -->$1<!-- ! --><')))],
    ['CDATA', gpx(trk(POINTS.replace(/<time>(.*?)<\/time>/g, '<time><![CDATA[$1]]></time>')))],
    ['references', gpx(trk(POINTS.replace(/<ele>1/g, '<ele>&#49;').replace(/lat="4/g, 'lat="&#x34;')))],
    ['blanks in values', gpx(trk(POINTS.replace(/<(ele|time)>/g, '<$1>\n  ').replace(/lat="/g, 'lat=" ')))],
    ['single quotation marks and blanks in tags', gpx(trk(POINTS.replace(/"/g, "'").replace(/'>/g, "'\n >")))],
    ['attributes the other way round', gpx(trk(POINTS.replace(/(lat="[^"]*") (lon="[^"]*")/g, '$2 $1')))],
    ['old line ends', gpx(trk(POINTS)).replace(/\n/g, '\r\n')],
    ['time before elevation', gpx(trk(POINTS.replace(/(<ele>.*?<\/ele>)(<time>.*?<\/time>)/g, '$2$1')))],
    ['metadata with a time and bounds', gpx(`<metadata><time>2020-01-01T00:00:00Z</time></metadata>${trk(POINTS)}`)],
  ])('%s', (_, text) => {
    expect(columns(text)).toEqual(THREE)
    expect(readGpx(text).problems).toEqual([])
  })

  // Made here, because no library's test folder has them.
  it.each([
    ['UTF-16 little-endian', (text: string) => Buffer.from(`\ufeff${text}`, 'utf16le')],
    ['UTF-16 big-endian', (text: string) => Buffer.from(`\ufeff${text}`, 'utf16le').swap16()],
    ['UTF-16 without byte order mark', (text: string) => Buffer.from(text, 'utf16le')],
  ])('%s', (_, encode) => {
    const text = gpx(trk(POINTS, '<name>Größe</name>')).replace('"1.0"?', '"1.0" encoding="UTF-16"?')
    const decoded = decodeText(encode(text)).value!.text
    expect(columns(decoded)).toEqual(THREE)
    expect(readGpx(decoded).value!.tracks[0].name).toBe('Größe')
  })

  it('does not depend on where the text is cut for the parser', () => {
    // Names of every length move the points across the parser's pieces of 65536 characters.
    for (let shift = 0; shift < 130; shift++) {
      const text = gpx(`<!--${'x'.repeat(65_300 + shift)}-->${trk(POINTS)}<wpt lat="1" lon="2"><name>mark</name></wpt>`)
      expect(columns(text)).toEqual(THREE)
      expect(readGpx(text).value!.waypoints).toMatchObject([{ name: 'mark', latitude: 1, longitude: 2 }])
    }
  })
})

describe('readGpx: structure', () => {
  it('keeps tracks, segments, names and positions in the file apart', () => {
    const two = trk(point(3) + point(4), '<name> Back &amp; forth </name><number>2</number>')
    const text = gpx(
      `${trk(`${point(0)}</trkseg><trkseg/><trkseg>${point(1)}${point(2)}`)}<trk><name>none</name></trk>${two}`,
    )
    const { value, problems } = readGpx(text)
    expect(value?.tracks.map(({ name, index, segmentStart }) => [name, index, [...segmentStart]])).toEqual([
      [null, 1, [0, 1]],
      ['Back & forth', 3, [0]],
    ])
    expect(problems).toMatchObject([{ code: 'track-empty', severity: 'note' }])
    expect(value).toMatchObject({ format: 'gpx', version: '1.1', creator: 'bench' })
  })

  it('does not mistake what is inside extensions, or of another vocabulary, for its own', () => {
    const other = '<x:ele>1</x:ele><x:time>2000-01-01T00:00:00Z</x:time>'
    const extensions = `<extensions><ele>2</ele><time>2000-01-01T00:00:00Z</time><trkpt lat="0" lon="0"/><x:y xmlns:x="other">${other}</x:y></extensions>`
    const points = POINTS.replace(/<ele>/g, `${extensions}${other}<ele>`)
    const text = gpx(
      `<extensions>${trk(point(7))}</extensions>${trk(points, `<extensions><name>no</name>${trk(point(8))}</extensions>`)}`,
      `${ROOT} xmlns:x="http://example.org/x"`,
    )
    expect(columns(text)).toEqual(THREE)
    expect(readGpx(text).value?.tracks.map(({ name }) => name)).toEqual([null])
  })

  it('forgets a namespace where its element ends', () => {
    const foreign = '<trk xmlns="http://example.org/x"><trkseg><trkpt lat="1" lon="1"/></trkseg></trk>'
    expect(columns(gpx(foreign + trk(POINTS)))).toEqual(THREE)
  })

  it('keeps a segment of one point and a track that begins out of order as they are', () => {
    const { time } = columns(gpx(trk(`${point(2)}</trkseg><trkseg>${point(0)}${point(0)}`)))
    expect(time).toEqual([2, 0, 0])
  })

  it('reads waypoints with their names, also under a prefix and beside tracks', () => {
    const wpt =
      '<wpt lat="48.1" lon="16.1"><ele>7</ele><time>2024-05-31T12:00:00Z</time><name>Pump &lt;1&gt;</name></wpt>'
    const want = [{ name: 'Pump <1>', latitude: 48.1, longitude: 16.1, elevation: 7, time: NOON }]
    const text = gpx(wpt + trk(POINTS))
    expect(readGpx(text).value?.waypoints).toEqual(want)
    const prefixed = text.replace(/<(\/?)(?=[a-z])/g, '<$1g:').replace('xmlns=', 'xmlns:g=')
    expect(readGpx(prefixed).value?.waypoints).toEqual(want)
  })

  it('leaves out waypoints beyond what the slow reader can take, and counts them', () => {
    const many = `<wpt lat="1" lon="1"><name>n</name><desc>${'x'.repeat(1000)}</desc></wpt>`.repeat(400)
    const { value, problems } = readGpx(gpx(many + trk(POINTS)))
    const left = problems.find(({ code }) => code === 'waypoints-left-out')
    expect(left?.message).toBe(`${400 - value!.waypoints.length} of 400 waypoints are left out: too many for one file`)
  })
})

describe('readGpx: values that are missing or cannot be read', () => {
  it('gives NaN for a point without elevation or time, in its own row', () => {
    const text = gpx(trk(point(0) + point(1, '<time>2024-05-31T12:00:01Z</time>') + point(2, '<ele/>') + point(3)))
    expect(columns(text).time).toEqual([0, 1, Number.NaN, 3])
    expect(columns(text).elevation).toEqual([100, Number.NaN, Number.NaN, 103])
    expect(readGpx(text).problems).toMatchObject([
      { code: 'time-missing', severity: 'warning', line: 6, message: '1 of 4 points without a time' },
      { code: 'elevation-missing', severity: 'note', line: 5, message: '2 of 4 points without an elevation' },
    ])
  })

  it.each([
    ['lat=""', 'lon="16"'],
    ['lat="NaN"', 'lon="16"'],
    ['lat="0x30"', 'lon="16"'],
    ['lat="48.1.2"', 'lon="16"'],
    ['lat="48° 6"', 'lon="16"'],
    ['lat="Infinity"', 'lon="16"'],
    ['', 'lon="16"'],
    ['lat="1,234,567"', 'lon="16"'],
  ])('keeps the row of a point with %s and %s', (lat, lon) => {
    const text = gpx(
      trk(`${point(0)}<trkpt ${lat} ${lon}><ele>5</ele><time>2024-05-31T12:00:01Z</time></trkpt>${point(2)}`),
    )
    expect(columns(text).latitude).toEqual([48, Number.NaN, 48.002])
    expect(columns(text).elevation).toEqual([100, 5, 102])
    expect(codes(text)).toEqual([['position-unreadable', 'warning', 5]])
  })

  it.each([
    ['elevation-unreadable', point(1, '<ele>12 m</ele><time>2024-05-31T12:00:01Z</time>'), '"12 m"'],
    ['elevation-unreadable', point(1, '<ele>1,234</ele><time>2024-05-31T12:00:01Z</time>'), '"1,234"'],
    ['time-unreadable', point(1, '<ele>1</ele><time>90/02/2032 11:00</time>'), '"90/02/2032 11:00"'],
    ['time-unreadable', point(1, '<ele>1</ele><time>2024-02-30T12:00:00Z</time>'), '"2024-02-30T12:00:00Z"'],
  ])('%s names the first', (code, bad, shown) => {
    const { problems } = readGpx(gpx(trk(point(0) + bad + bad + point(2))))
    expect(problems).toMatchObject([{ code, severity: 'warning', line: 5 }])
    expect(problems[0].message).toContain('2 of 4 points')
    expect(problems[0].message).toContain(shown)
  })

  it('reads decimal commas, and says so', () => {
    const text = gpx(
      trk(
        POINTS.replace(/lat="48\./g, 'lat="48,')
          .replace(/lon="16\./g, 'lon="16,')
          .replace(/<ele>(\d+)/g, '<ele>$1,5'),
      ),
    )
    expect(columns(text)).toEqual({ ...THREE, elevation: [100.5, 101.5, 102.5] })
    expect(codes(text)).toEqual([['decimal-comma', 'warning', 4]])
  })

  it('reads a leap second as the first second of the next day', () => {
    // 2016-12-31 ended with one (IERS Bulletin C 52).
    const times = ['2016-12-31T23:59:59Z', '2016-12-31T23:59:60Z', '2017-01-01T00:00:01Z']
    const text = gpx(trk(times.map((time) => point(1, `<ele>1</ele><time>${time}</time>`)).join('')))
    const start = Date.UTC(2017, 0, 1) / 1000
    expect([...readGpx(text).value!.tracks[0].time]).toEqual([start - 1, start, start + 1])
    expect(readGpx(text).problems).toEqual([])
  })

  it('counts times without zone per track', () => {
    const text = gpx(trk(POINTS) + trk(POINTS.replace(/Z</g, '<')))
    expect(readGpx(text).value?.tracks.map(({ zonelessTimes }) => zonelessTimes)).toEqual([0, 3])
    expect(readGpx(text).problems).toMatchObject([{ code: 'time-without-zone' }])
    expect(readGpx(text).problems[0].message).toMatch(/^3 of 6 points/)
  })

  it('reads 1,000 points with one NaN', () => {
    const points = Array.from({ length: 1000 }, (_, i) => {
      const lat = i === 500 ? 'NaN' : (48 + i / 1e5).toFixed(5)
      return `<trkpt lat="${lat}" lon="16"><ele>1</ele><time>${new Date((NOON + i) * 1000).toISOString()}</time></trkpt>`
    })
    const { value, problems } = readGpx(gpx(trk(points.join('\n'))))
    expect(value?.tracks[0].latitude.filter(Number.isNaN)).toHaveLength(1)
    expect(value?.tracks[0].time[999]).toBe(NOON + 999)
    expect(problems).toMatchObject([{ code: 'position-unreadable' }])
    expect(problems[0].message).toMatch(/^1 of 1000 points/)
  })
})

describe('readGpx: damaged and hostile files', () => {
  it('reads elements nested 30,000 deep', () => {
    const deep = '<a>'.repeat(3e4) + '</a>'.repeat(3e4)
    const text = gpx(
      `<wpt lat="1" lon="1"><name>n</name>${deep}</wpt>${trk(POINTS, `<extensions>${deep}</extensions>`)}`,
    )
    expect(columns(text)).toEqual(THREE)
    expect(readGpx(text).value?.waypoints.map(({ name }) => name)).toEqual(['n'])
    expect(readGpx(text).problems).toEqual([])
  })

  it('keeps the points of a file that was cut off, without the last half one', () => {
    const whole = gpx(trk(POINTS))
    const text = whole.slice(0, whole.lastIndexOf('<ele>102') + 7)
    expect(columns(text).time).toEqual([0, 1])
    const { problems } = readGpx(text)
    expect(problems).toMatchObject([{ code: 'xml-not-well-formed', severity: 'warning', line: 6 }])
    expect(problems[0].message).toContain('2 points in 1 track')
  })

  it('keeps what stands before a wrong tag, and reads nothing after it', () => {
    const text = gpx(trk(`${POINTS}<trkpt lat="1" lon="1"><ele>1</trkpt>${point(4)}`) + trk(POINTS))
    expect(columns(text)).toEqual(THREE)
    expect(readGpx(text).value?.tracks).toHaveLength(1)
    expect(codes(text)).toEqual([['xml-not-well-formed', 'warning', 7]])
  })

  it.each([
    ['a control character', `a${String.fromCharCode(1)}b`],
    ['an entity of HTML', 'caf&eacute;'],
  ])('passes over %s in a name', (_, name) => {
    const text = gpx(trk(POINTS, `<name>${name}</name>`))
    expect(columns(text)).toEqual(THREE)
    expect(codes(text)).toEqual([['xml-fault-passed-over', 'warning', 3]])
  })

  it('passes over a blank line before the declaration', () => {
    const text = `\n${gpx(trk(POINTS))}`
    expect(columns(text)).toEqual(THREE)
    expect(codes(text)).toEqual([['xml-fault-passed-over', 'warning', 2]])
  })

  const laughs = `<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY lol "lol">${Array.from(
    { length: 9 },
    (_, i) => `<!ENTITY lol${i + 1} "${`&lol${i || ''};`.repeat(10)}">`,
  ).join('')}]>`

  it.each([
    ['a billion laughs', `${laughs}<gpx><trk><name>&lol9;</name></trk></gpx>`, 'doctype-refused'],
    [
      'an external entity',
      `<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]>${gpx(trk(POINTS)).slice(22)}`,
      'doctype-refused',
    ],
    ['a web page', '<html><body>Please log in</body></html>', 'html-page'],
    ['a web page with its document type', '<!DOCTYPE html>\n<html lang=en><p>404</html>', 'html-page'],
    ['another vocabulary', '<kml><Document/></kml>', 'not-gpx'],
    ['GPX inside something else', `<envelope>${gpx(trk(POINTS)).slice(22)}</envelope>`, 'not-gpx'],
    ['text', 'hello', 'xml-not-well-formed'],
    ['nothing', '', 'xml-not-well-formed'],
    ['a file cut off before the second point', gpx(trk(POINTS)).slice(0, 220), 'xml-not-well-formed'],
  ])('fails on %s', (_, text, code) => {
    const { value, problems } = readGpx(text)
    expect(value).toBeNull()
    expect(problems.map((problem) => [problem.code, problem.severity])).toEqual([[code, 'error']])
  })

  it('never throws, wherever a file is cut off or a byte of it is changed', () => {
    const text = readFileSync(new URL('../data/gpx-zoo/gpxgo/gpx1.1_with_all_fields.gpx', import.meta.url), 'utf8')
    for (let at = 0; at < text.length; at += 7) {
      for (const broken of [
        text.slice(0, at),
        `${text.slice(0, at)}<${text.slice(at + 1)}`,
        `${text.slice(0, at)}&${text.slice(at + 1)}`,
      ]) {
        const { value, problems } = readGpx(broken)
        expect(value !== null || problems.some(({ severity }) => severity === 'error')).toBe(true)
      }
    }
  })
})
