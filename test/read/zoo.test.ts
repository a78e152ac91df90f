import { readdirSync, readFileSync } from 'node:fs'
import { gpx } from '@tmcw/togeojson'
import { DOMParser } from '@xmldom/xmldom'
import { describe, expect, it } from 'vitest'
import { decodeText } from '../../src/read/bytes.ts'
import { readGpx } from '../../src/read/gpx/read.ts'
import { kindOf } from '../../src/read/kind.ts'
import { readTable } from '../../src/read/table/table.ts'
import type { TrackColumns } from '../../src/read/types.ts'

/** GPX files from the test folders of five libraries; sources and licences in SOURCE.md beside them. */
const ZOO = new URL('../data/gpx-zoo/', import.meta.url)

const table = readTable(readFileSync(new URL('TABLE.csv', ZOO), 'utf8')).value!
const rows = table.rows.map(({ cells }) => Object.fromEntries(table.header.map((name, i) => [name, cells[i]])))
const textOf = (file: string) => decodeText(readFileSync(new URL(file, ZOO))).value!.text
const wellFormed = rows.filter(({ odd }) => !odd.includes('NOT WELL-FORMED'))

interface Segment {
  latitude: number[]
  longitude: number[]
  elevation: number[]
  time: number[]
}

/** Every segment of a track as lists; the shape in which both readers can be compared. */
function segmentsOf(track: TrackColumns): Segment[] {
  const starts = [...track.segmentStart, track.time.length]
  return starts.slice(0, -1).map((from, i) => {
    const part = (column: Float64Array) => [...column.subarray(from, starts[i + 1])]
    return {
      latitude: part(track.latitude),
      longitude: part(track.longitude),
      elevation: part(track.elevation),
      time: part(track.time),
    }
  })
}

/** The same by togeojson with xmldom: its coordinates, and its times where there are as many of them. */
function segmentsByDom(text: string): { segments: Segment[]; timesFit: boolean }[] {
  const document = new DOMParser({ onError: () => undefined }).parseFromString(text, 'text/xml')
  const tracks = gpx(document).features.filter(({ properties }) => properties?._gpxType === 'trk')
  return tracks.map(({ geometry, properties }) => {
    const isMulti = geometry.type === 'MultiLineString'
    const lines = (
      isMulti ? geometry.coordinates : 'coordinates' in geometry ? [geometry.coordinates] : []
    ) as number[][][]
    const times: string[][] = isMulti
      ? properties?.coordinateProperties?.times
      : [properties?.coordinateProperties?.times]
    const written = times?.some((list) => list !== undefined) ? times : lines.map(() => null)
    const timesFit =
      written.length === lines.length && lines.every((line, i) => (written[i]?.length ?? line.length) === line.length)
    const segments = lines.map((line, i) => ({
      latitude: line.map(([, latitude]) => latitude),
      longitude: line.map(([longitude]) => longitude),
      elevation: line.map(([, , elevation]) => elevation ?? Number.NaN),
      time: line.map((_, k) => secondsOf(written[i]?.[k])),
    }))
    return { segments, timesFit }
  })
}

/** By the engine's own parser, which takes a time without zone as local time. */
function secondsOf(time: string | undefined): number {
  if (time === undefined) return Number.NaN
  return Date.parse(/(Z|[+-]\d\d:\d\d)$/.test(time.trim()) ? time.trim() : `${time.trim()}Z`) / 1000
}

/** The first difference of the two readers, or null. */
function difference(text: string): string | null {
  const ours = (readGpx(text).value?.tracks ?? []).map(segmentsOf)
  const theirs = segmentsByDom(text)
  if (ours.length !== theirs.length) return `${theirs.length} of ${ours.length} tracks`
  for (const [t, { segments, timesFit }] of theirs.entries()) {
    if (segments.length !== ours[t].length) return `${segments.length} of ${ours[t].length} segments`
    if (!timesFit) return 'times shifted'
    for (const [s, segment] of segments.entries()) {
      const own = ours[t][s]
      if (segment.latitude.length !== own.latitude.length)
        return `${segment.latitude.length} of ${own.latitude.length} points`
      for (const column of ['latitude', 'longitude', 'elevation'] as const) {
        if (segment[column].some((value, i) => !Object.is(value, own[column][i]))) return column
      }
      // Date.parse cuts off after the third decimal.
      const apart = segment.time.findIndex(
        (time, i) => !(Math.abs(time - own.time[i]) < 1e-3) && !(Number.isNaN(time) && Number.isNaN(own.time[i])),
      )
      if (apart >= 0) return `time ${segment.time[apart]} for ${own.time[apart]}`
    }
  }
  return null
}

/**
 * Where the pair is wrong, what it does there. A point without a time is left out of its list of times, which shifts all
 * later ones; a point without a readable position is left out; a segment of one point vanishes, and with it the track.
 */
const PAIR_IS_WRONG: Record<string, string> = {
  'gpxgo/cerknicko-without-times.gpx': 'times shifted',
  'gpxgo/graphhopper.gpx.gz': 'times shifted',
  'gpxpy/cerknicko-jezero-without-elevations.gpx': 'times shifted',
  'gpxpy/cerknicko-without-times.gpx': 'times shifted',
  'jpx/invalid-latlon.xml': 'times shifted',
  'togeojson/bad.gpx': '0 of 1 tracks',
  'gpxgo/gpx-without-root-attributes.gpx': '0 of 1 tracks',
  'gpxgo/gpx-without-xml-declaration.gpx': '0 of 1 tracks',
  'gpxgo/gpx1.0_with_all_fields.gpx': '0 of 1 tracks',
  'gpxgo/gpx1.1_with_all_fields.gpx': '0 of 1 tracks',
  'gpxgo/gpx1.1_with_extensions.gpx': '0 of 1 tracks',
  'gpxpy/gpx-with-node-with-comments.gpx': '0 of 1 tracks',
  'gpxpy/gpx1.0_with_all_fields.gpx': '0 of 1 tracks',
  'gpxpy/gpx1.1_with_all_fields.gpx': '0 of 1 tracks',
  'gpxpy/track_with_dilution_errors.gpx': '0 of 1 tracks',
  'jpx/GPX-full.gpx': '0 of 1 tracks',
  'jpx/ISSUE-77.gpx': '0 of 1 tracks',
  'jpx/ISSUE-86.gpx': '0 of 1 tracks',
  'togeojson/unique_trkpt.gpx': '0 of 1 tracks',
  'togeojson/blue_hills.gpx': '8 of 9 segments',
  'togeojson/north_core.gpx': '2 of 3 segments',
}

describe('the GPX reader against togeojson with xmldom', () => {
  const right = wellFormed.filter(({ file }) => !(file in PAIR_IS_WRONG)).map(({ file }) => file)

  it('compares every well-formed file of the zoo, and loses none', () => {
    const files = readdirSync(ZOO, { recursive: true, encoding: 'utf8' }).filter((file) => /\.(gpx|xml|gz)$/.test(file))
    expect(rows.map(({ file }) => file).sort()).toEqual(files.sort())
    expect([wellFormed.length, right.length]).toEqual([rows.length - 2, rows.length - 2 - 21])
  })

  it.each(right)('%s: equal point for point', (file) => {
    expect(difference(textOf(file))).toBeNull()
  })

  it.each(Object.entries(PAIR_IS_WRONG))('%s: the pair is wrong (%s), the table is right', (file, fault) => {
    expect(difference(textOf(file))).toBe(fault)
  })
})

/** Segments and tracks without points, which the reader leaves out and TABLE.csv counts. */
const emptySegments = (text: string) =>
  text.match(/<trkseg\s*\/>|<trkseg>\s*(<extensions>[\s\S]*?<\/extensions>\s*)?<\/trkseg>/g)?.length ?? 0
const tracksWithoutPoints = (text: string) =>
  (text.match(/<trk\s*\/>|<trk>[\s\S]*?<\/trk>/g) ?? []).filter((track) => !track.includes('<trkpt')).length

describe('the GPX reader against the counts of TABLE.csv, made by another program', () => {
  it.each(wellFormed)('$file', (row) => {
    const text = textOf(row.file)
    expect(kindOf(text)).toBe('gpx')
    const { tracks, version } = readGpx(text).value!
    const finite = (name: 'time' | 'elevation') =>
      tracks.reduce((sum, track) => sum + track[name].filter((value) => !Number.isNaN(value)).length, 0)
    expect({
      version: version ?? '',
      trk: tracks.length + tracksWithoutPoints(text),
      seg: tracks.reduce((sum, track) => sum + track.segmentStart.length, 0) + emptySegments(text),
      pts: tracks.reduce((sum, track) => sum + track.time.length, 0),
      ele: finite('elevation'),
      time: finite('time'),
    }).toEqual({
      version: row.version,
      trk: Number(row.trk),
      seg: Number(row.seg),
      pts: Number(row.pts),
      ele: Number(row.ele),
      time: Number(row.time),
    })
  })

  it.each(wellFormed.filter(({ start }) => start !== ''))(
    '$file: first time and duration',
    ({ file, start, dur_s }) => {
      const times = readGpx(textOf(file)).value!.tracks.flatMap(({ time }) => [...time.filter((t) => !Number.isNaN(t))])
      expect(Math.floor(times[0])).toBe(Date.parse(start) / 1000)
      // TABLE.csv gives whole seconds, cut off (track-with-less-sec-time: 0 s with a step of 0.994 s).
      expect(Math.abs(Math.max(...times) - Math.min(...times) - Number(dur_s))).toBeLessThan(1)
    },
  )

  it.each(wellFormed.filter(({ wpt }) => wpt !== '0'))(
    '$file: waypoints, read or counted as left out',
    ({ file, wpt }) => {
      const { value, problems } = readGpx(textOf(file))
      const left = Number(
        /^(\d+) of/.exec(problems.find(({ code }) => code === 'waypoints-left-out')?.message ?? '0 of')?.[1],
      )
      expect(value!.waypoints.length + left).toBe(Number(wpt))
    },
  )
})

describe('the odd ones of the zoo', () => {
  const outcome = (file: string) => readGpx(textOf(file))
  const codes = (file: string) => outcome(file).problems.map(({ code, severity, line }) => [code, severity, line])

  it('keeps positions and elevations out of range as they are written', () => {
    const [track] = outcome('jpx/invalid-latlon.xml').value!.tracks
    // <ele>147573952589676412928.000000</ele> and lat="-37050536.000000000" in the file; lon="16.dfd" is no number.
    expect(track.elevation[4]).toBe(Number('147573952589676412928'))
    expect(track.latitude[5]).toBe(-37050536)
    expect([track.latitude[1], track.longitude[1]]).toEqual([48.199352264, Number.NaN])
  })

  it('has no sound track in a file with mismatched tags after its track, but keeps the points before', () => {
    // TABLE.csv: "mismatched tag: line 39"; two points stand before it.
    expect(codes('jpx/GPX_invalid_extensions.gpx')).toContainEqual(['xml-not-well-formed', 'warning', 39])
    expect(outcome('jpx/GPX_invalid_extensions.gpx').value!.tracks[0].time).toHaveLength(2)
  })

  it('fails on what is no XML at all', () => {
    expect(outcome('georust-gpx/badcharacter.xml').value).toBeNull()
    expect(codes('georust-gpx/badcharacter.xml')).toEqual([['xml-not-well-formed', 'error', 1]])
  })

  it('says what a file without tracks has instead', () => {
    const said = (file: string) => outcome(file).problems.find(({ code }) => code === 'no-tracks')?.message
    expect(said('jpx/Austria.gpx')).toContain('82 waypoints')
    expect(said('togeojson/trek.gpx')).toContain('1 route')
    expect(said('togeojson/empty_trk.gpx')).toContain('1 track without points')
  })

  it('counts times without zone', () => {
    expect(codes('gpxpy/gpx1.1_with_all_fields.gpx')).toContainEqual(['time-without-zone', 'warning', undefined])
  })

  it('applies offsets and keeps fractions', () => {
    // 15:43:13.994+01:00 in the file.
    const { time } = outcome('gpxpy/track-with-less-sec-time.gpx').value!.tracks[0]
    expect(time[1]).toBeCloseTo(Date.UTC(2015, 11, 11, 14, 43, 13, 994) / 1000, 6)
  })

  it('reads names in the encoding that the file declares', () => {
    const names = outcome('gpxgo/iso8859-1encoded.gpx').value!.waypoints.map(({ name }) => name)
    expect(names).toHaveLength(8)
    expect(names.join()).not.toContain('\ufffd')
  })
})
