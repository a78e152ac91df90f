import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { readGeoTiff } from '../../../src/read/terrain/geotiff.ts'
import { randomOf } from '../../simulator/random.ts'
import { geoTiffBytes } from './tiles.ts'

const HEIGHTS = [
  [10, 11, 12, 13],
  [20, 21, 22, 23],
  [30, 31, 32, 33],
]
const EVERYWHERE = { southDeg: -90, westDeg: -180, northDeg: 90, eastDeg: 180 }
const read = (bytes: Uint8Array, box = EVERYWHERE) => readGeoTiff(bytes, 'a.tif', box)

// Where pixels lie: OGC 19-008r4 (GeoTIFF 1.1), PixelIsPoint: the tie point is the first pixel's centre; PixelIsArea: its
// outer corner, half a pixel to the north-west of the centre.
describe('a GeoTIFF of heights', () => {
  it('whose pixels are points has its first height at the tie point', async () => {
    const { value, problems } = await read(geoTiffBytes(HEIGHTS))
    expect(problems).toEqual([])
    expect(value).toHaveLength(1)
    const { heightM, ...grid } = value![0]
    expect(Array.from(heightM)).toEqual(HEIGHTS.flat())
    expect(grid).toEqual({
      file: 'a.tif',
      northDeg: 49,
      westDeg: 9,
      stepLatitudeDeg: 0.01,
      stepLongitudeDeg: 0.01,
      rows: 3,
      columns: 4,
      voidM: Number.NaN,
      level: 'geoid',
    })
  })

  it('whose pixels are areas has it half a pixel further in', async () => {
    const { value } = await read(geoTiffBytes(HEIGHTS, { GTRasterTypeGeoKey: 1 }))
    expect(value![0].northDeg).toBeCloseTo(48.995, 12)
    expect(value![0].westDeg).toBeCloseTo(9.005, 12)
  })

  it('with the tie point at another pixel', async () => {
    const { value } = await read(geoTiffBytes(HEIGHTS, { ModelTiepoint: [2, 1, 0, 9, 49, 0] }))
    expect(value![0].northDeg).toBeCloseTo(49.01, 12)
    expect(value![0].westDeg).toBeCloseTo(8.98, 12)
  })

  it('of which only the part around a box is read', async () => {
    const { value } = await read(geoTiffBytes(HEIGHTS), {
      southDeg: 48.982,
      northDeg: 48.984,
      westDeg: 9.021,
      eastDeg: 9.028,
    })
    const [tile] = value!
    expect([tile.northDeg, tile.westDeg, tile.rows, tile.columns]).toEqual([48.99, 9.02, 2, 2])
    expect(Array.from(tile.heightM)).toEqual([22, 23, 32, 33])
  })

  it('beside the box: no tile and no problem', async () => {
    const elsewhere = { southDeg: 48, northDeg: 48.9, westDeg: 9, eastDeg: 9.1 }
    expect(await read(geoTiffBytes(HEIGHTS), elsewhere)).toEqual({ value: [], problems: [] })
  })

  it('nodata is not known, also where 32 bits cannot hold its decimal', async () => {
    for (const nodata of [-9999, -3.4e38, 0.1]) {
      const { value, problems } = await read(geoTiffBytes([[nodata, 5]], { GDAL_NODATA: String(nodata) }))
      expect(problems).toEqual([])
      expect(Array.from(value![0].heightM)).toEqual([Number.NaN, 5])
    }
  })

  it.each([
    // EPSG: 9002 is the foot of 0.3048 m, 9003 the US survey foot of 1200/3937 m.
    { unit: 9001, want: 1000 },
    { unit: 9002, want: 304.8 },
    { unit: 9003, want: 1_200_000 / 3937 },
  ])('heights in unit $unit', async ({ unit, want }) => {
    const { value } = await read(geoTiffBytes([[1000, 1000]], { VerticalUnitsGeoKey: unit }))
    expect(value![0].heightM[0]).toBeCloseTo(want, 4)
  })

  it.each([
    { epsg: 4269, level: 'geoid' },
    { epsg: 4979, level: 'ellipsoid' },
  ])('in EPSG:$epsg is taken with a note, level $level', async ({ epsg, level }) => {
    const { value, problems } = await read(geoTiffBytes(HEIGHTS, { GeographicTypeGeoKey: epsg }))
    expect(value![0].level).toBe(level)
    expect(problems.map((p) => [p.code, p.severity])).toEqual([['tile-datum', 'note']])
  })

  it('impossible heights are taken as not known, and counted', async () => {
    const { value, problems } = await read(geoTiffBytes([[-32767, 5, 1e9]]))
    expect(Array.from(value![0].heightM)).toEqual([Number.NaN, 5, Number.NaN])
    expect(problems[0].code).toBe('tile-heights')
    expect(problems[0].message).toContain('2 of 3 heights')
  })
})

// Data: test/data/terrain (see its SOURCE.md), by another writer than the library's own.
const published = new URL('../../data/terrain/plane.tif', import.meta.url)

describe('a tile laid out as published ones are: blocks, deflate, floating-point predictor', async () => {
  const { value, problems } = await read(readFileSync(published))
  const [tile] = value!

  it('lies where it should, its first pixel not known', () => {
    expect(problems).toEqual([])
    expect([tile.rows, tile.columns]).toEqual([40, 36])
    expect(tile.northDeg).toBeCloseTo(48.5, 12)
    expect(tile.westDeg).toBeCloseTo(9.2, 12)
    expect(tile.heightM[0]).toBeNaN()
  })

  it('holds the plane to 32 bits', () => {
    const off = Array.from(tile.heightM, (height, i) => {
      const latitude = 48.5 - Math.floor(i / 36) / 3600
      return Math.abs(height - (100 + 1200 * (0.2 + (i % 36) / 3600) + 2400 * (latitude - 48)))
    })
    expect(Math.max(...off.slice(1))).toBeLessThan(2e-4)
  })
})

describe('a TIFF that cannot be used', () => {
  const good = geoTiffBytes(HEIGHTS)
  it.each([
    {
      what: 'projected (UTM)',
      bytes: geoTiffBytes(HEIGHTS, { GTModelTypeGeoKey: 1, ProjectedCSTypeGeoKey: 32632 }),
      code: 'tile-projection',
    },
    { what: 'another datum', bytes: geoTiffBytes(HEIGHTS, { GeographicTypeGeoKey: 4267 }), code: 'tile-projection' },
    { what: 'a coloured map of three bands', bytes: geoTiffBytes(HEIGHTS, {}, 3), code: 'tile-bands' },
    { what: 'heights in fathoms', bytes: geoTiffBytes(HEIGHTS, { VerticalUnitsGeoKey: 9014 }), code: 'tile-unit' },
    { what: 'south up', bytes: geoTiffBytes(HEIGHTS, { ModelPixelScale: [0.01, -0.01, 0] }), code: 'tile-place' },
    { what: 'cut off in its heights', bytes: good.slice(0, -30), code: 'tile-damaged' },
    { what: 'cut off in its header', bytes: good.slice(0, 60), code: 'tile-damaged' },
    { what: 'nothing but the mark of a TIFF', bytes: Uint8Array.of(0x49, 0x49, 42, 0), code: 'tile-damaged' },
    {
      what: 'noise after the mark',
      bytes: Uint8Array.from({ length: 500 }, (_, i) => (i < 4 ? [0x4d, 0x4d, 0, 42][i] : (i * 167 + 13) % 256)),
      code: 'tile-damaged',
    },
  ])('$what: $code', async ({ bytes, code }) => {
    const { value, problems } = await read(bytes)
    expect(value).toBeNull()
    expect(problems.map((p) => [p.code, p.severity])).toEqual([[code, 'error']])
  })

  it('damaged in any byte never throws: it is read, or there is an error', async () => {
    const random = randomOf('damaged tiles')
    const small = { southDeg: 48.49, northDeg: 48.51, westDeg: 9.2, eastDeg: 9.21 }
    let errors = 0
    for (let k = 0; k < 200; k++) {
      const bytes = Uint8Array.from(readFileSync(published))
      bytes[Math.floor(random.between(4, bytes.length))] ^= 1 << Math.floor(random.between(0, 8))
      const { value, problems } = await read(bytes, small)
      if (value === null) errors++
      expect(problems.some((p) => p.severity === 'error')).toBe(value === null)
    }
    expect(errors).toBeGreaterThan(50)
  })

  it('says which projection it found', async () => {
    const { problems } = await read(geoTiffBytes(HEIGHTS, { GTModelTypeGeoKey: 1, ProjectedCSTypeGeoKey: 32632 }))
    expect(problems[0].message).toContain('EPSG:32632')
  })
})
