import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { glo30Request } from '../../src/fetch/terrain/glo30.ts'
import { skadi, skadiRequest } from '../../src/fetch/terrain/skadi.ts'
import { readGeoTiff } from '../../src/read/terrain/geotiff.ts'
import { readHgt } from '../../src/read/terrain/hgt.ts'
import type { Report } from '../../src/report/contract.ts'
import { heightAt, terrainWitness } from '../../src/road/terrain.ts'
import type { Path } from '../../src/road/types.ts'
import { folderWith } from '../cli/command.ts'
import { hgtBytes, tileOf } from '../read/terrain/tiles.ts'
import { ceterisOn, trackBetween } from './on-loopback.ts'
import { type Replay, replayServer } from './replay-server.ts'

/** A tiled and deflated GeoTIFF of a plane at 48.49° N 9.205° E, made by Python's tifffile: test/data/terrain/SOURCE.md. */
const PLANE = new Uint8Array(readFileSync(join(import.meta.dirname, '../data/terrain/plane.tif')))
const planeM = (latitude: number, longitude: number): number => 100 + 1200 * (longitude - 9) + 2400 * (latitude - 48)

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-terrain-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const square = (southDeg: number, westDeg: number) => ({
  southDeg,
  westDeg,
  around: { southDeg, westDeg, northDeg: southDeg + 0.1, eastDeg: westDeg + 0.1 },
})

/** A file that is given out in the ranges asked for, as an object store does (RFC 9110, 14.2 and 15.3.7). */
const ranges =
  (path: string, bytes: Uint8Array): Replay =>
  (seen, response) => {
    const range = /^bytes=(\d+)-(\d+)$/.exec(seen.headers.range ?? '')
    if (seen.url.pathname !== path || !range) return false
    const [from, to] = [Number(range[1]), Math.min(Number(range[2]), bytes.length - 1)]
    response.writeHead(206, { 'content-range': `bytes ${from}-${to}/${bytes.length}`, etag: '"plane"' })
    response.end(bytes.subarray(from, to + 1))
    return true
  }

describe('addresses of tiles', () => {
  // The names in the providers' own descriptions: joerd's formats.md (N50E008 and the like), the STAC item of N53W115.
  it.each([
    [50, 8, 'skadi/N50/N50E008.hgt.gz', 'Copernicus_DSM_COG_10_N50_00_E008_00_DEM'],
    [53, -115, 'skadi/N53/N53W115.hgt.gz', 'Copernicus_DSM_COG_10_N53_00_W115_00_DEM'],
    [-34, 18, 'skadi/S34/S34E018.hgt.gz', 'Copernicus_DSM_COG_10_S34_00_E018_00_DEM'],
  ])('of %i, %i', (south, west, path, name) => {
    expect(skadiRequest(square(south, west)).url).toBe(`https://elevation-tiles-prod.s3.amazonaws.com/${path}`)
    expect(glo30Request(square(south, west)).url).toBe(
      `https://copernicus-dem-30m.s3.amazonaws.com/${name}/${name}.tif`,
    )
  })
})

describe('a packed height file', () => {
  const ask = skadiRequest(square(48, 9))
  const whole = new Uint8Array(gzipSync(hgtBytes(3601, () => 100)))
  it.each([
    ['whole', whole, 'whole'],
    ['cut off', whole.subarray(0, whole.length - 100), 'broken'],
    ['of another size', new Uint8Array(gzipSync(hgtBytes(1201, () => 100))), 'wrong'],
    [
      'an error of the store',
      new TextEncoder().encode('<?xml version="1.0"?><Error><Code>AccessDenied</Code></Error>'),
      'wrong',
    ],
    ['empty', new Uint8Array(0), 'broken'],
  ])('%s', (_, bytes, state) => {
    expect(skadi.check(ask, bytes).state).toBe(state)
  })
})

describe('terrain along the roads', () => {
  it('of the surface model only the part around the roads is fetched, by ranges, and the report names its source', async () => {
    const name = 'Copernicus_DSM_COG_10_N48_00_E009_00_DEM'
    const server = await replayServer(ranges(`/${name}/${name}.tif`, PLANE))
    const folder = folderWith(join(top, 'glo'), {
      'tracks/a.gpx': trackBetween([48.491, 9.2015], [48.4985, 9.2085], '2026-05-04T08:00:00Z', 90),
      'weather/mast.csv':
        'station,time,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\nA,2026-05-04T08:00Z,48.49,9.2,300,14,70,1010,4,200\n',
    })
    const ended = await ceterisOn(server.port, 'weather', folder, '--terrain', 'glo-30', '--service', 'ghcnh', '--yes')
    await server.close()
    expect(ended.stdout).toContain('provided under COPERNICUS by the European Union and ESA')
    const asked = server.seen.filter(({ url }) => url.pathname.endsWith('.tif'))
    expect(asked.length).toBeGreaterThan(0)
    expect(asked.every(({ headers }) => /^bytes=\d+-\d+$/.test(headers.range ?? ''))).toBe(true)

    const bytes = new Uint8Array(readFileSync(join(folder, `elevation/${name}_part.tif`)))
    const box = { southDeg: 48.489, northDeg: 48.5, westDeg: 9.2, eastDeg: 9.21 }
    const [tile] = (await readGeoTiff(bytes, 'part.tif', box)).value ?? []
    // The heights are the plane at the places that the original file states, to the last place of 32 bits.
    expect(heightAt(tile, 48.495, 9.205)).toBeCloseTo(planeM(48.495, 9.205), 2)
    expect(heightAt(tile, 48.4912, 9.2021)).toBeCloseTo(planeM(48.4912, 9.2021), 2)

    const reported = await ceterisOn(server.port, 'report', folder, '--draws', '50', '--no-cache', '--cards', 'none')
    expect(reported.status).toBe(0)
    const report = JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8')) as Report
    expect(report.sources).toMatchObject([{ purpose: 'terrain', files: [`elevation/${name}_part.tif`] }])
  })

  it('a square without a tile is sea or not released, and told so', async () => {
    const server = await replayServer()
    const folder = folderWith(join(top, 'sea'), {
      'tracks/a.gpx': trackBetween([48.491, 9.2015], [48.4985, 9.2085], '2026-05-04T08:00:00Z', 90),
    })
    const ended = await ceterisOn(server.port, 'weather', folder, '--terrain', 'glo-30', '--service', 'ghcnh', '--yes')
    await server.close()
    expect(ended.stdout).toContain('terrain N48E009, glo-30: nothing there, there is no such tile: sea')
  })

  it('height files are asked for by the degree alone, and not twice', async () => {
    const tile = gzipSync(hgtBytes(3601, () => 300))
    const serve: Replay = ({ url }, response) => {
      if (!url.pathname.endsWith('/N48E009.hgt.gz')) return false
      response.end(tile)
      return true
    }
    const server = await replayServer(serve)
    const folder = folderWith(join(top, 'skadi'), {
      'tracks/a.gpx': trackBetween([48.491, 9.2015], [48.4985, 9.2085], '2026-05-04T08:00:00Z', 90),
    })
    await ceterisOn(server.port, 'weather', folder, '--terrain', '--service', 'ghcnh', '--yes')
    const again = await ceterisOn(server.port, 'weather', folder, '--terrain', '--service', 'ghcnh', '--dry-run')
    await server.close()
    expect(server.seen.filter(({ url }) => url.pathname.includes('skadi'))).toHaveLength(1)
    expect(again.stdout).not.toContain('skadi')
    expect(again.stderr).toContain('the tiles along the roads are there already')
    expect(readFileSync(join(folder, 'elevation/N48E009.hgt.gz')).equals(tile)).toBe(true)
  })
})

describe('heights of the sea and of two models', () => {
  it('depths are no heights, but land below the sea is', () => {
    const sea = readHgt(
      hgtBytes(1201, (row) => (row < 600 ? 5 : -40)),
      'N54E010.hgt',
    )
    expect(sea.problems).toMatchObject([{ code: 'tile-sea', severity: 'note' }])
    expect(heightAt(sea.value!, 54.9, 10.5)).toBe(5)
    expect(heightAt(sea.value!, 54.1, 10.5)).toBeNaN()
    // The shore of the Dead Sea lies some 430 m below the sea.
    const deadSea = readHgt(
      hgtBytes(1201, () => -430),
      'N31E035.hgt',
    )
    expect(deadSea.problems).toEqual([])
    expect(heightAt(deadSea.value!, 31.5, 35.5)).toBe(-430)
  })

  it('one profile is of one source: the finer one, if it knows nearly as much as any', () => {
    const path = straightPath(48.1, 9.1, 48.4)
    const fine = tileOf(48.3, 9, 1 / 3600, 721, () => 200)
    const coarse = tileOf(49, 9, 1 / 1200, 1201, () => 210)
    // The fine tile knows two thirds of the road: the coarse one, which knows it all, is used for all of it.
    expect(levelsOf(terrainWitness(path, [fine, coarse]))).toEqual([210])
    const all = tileOf(49, 9, 1 / 3600, 3601, () => 200)
    expect(levelsOf(terrainWitness(path, [all, coarse]))).toEqual([200])
  })

  it('two tiles of one source join without a step, where each leaves out its last row', () => {
    const step = 1 / 3600
    const plane = (latitude: number): number => 100 + 500 * (latitude - 48)
    // As GLO-30's: centres of pixels on whole degrees, the south and east edge left to the neighbour.
    const north = tileOf(49, 9, step, 3600, plane)
    const south = tileOf(48, 9, step, 3600, plane)
    const profile = terrainWitness(straightPath(47.99, 9.5, 48.01), [north, south])!.elevationM
    profile.forEach((height, i) => {
      // Within half a step beyond the last row the height is carried on, not interpolated: 500 m per degree, half a step.
      const truth = plane(47.99 + (0.02 * i) / (profile.length - 1))
      expect(Math.abs(height - truth)).toBeLessThan(500 * step)
    })
  })
})

/** The heights of a profile, to the millimetre, each once. */
const levelsOf = (witness: ReturnType<typeof terrainWitness>): number[] => [
  ...new Set(Array.from(witness!.elevationM, (height) => Math.round(1000 * height) / 1000)),
]

function straightPath(fromLatitude: number, longitude: number, toLatitude: number): Path {
  const count = 400
  const along = (at: (share: number) => number) => Float64Array.from({ length: count }, (_, i) => at(i / (count - 1)))
  return {
    distanceM: along((share) => share * (toLatitude - fromLatitude) * 111_200),
    latitude: along((share) => fromLatitude + share * (toLatitude - fromLatitude)),
    longitude: along(() => longitude),
    courseDeg: along(() => 0),
    inGap: new Uint8Array(count),
    spacingM: 20,
    lengthM: (toLatitude - fromLatitude) * 111_200,
    corridorM: 30,
    doubt: 0,
  }
}
