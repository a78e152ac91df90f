import { describe, expect, it } from 'vitest'
import { readGpx } from '../../src/read/gpx/read.ts'

const point = (i: number, inside: string): string =>
  `<trkpt lat="${48 + i * 1e-4}" lon="11"><ele>500</ele><time>2024-05-03T08:00:${String(i).padStart(2, '0')}Z</time>${inside}</trkpt>`
const file = (points: string): string =>
  `<gpx version="1.1" xmlns="http://www.topografix.com/GPX/1/1" xmlns:gpxtpx="http://www.garmin.com/xmlschemas/TrackPointExtension/v2"><trk><trkseg>${points}</trkseg></trk></gpx>`

describe('the speed of GPX points', () => {
  // Metres a second: GPX 1.0 schema (element speed); TrackPointExtension v2 schema (speed).
  it.each([
    ['of GPX 1.0', (v: string) => `<speed>${v}</speed>`],
    [
      'of the track point extension',
      (v: string) =>
        `<extensions><gpxtpx:TrackPointExtension><gpxtpx:hr>90</gpxtpx:hr><gpxtpx:speed>${v}</gpxtpx:speed></gpxtpx:TrackPointExtension></extensions>`,
    ],
    ['of a plain extension', (v: string) => `<extensions><speed>${v}</speed></extensions>`],
  ])('%s goes with the point, and none with a point that has none', (_, inside) => {
    const { value, problems } = readGpx(
      file(
        [point(0, ''), point(1, inside('12.5')), point(2, inside('x')), point(3, ''), point(4, inside('13'))].join(''),
      ),
    )
    expect(problems).toEqual([])
    expect(Array.from(value!.tracks[0].logged.speedMps?.values ?? [])).toEqual([
      Number.NaN,
      12.5,
      Number.NaN,
      Number.NaN,
      13,
    ])
    expect(value!.tracks[0].elevation[1]).toBe(500)
  })

  it('is not logged where no point has any', () => {
    expect(readGpx(file(point(0, '') + point(1, ''))).value!.tracks[0].logged).toEqual({})
  })
})
