import { describe, expect, it } from 'vitest'
import { median } from '../../src/base/statistics.ts'
import type { TerrainTile } from '../../src/read/terrain/types.ts'
import { pathOf } from '../../src/road/path.ts'
import { elevationAt, elevationOnPath, profileOf } from '../../src/road/profile.ts'
import { routesOf } from '../../src/road/routes.ts'
import { heightAt, terrainWitness } from '../../src/road/terrain.ts'
import type { ElevationProfile } from '../../src/road/types.ts'
import { elevationGain } from '../../src/track/elevation.ts'
import { inputFile, reportOf } from '../campaign/folder.ts'
import { hgtBytes, tileOf } from '../read/terrain/tiles.ts'
import { randomOf } from '../simulator/random.ts'
import { mustDrive, type Point, trackOf } from '../track/tracks.ts'

/** A plane rises by so much per degree: what bilinear interpolation gives back exactly. */
const plane = (latitude: number, longitude: number): number => 100 + 1200 * (longitude - 9) + 2400 * (latitude - 48)
const degree = (heightM: (latitude: number, longitude: number) => number, step = 1 / 1200): TerrainTile =>
  tileOf(49, 9, step, Math.round(1 / step) + 1, heightM)

describe('the height at a place', () => {
  const tile = degree(plane, 1 / 100)

  it.each([
    [48, 9],
    [49, 10],
    [48.4321, 9.8765],
    [48.999, 9.001],
  ])('on a plane at %d° N %d° E is the plane’s', (latitude, longitude) => {
    // The heights are 32-bit: half a step of 2400 in the last place is 1.2e-4 m.
    expect(Math.abs(heightAt(tile, latitude, longitude) - plane(latitude, longitude))).toBeLessThan(2e-4)
  })

  // Bilinear interpolation of x² + y² in the middle of a cell of side 1: 1/4 too high in each direction.
  it.each([
    { x: 2, y: 3, want: 13 },
    { x: 2.5, y: 3, want: 6.25 + 0.25 + 9 },
    { x: 2.5, y: 1.5, want: 6.25 + 0.25 + 2.25 + 0.25 },
    { x: 4, y: 4, want: 32 },
  ])('on a paraboloid at $x, $y', ({ x, y, want }) => {
    const bowl = tileOf(4, 0, 1, 5, (latitude, longitude) => latitude ** 2 + longitude ** 2)
    expect(heightAt(bowl, y, x)).toBeCloseTo(want, 10)
  })

  it('outside is not known, but the outermost cells go on for half a step, to where the next tile’s begin', () => {
    expect(heightAt(tile, 49.0051, 9.5)).toBeNaN()
    expect(heightAt(tile, 48.5, 8.9949)).toBeNaN()
    expect(heightAt(tile, Number.NaN, 9.5)).toBeNaN()
    expect(heightAt(tile, 49.0049, 9.5)).toBeCloseTo(plane(49.0049, 9.5), 3)
    expect(heightAt(tile, 47.9951, 10.0049)).toBeCloseTo(plane(47.9951, 10.0049), 3)
  })

  it.each([
    ['whole metres', Int16Array.of(1, 2, -32768, 4), -32768],
    ['32-bit heights', Float32Array.of(1, 2, Number.NaN, 4), Number.NaN],
  ])('beside one that is not known is not known (%s)', (_, heightM, voidM) => {
    const four = { ...tileOf(1, 0, 1, 2, () => 0), heightM, voidM }
    expect(heightAt(four, 0.5, 0.5)).toBeNaN()
    expect(heightAt(four, 1, 0.25)).toBeCloseTo(1.25, 12)
  })
})

/** Places every 15 m along a straight road to the north-east from 48.3° N 9.3° E, with their distance. */
function road(lengthM: number): { atM: number; latitude: number; longitude: number }[] {
  return Array.from({ length: Math.round(lengthM / 15) + 1 }, (_, i) => ({
    atM: 15 * i,
    latitude: 48.3 + (15 * i * Math.SQRT1_2) / 111_200,
    longitude: 9.3 + (15 * i * Math.SQRT1_2) / 74_200,
  }))
}

type Height = (atM: number, latitude: number, longitude: number) => number

/** The profile of a straight road from drives at 15 m/s with the heights given, and from tiles. */
function profileFrom(lengthM: number, drives: (Height | null)[], tiles: TerrainTile[]): ElevationProfile | null {
  const driven = drives.map((height, d) => {
    const points: Point[] = road(lengthM).map(({ atM, latitude, longitude }, i) => ({
      time: 1.7e9 + 86_400 * d + i,
      latitude,
      longitude,
      ...(height && { elevation: height(atM, latitude, longitude) }),
    }))
    return mustDrive(trackOf(points))
  })
  const paths = driven.map(pathOf)
  const [route] = routesOf(paths)
  const witnesses = route.members.map((m) => ({
    axisM: m.match.axisM,
    elevationM: elevationOnPath(driven[m.run], paths[m.run]),
  }))
  const reference = paths[route.reference]
  return profileOf(witnesses, route.lengthM, reference.spacingM, terrainWitness(reference, tiles))
}

const DRIFT_M = 4
/** A receiver's error: 47 m above, a drift of 4 m that lasts 2 minutes, and 2 m from fix to fix. */
function receiver(seed: string, truth: Height): Height {
  const random = randomOf(seed)
  const keep = Math.exp(-1 / 120)
  let drift = DRIFT_M * random.normal()
  return (atM, latitude, longitude) => {
    drift = keep * drift + DRIFT_M * Math.sqrt(1 - keep * keep) * random.normal()
    return truth(atM, latitude, longitude) + 47 + drift + 2 * random.normal()
  }
}

/** How far a profile lies above a height along the road, m, its first and last 300 m left out. */
function above({ axisM, elevationM }: ElevationProfile, lengthM: number, truth: Height): number[] {
  const places = road(lengthM)
  return Array.from(axisM.keys())
    .filter((i) => axisM[i] > 300 && axisM[i] < lengthM - 300)
    .map((i) => {
      const share = axisM[i] / axisM[axisM.length - 1]
      const { atM, latitude, longitude } = places[Math.round(share * (places.length - 1))]
      return elevationM[i] - truth(atM, latitude, longitude)
    })
}
const rms = (values: number[]): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length)
const onPlane: Height = (_, latitude, longitude) => plane(latitude, longitude)
const gain = (profile: ElevationProfile | null): number => elevationGain(profile!.elevationM, profile!.axisM).gainM

describe('a road’s profile with terrain', () => {
  const LENGTH_M = 12_000

  it('without any heights of a drive is the terrain’s: on a plane within 0.3 m', () => {
    const profile = profileFrom(LENGTH_M, [null], [degree(plane)])!
    // The plane rises 0.36 m between two places 15 m apart, of which the nearest is taken here: 0.18 m, and rounding.
    expect(Math.max(...above(profile, LENGTH_M, onPlane).map(Math.abs))).toBeLessThan(0.3)
    expect([profile.witnesses, profile.terrain]).toEqual([1, 'level'])
  })

  it('on a bowl is higher by what its curvature and the widths of the two smoothings say', () => {
    // A mean over weights of variance v raises a parabola of second derivative c by c·v/2. Tricube weights over ± 200 m:
    // v = 35/243·200² = 5761 m²; triangular over ± 100 m in 20 m steps: v = 20²·(6² − 1)/6 = 2333 m². From the formulas.
    const curvature = 4e-5
    const middle = LENGTH_M / 2
    const bowl: Height = (_, latitude, longitude) => {
      const eastM = (longitude - 9.3) * 74_200
      const northM = (latitude - 48.3) * 111_200
      return 300 + (curvature / 2) * ((eastM + northM) * Math.SQRT1_2 - middle) ** 2
    }
    const profile = profileFrom(LENGTH_M, [null], [degree((lat, lon) => bowl(0, lat, lon), 1 / 3600)])!
    const bottom = elevationAt(profile, profile.axisM[profile.axisM.length - 1] / 2)
    expect(Math.abs(bottom - 300 - (curvature / 2) * (5761 + 2333))).toBeLessThan(0.05)
  })

  it.each([1, 2, 3, 5])(
    'and %i drives 47 m too high that drift by 4 m: the level is the terrain’s, the drift a third',
    (count) => {
      const drives = Array.from({ length: count }, (_, d) => receiver(`plane ${d}`, onPlane))
      const profile = profileFrom(LENGTH_M, drives, [degree(plane)])!
      const off = above(profile, LENGTH_M, onPlane)
      // One drive has a weight of 1 in 3; more drives err less. Half as much again for so short a sample of the drift.
      expect(rms(off)).toBeLessThan((1.5 * DRIFT_M) / 3)
      expect(Math.abs(median(off))).toBeLessThan(1)
      expect(profile.witnesses).toBe(count + 1)
      const alone = above(profileFrom(LENGTH_M, drives, [])!, LENGTH_M, onPlane)
      expect(Math.abs(median(alone) - 47)).toBeLessThan(DRIFT_M)
    },
  )

  it('a tile above the ellipsoid gives the shape and leaves the level to the drives', () => {
    const tile: TerrainTile = { ...degree(plane), level: 'ellipsoid' }
    const profile = profileFrom(LENGTH_M, [(...place) => onPlane(...place) - 30], [tile])!
    expect(profile.terrain).toBe('shape')
    expect(Math.abs(median(above(profile, LENGTH_M, onPlane)) + 30)).toBeLessThan(0.3)
  })

  it('a finer tile first in the list answers, the other where it knows nothing', () => {
    const half = tileOf(48.34, 9.3, 1 / 1200, 49, plane)
    const profile = profileFrom(LENGTH_M, [null], [half, degree((lat, lon) => plane(lat, lon))])!
    expect(Math.max(...above(profile, LENGTH_M, onPlane).map(Math.abs))).toBeLessThan(0.3)
  })
})

describe('over hills, of a model whose heights scatter by 3 m', () => {
  const LENGTH_M = 12_000
  const hills: Height = (_, latitude, longitude) => {
    const atM = ((longitude - 9.3) * 74_200 + (latitude - 48.3) * 111_200) * Math.SQRT1_2
    return 400 + 25 * Math.sin((2 * Math.PI * atM) / 4000)
  }
  const random = randomOf('scatter')
  const tile = tileOf(48.38, 9.29, 1 / 3600, 480, (lat, lon) => hills(0, lat, lon) + 3 * random.normal())
  const errorM = (drives: (Height | null)[], tiles: TerrainTile[]): number => {
    const off = above(profileFrom(LENGTH_M, drives, tiles)!, LENGTH_M, hills)
    const level = median(off)
    return rms(off.map((v) => v - level))
  }

  // Independent errors: of one drive of 4 m and a terrain without bias a third of the drift is left, and a little scatter.
  it.each([1, 3])('the shape is nearer to the road’s than that of %i drives alone', (count) => {
    const drives = (set: number) => Array.from({ length: count }, (_, d) => receiver(`hills ${set} ${d}`, hills))
    const mean = (of: (set: number) => number) => [0, 1, 2, 3, 4, 5].reduce((sum, set) => sum + of(set) / 6, 0)
    const alone = mean((set) => errorM(drives(set), []))
    const both = mean((set) => errorM(drives(set), [tile]))
    expect(both).toBeLessThan(0.7 * alone)
  })
})

describe('where the road does not lie on the ground', () => {
  const LENGTH_M = 6000
  /** Terrain that depends on the distance along the road alone. */
  const across = (heightM: (atM: number) => number): TerrainTile =>
    tileOf(48.36, 9.29, 1 / 3600, 241, (latitude, longitude) => {
      return heightM(((longitude - 9.3) * 74_200 + (latitude - 48.3) * 111_200) * Math.SQRT1_2)
    })
  const notch = (depthM: number, halfWidthM: number) => (atM: number) =>
    300 - depthM * Math.max(0, 1 - Math.abs(atM - 3000) / halfWidthM)
  const level: Height = () => 300

  it.each([
    { what: 'a bridge over a valley of 60 m', depthM: 60 },
    { what: 'a tunnel through a hill of 60 m', depthM: -60 },
  ])('$what does not climb, whether drives have heights or not', ({ depthM }) => {
    const terrain = across(notch(depthM, 200))
    for (const drives of [[null], [receiver('bridge', level)], [0, 1, 2].map((d) => receiver(`bridge ${d}`, level))]) {
      const profile = profileFrom(LENGTH_M, drives, [terrain])
      // The flanks are gone but for the widths over which the grade is judged; a drive's drift adds a third of itself.
      expect(Math.max(...above(profile!, LENGTH_M, level).map(Math.abs))).toBeLessThan(drives[0] === null ? 2 : 4)
    }
  })

  it('a valley with flanks of 14 % is crossed level where a drive says so; without one the road goes down', () => {
    const terrain = across(notch(42, 300))
    expect(gain(profileFrom(LENGTH_M, [level], [terrain]))).toBeLessThan(3)
    // Where no drive has heights nobody can tell: the documented limit of the method.
    expect(gain(profileFrom(LENGTH_M, [null], [terrain]))).toBeGreaterThan(25)
  })

  it.each([[null], [receiver('hill', (atM) => notch(-60, 1000)(atM))]])(
    'a hill that the road climbs at 6 % stays',
    (drive) => {
      // Of 60 m the two smoothings cut the peak by 0.12/2·(0.318·200 + 33) = 5.8 m (mean distances of their weights).
      const climbed = gain(profileFrom(LENGTH_M, [drive], [across(notch(-60, 1000))]))
      expect(climbed).toBeGreaterThan(52)
      expect(climbed).toBeLessThan(63)
    },
  )
})

describe('tiles that know a part of the road', () => {
  const LENGTH_M = 12_000
  /** Ends at 48.348° N: the road reaches it after 7.5 of 12 km. */
  const part = tileOf(48.348, 9.2, 1 / 1200, 241, plane)

  it('are not asked alone', () => {
    expect(profileFrom(LENGTH_M, [null], [part])).toBeNull()
  })

  it('with a drive that has heights: its shape goes on from the terrain’s last level', () => {
    const profile = profileFrom(LENGTH_M, [(...place) => onPlane(...place) + 47], [part])!
    expect(Math.max(...above(profile, LENGTH_M, onPlane).map(Math.abs))).toBeLessThan(0.5)
  })

  it('a tile elsewhere says nothing', () => {
    const profile = profileFrom(LENGTH_M, [onPlane], [tileOf(10, 10, 0.01, 5, plane)])!
    expect(profile.terrain).toBeNull()
  })
})

describe('a folder with a tile', async () => {
  const LENGTH_M = 12_000
  const gpx = (day: number, height: Height | null): string => {
    const points = road(LENGTH_M).map(({ atM, latitude, longitude }, i) => {
      const time = new Date(Date.UTC(2025, 4, day, 10, 0, i)).toISOString()
      const ele = height ? `<ele>${height(atM, latitude, longitude).toFixed(2)}</ele>` : ''
      return `<trkpt lat="${latitude.toFixed(7)}" lon="${longitude.toFixed(7)}">${ele}<time>${time}</time></trkpt>`
    })
    return `<gpx version="1.1" creator="t" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>${points.join('')}</trkseg></trk></gpx>`
  }
  const weather = [
    'time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg',
    ...[2, 3].map((day) => `2025-05-0${day}T10:05:00Z,X,48.35,9.35,1000,15,50,900,2,300`),
  ].join('\n')
  const tile = inputFile(
    'elevation/n48e009.hgt',
    hgtBytes(1201, (row, column) => 100 + column + 2 * (1200 - row)),
  )
  const elsewhere = inputFile(
    'N10E010.hgt',
    hgtBytes(1201, () => 5),
  )
  const track = (name: string, day: number, height: Height | null) => inputFile(`${name}.gpx`, gpx(day, height))
  const others = [inputFile('weather.csv', weather), elsewhere, inputFile('oops.hgt', new Uint8Array(9))]
  const bare = await reportOf([tile, ...others, track('bare', 2, null)])
  const high = (withTile: boolean) =>
    reportOf([...(withTile ? [tile] : []), ...others, track('high', 3, (...place) => onPlane(...place) + 47)])
  const right = await reportOf([...others, track('right', 3, onPlane)])

  it('gives a run without heights its climbs', () => {
    const [first, last] = [road(LENGTH_M)[0], road(LENGTH_M).at(-1)!]
    const climbM = plane(last.latitude, last.longitude) - plane(first.latitude, first.longitude)
    // Where the road begins and ends is known to a step of its path: twice 20 m at 2.67 % of grade.
    expect(Math.abs(bare.runs[0].elevation_gain_m! - climbM)).toBeLessThan(1.07)
    expect(bare.runs[0].elevation_loss_m).toBe(0)
    expect(bare.routes[0].elevation_gain_m).not.toBeNull()
  })

  it('without a tile there are none', async () => {
    const report = await reportOf([...others, track('bare', 2, null)])
    expect(report.runs[0].elevation_gain_m).toBeNull()
  })

  it('sets the level at which the air presses on the road', async () => {
    const pressure = (report: typeof right): number => report.runs[0].air.station_pressure_hpa!
    // 47 m are 47·9.81·1.09/100 = 5.0 hPa at 900 hPa and 15 °C (hydrostatic); without the tile the run is so much off.
    expect(Math.abs(pressure(await high(false)) - pressure(right) + 5.0)).toBeLessThan(0.2)
    expect(Math.abs(pressure(await high(true)) - pressure(right))).toBeLessThan(0.05)
  })

  it('says of every tile what became of it', () => {
    const inputs = bare.inputs.filter((i) => i.kind === 'elevation')
    expect(inputs.map((i) => [i.path, i.notes])).toEqual([
      ['N10E010.hgt', ['no drive passes over it: not read']],
      ['elevation/n48e009.hgt', ['terrain heights 3 seconds of arc apart, above the geoid']],
      ['oops.hgt', []],
    ])
    expect(bare.problems.filter((p) => p.path === 'oops.hgt').map((p) => p.code)).toEqual(['tile-name'])
  })

  it('says how much of a road the tiles know', async () => {
    const notes = (report: typeof right) => report.problems.filter((p) => p.code === 'tiles-incomplete')
    expect(notes(bare)).toEqual([])
    // Known up to 49 − 771/1200 = 48.3575° N; the road runs from 48.3° to 48.3763° N: three quarters of it.
    const holed = hgtBytes(1201, (row, column) => (row <= 770 ? -32768 : column))
    const report = await reportOf([inputFile('N48E009.hgt', holed), ...others, track('high', 3, onPlane)])
    expect(notes(report).map((p) => [p.severity, p.message])).toEqual([
      ['note', expect.stringContaining('know 75 % of route-1; the rest is taken from the drives')],
    ])
  })
})
