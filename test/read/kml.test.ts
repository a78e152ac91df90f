import { describe, expect, it } from 'vitest'
import { readKml } from '../../src/read/kml.ts'

const kml = (
  content: string,
  root = 'kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"',
) => `<?xml version="1.0" encoding="UTF-8"?>\n<${root}><Document>${content}</Document></${root.split(' ')[0]}>`

const when = (...minutes: number[]) =>
  minutes.map((m) => `<when>2024-05-31T12:${String(m).padStart(2, '0')}:00Z</when>`).join('\n')
const coord = (...degrees: number[]) => degrees.map((d) => `<gx:coord>${d} 48.5 ${100 + d}</gx:coord>`).join('\n')
const track = (times: string, coordinates: string) => `<gx:Track>${times}${coordinates}</gx:Track>`
const placemark = (name: string, content: string) => `<Placemark><name>${name}</name>${content}</Placemark>`

/** 2024-05-31T12:00:00Z. */
const NOON = Date.UTC(2024, 4, 31, 12) / 1000
const codes = (text: string) => readKml(text).problems.map(({ code, severity }) => [code, severity])

describe('readKml', () => {
  it('reads a timed track into columns', () => {
    const { value, problems } = readKml(kml(placemark('Out &amp; back', track(when(0, 1, 2), coord(16, 16.5, 17)))))
    expect(problems).toEqual([])
    expect(value).toMatchObject({ format: 'kml', version: '2.2', creator: null, waypoints: [], routeCount: 0 })
    expect(value?.tracks).toEqual([
      {
        name: 'Out & back',
        index: 1,
        time: Float64Array.of(NOON, NOON + 60, NOON + 120),
        latitude: Float64Array.of(48.5, 48.5, 48.5),
        longitude: Float64Array.of(16, 16.5, 17),
        elevation: Float64Array.of(116, 116.5, 117),
        logged: {},
        segmentStart: Uint32Array.of(0),
        zonelessTimes: 0,
      },
    ])
  })

  it('joins the parts of a MultiTrack as segments', () => {
    const parts = track(when(0, 1), coord(1, 2)) + track(when(5, 6, 7), coord(3, 4, 5))
    const [one] = readKml(kml(placemark('two parts', `<gx:MultiTrack>${parts}</gx:MultiTrack>`))).value!.tracks
    expect([...one.segmentStart]).toEqual([0, 2])
    expect([...one.time].map((t) => (t - NOON) / 60)).toEqual([0, 1, 5, 6, 7])
  })

  // togeojson keeps no entry for a part without times, which would give the second part's times to the first.
  it('does not give the times of one part to another', () => {
    const line = '<LineString><coordinates>1,2,3 4,5,6 7,8,9</coordinates></LineString>'
    const parts = `<MultiGeometry>${line}${track(when(5, 6), coord(3, 4))}</MultiGeometry>`
    const outcome = readKml(kml(placemark('mixed', parts)))
    const [one] = outcome.value!.tracks
    expect([...one.time].map((t) => (t - NOON) / 60)).toEqual([Number.NaN, Number.NaN, Number.NaN, 5, 6])
    expect(outcome.problems).toMatchObject([{ code: 'time-missing', message: '3 of 5 points without a time' }])
  })

  it('keeps one track per placemark, in order, and marked places as waypoints', () => {
    const place =
      '<TimeStamp><when>2024-05-31T12:00:00Z</when></TimeStamp><Point><coordinates>16,48,7</coordinates></Point>'
    const text = kml(
      placemark('a', track(when(0, 1), coord(1, 2))) +
        placemark('pump', place) +
        placemark('b', track(when(3, 4), coord(1, 2))),
    )
    const { value } = readKml(text)
    expect(value?.tracks.map(({ name, index }) => [name, index])).toEqual([
      ['a', 1],
      ['b', 2],
    ])
    expect(value?.waypoints).toEqual([{ name: 'pump', latitude: 48, longitude: 16, elevation: 7, time: NOON }])
  })

  it('reads a line without times, and takes an elevation of 0 throughout as not recorded', () => {
    const text = kml(placemark('drawn', '<LineString><coordinates>16,48,0 16.1,48,0</coordinates></LineString>'))
    const [drawn] = readKml(text).value!.tracks
    expect([...drawn.time, ...drawn.elevation]).toEqual([Number.NaN, Number.NaN, Number.NaN, Number.NaN])
    expect(codes(text)).toEqual([['time-missing', 'warning']])
  })

  it.each([
    [
      'a prefix for KML',
      kml('', 'kml:kml xmlns:kml="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"'),
    ],
  ])('reads %s', (_, shell) => {
    const content = placemark('p', track(when(0, 1), coord(1, 2))).replace(/<(\/?)(Placemark|name|when)/g, '<$1kml:$2')
    const text = shell.replace('<Document></Document>', `<kml:Document>${content}</kml:Document>`)
    expect(readKml(text).value?.tracks[0].time).toEqual(Float64Array.of(NOON, NOON + 60))
  })

  it('reads the Track of KML 2.3, and coordinates with more than one blank', () => {
    const text = kml(placemark('p', `<Track>${when(0, 1)}<coord> 1  2\n3 </coord><coord>4 5 6</coord></Track>`))
    const [one] = readKml(text).value!.tracks
    expect([...one.longitude, ...one.latitude, ...one.elevation]).toEqual([1, 4, 2, 5, 3, 6])
  })

  it('keeps a position of a single-point track', () => {
    expect(readKml(kml(placemark('p', track(when(3), coord(1))))).value?.tracks[0].time).toEqual(
      Float64Array.of(NOON + 180),
    )
  })

  it('does not use times that are not as many as the coordinates', () => {
    const text = kml(placemark('p', track(when(0, 1), coord(1, 2, 3))))
    expect([...readKml(text).value!.tracks[0].time]).toEqual([Number.NaN, Number.NaN, Number.NaN])
    expect(codes(text)).toEqual([
      ['kml-times-mismatch', 'warning'],
      ['time-missing', 'warning'],
    ])
  })

  it('names an unreadable time and counts times without zone', () => {
    const times = '<when>yesterday</when><when>2024-05-31T12:00:00</when>'
    const text = kml(placemark('p', track(times, coord(1, 2))))
    expect([...readKml(text).value!.tracks[0].time]).toEqual([Number.NaN, NOON])
    expect(codes(text).map(([code]) => code)).toEqual(['time-unreadable', 'time-missing', 'time-without-zone'])
  })

  it('says when there are no tracks', () => {
    const text = kml(placemark('pump', '<Point><coordinates>16,48</coordinates></Point>'))
    expect(codes(text)).toEqual([['no-tracks', 'warning']])
    expect(readKml(text).problems[0].message).toContain('1 marked place')
  })

  it.each([
    ['a document type', `<!DOCTYPE kml [<!ENTITY a "b">]>${kml('').slice(39)}`, 'doctype-refused'],
    [
      'an external entity',
      `<!DOCTYPE kml [<!ENTITY a SYSTEM "file:///etc/hostname">]><kml>&a;</kml>`,
      'doctype-refused',
    ],
    ['a cut-off file', kml(placemark('p', track(when(0, 1), coord(1, 2)))).slice(0, 300), 'xml-not-well-formed'],
    ['a prefix nobody declared', '<kml><Document><foo:bar/></Document></kml>', 'xml-not-well-formed'],
    [
      'geometries nested 20,000 deep',
      kml(placemark('p', '<MultiGeometry>'.repeat(2e4) + '</MultiGeometry>'.repeat(2e4))),
      'xml-too-deep',
    ],
    ['a file too large for a tree', kml(' '.repeat(13 * 2 ** 20)), 'file-too-large'],
    ['another root', '<gpx/>', 'not-kml'],
    ['no XML', 'hello', 'xml-not-well-formed'],
    ['nothing', '', 'xml-not-well-formed'],
  ])('fails on %s', (_, text, code) => {
    const { value, problems } = readKml(text)
    expect(value).toBeNull()
    expect(problems.map((problem) => [problem.code, problem.severity])).toEqual([[code, 'error']])
  })

  it('allows a web page inside a description', () => {
    const description = '<description><![CDATA[<!DOCTYPE html><p>Hello]]></description>'
    const text = kml(placemark('p', description + track(when(0, 1), coord(1, 2))))
    expect(readKml(text).value?.tracks).toHaveLength(1)
  })
})
