import { gzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { hgtBox, isHgtName, readHgt } from '../../../src/read/terrain/hgt.ts'
import { hgtBytes } from './tiles.ts'

// Names and layout: USGS, SRTM Topography (documentation of version 2.1), sections 2.1 and 2.2: the name is the
// south-west corner, rows from north to south, two bytes a height, the higher one first, -32768 for a void.
describe('the corner in the name of a height file', () => {
  it.each([
    { path: 'N48E009.hgt', south: 48, west: 9 },
    { path: 'elevation/n48e009.hgt', south: 48, west: 9 },
    { path: 'S34W071.SRTMGL1.hgt', south: -34, west: -71 },
    { path: 'a\\N00W001.hgt', south: 0, west: -1 },
    { path: 's01e179.hgt.gz', south: -1, west: 179 },
  ])('$path', ({ path, south, west }) => {
    expect(hgtBox(path)).toEqual({ southDeg: south, westDeg: west, northDeg: south + 1, eastDeg: west + 1 })
  })

  it.each(['tile.hgt', 'N48.hgt', 'N90E000.hgt', 'S91E000.hgt', 'N48E180.hgt', 'N48W181.hgt', 'xN48E009.hgt', ''])(
    'none in "%s"',
    (path) => {
      expect(hgtBox(path)).toBeNull()
    },
  )

  it.each([
    ['N48E009.hgt', true],
    ['x.HGT.gz', true],
    ['N48E009.tif', false],
    ['hgt', false],
  ])('%s calls itself a height file: %s', (path, want) => {
    expect(isHgtName(path)).toBe(want)
  })
})

describe('a height file', () => {
  it.each([1201, 3601])('of %d heights a side: its corners in their places', (side) => {
    const { value, problems } = readHgt(
      hgtBytes(side, (row, column) => (row === 0 ? 1000 : -7) + (column === side - 1 ? 1 : 0)),
      'N48E009.hgt',
    )
    expect(problems).toEqual([])
    const { heightM, ...grid } = value!
    expect(grid).toEqual({
      file: 'N48E009.hgt',
      northDeg: 49,
      westDeg: 9,
      stepLatitudeDeg: 1 / (side - 1),
      stepLongitudeDeg: 1 / (side - 1),
      rows: side,
      columns: side,
      voidM: -32768,
      level: 'geoid',
    })
    const corners = [0, side - 1, side * (side - 1), side * side - 1].map((i) => heightM[i])
    expect(corners).toEqual([1000, 1001, -7, -6])
  })

  it('packed by gzip is the same, also at an odd place of a larger buffer', () => {
    const plain = hgtBytes(1201, (row, column) => row - column)
    const packed = gzipSync(plain)
    const inside = new Uint8Array(packed.length + 3)
    inside.set(packed, 3)
    const { value } = readHgt(inside.subarray(3), 'N48E009.hgt.gz')
    const want = readHgt(plain, 'N48E009.hgt').value?.heightM
    expect(value?.heightM.findIndex((height, i) => height !== want?.[i])).toBe(-1)
    expect(value?.heightM).toHaveLength(1201 * 1201)
  })

  it('heights that no land has are taken as not known, and counted; voids are not', () => {
    const bytes = hgtBytes(1201, (row, column) => (row === 5 ? -32768 : row === 6 && column < 3 ? 9001 : 400))
    const { value, problems } = readHgt(bytes, 'N48E009.hgt')
    expect(problems.map((p) => [p.code, p.severity])).toEqual([['tile-heights', 'warning']])
    expect(problems[0].message).toContain('3 of 1442401 heights')
    expect([value?.heightM[6 * 1201], value?.heightM[6 * 1201 + 3]]).toEqual([-32768, 400])
  })

  it.each([
    { what: 'no corner in the name', path: 'tile.hgt', bytes: () => hgtBytes(1201, () => 1), code: 'tile-name' },
    { what: 'cut off', path: 'N48E009.hgt', bytes: () => new Uint8Array(2_000_000), code: 'tile-size' },
    { what: 'empty', path: 'N48E009.hgt', bytes: () => new Uint8Array(0), code: 'tile-size' },
    {
      what: 'damaged gzip',
      path: 'N48E009.hgt.gz',
      bytes: () => Uint8Array.of(0x1f, 0x8b, 8, 1, 2, 3),
      code: 'tile-size',
    },
    {
      what: 'gzip of far more',
      path: 'N48E009.hgt.gz',
      bytes: () => gzipSync(new Uint8Array(30_000_000)),
      code: 'tile-size',
    },
  ])('$what: $code', ({ path, bytes, code }) => {
    const { value, problems } = readHgt(bytes(), path)
    expect(value).toBeNull()
    expect(problems.map((p) => [p.code, p.severity])).toEqual([[code, 'error']])
  })
})
