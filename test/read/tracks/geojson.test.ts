import { gpx } from '@tmcw/togeojson'
import { DOMParser } from '@xmldom/xmldom'
import { describe, expect, it } from 'vitest'
import { readGpx } from '../../../src/read/gpx/read.ts'
import { kindOf } from '../../../src/read/kind.ts'
import { readGeojson } from '../../../src/read/tracks/geojson.ts'

const START = Date.UTC(2024, 4, 3, 8) / 1000
const GPX = `<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>out</name>${[0, 1]
  .map(
    (s) =>
      `<trkseg>${Array.from({ length: 20 }, (_, i) => `<trkpt lat="${48 + (20 * s + i) * 1e-4}" lon="11.5"><ele>500</ele><time>${new Date((START + 20 * s + i) * 1000).toISOString()}</time></trkpt>`).join('')}</trkseg>`,
  )
  .join('')}</trk></gpx>`

describe('GeoJSON', () => {
  it('of lines as togeojson writes them is the GPX that it was made of', () => {
    const text = JSON.stringify(gpx(new DOMParser().parseFromString(GPX, 'text/xml') as never))
    expect(kindOf(text)).toBe('geojson')
    const { value, problems } = readGeojson(text)
    expect(problems).toEqual([])
    const [own, from] = [value!.tracks[0], readGpx(GPX).value!.tracks[0]]
    expect(own).toEqual({ ...from, index: 1 })
  })

  it('of points with a time each is one recording, with the quantities that name a unit', () => {
    const features = Array.from({ length: 5 }, (_, i) => ({
      type: 'Feature',
      geometry: { type: 'Point', coordinates: [11.5, 48 + i * 1e-4, 500] },
      properties: { time: 1000 * (START + i), speed_kmh: 36, soc: 80, name: 'x' },
    }))
    const { value, problems } = readGeojson(JSON.stringify({ type: 'FeatureCollection', features }))
    expect(problems).toEqual([])
    expect(Array.from(value!.tracks[0].time)).toEqual([0, 1, 2, 3, 4].map((i) => START + i))
    expect(value!.tracks[0].logged.speedMps?.values[0]).toBeCloseTo(10, 12)
    expect(value!.tracks[0].logged.stateOfCharge).toBeUndefined()
  })

  it('without times, of garbage and cut off says what was expected', () => {
    const line = {
      type: 'Feature',
      geometry: { type: 'LineString', coordinates: [[1, 2], ['x', null], 3] },
      properties: null,
    }
    expect(readGeojson(JSON.stringify(line)).problems.map(({ code }) => code)).toEqual(['time-missing'])
    expect(
      readGeojson('{"type":"FeatureCollection","features":[{"geometry":{"coordinates":[]}},7,null]}').problems.map(
        ({ code }) => code,
      ),
    ).toEqual(['no-tracks'])
    const cut = readGeojson('{"type":"Feature",\n"geometry":')
    expect(cut.value).toBeNull()
    expect(cut.problems[0].code).toBe('json-unreadable')
  })
})
