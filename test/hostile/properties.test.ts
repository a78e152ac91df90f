import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { conditionsDifference } from '../../src/compare/difference.ts'
import { decodeText } from '../../src/read/bytes.ts'
import { readCampaign } from '../../src/read/campaign/campaign.ts'
import { readGpx } from '../../src/read/gpx/read.ts'
import { kindOf } from '../../src/read/kind.ts'
import { readKml } from '../../src/read/kml.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { readTable } from '../../src/read/table/table.ts'
import { matchPath, prepareReference } from '../../src/road/match.ts'
import { pathOf } from '../../src/road/path.ts'
import { routesOf } from '../../src/road/routes.ts'
import { cleanTrack } from '../../src/track/repair/clean.ts'
import { mustDrive, type Point, trackOf } from '../track/tracks.ts'
import { drive, gpx } from './make.ts'

const SEED = 20240503

describe('readers', () => {
  const texts = {
    GPX: { text: gpx(drive(12)), read: readGpx },
    KML: {
      text: '<kml xmlns:gx="g"><Placemark><gx:Track><when>2024-05-03T08:00:00Z</when><gx:coord>5 52 3</gx:coord></gx:Track></Placemark></kml>',
      read: readKml,
    },
    'runs.csv': { text: 'track,setup,fuel_l,note\na.gpx,"x ""y""",5.1,n\nb.gpx,,,\n', read: readRunsTable },
    'campaign.yaml': {
      text: 'title: x\nsetups: {a: [b], c: []}\nvehicle:\n  class: van\n  mass_kg: 2000\n',
      read: readCampaign,
    },
    'a table': { text: 'a;b\n1,5;2\n"x\ny";3\n', read: readTable },
  }

  it.each(Object.entries(texts))(
    '%s, cut or scribbled over: a value or an error, never a throw',
    (_, { text, read }) => {
      const place = fc.integer({ min: 0, max: text.length })
      const scribble = fc.oneof(
        fc.string({ unit: 'binary', maxLength: 8 }),
        fc.constantFrom('<', '&', '"', '[', '{', '*a', '\0', '\n', ',', '<!--', '<![CDATA[', '1e400', '-'),
      )
      fc.assert(
        fc.property(place, place, scribble, (from, to, written) => {
          const { value, problems } = read(text.slice(0, from) + written + text.slice(to))
          if (value === null) expect(problems.map(({ severity }) => severity)).toContain('error')
          for (const { code, message } of problems) {
            expect(code).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
            expect(message.length).toBeLessThan(1500)
          }
        }),
        { numRuns: 150, seed: SEED },
      )
    },
  )

  it('any bytes: decoded or refused, and of some kind', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        const { value, problems } = decodeText(bytes)
        if (value === null) expect(problems.map(({ severity }) => severity)).toContain('error')
        else expect(kindOf(value.text)).toMatch(/^[a-z-]+$/)
      }),
      { numRuns: 500, seed: SEED },
    )
  })

  it('GPX: what is written is read, point for point', () => {
    const degrees = (most: number) => fc.integer({ min: -most * 1e7, max: most * 1e7 }).map((n) => n / 1e7)
    const point = fc.record({
      lat: degrees(90),
      lon: degrees(180),
      ele: fc.integer({ min: -500, max: 9000 }),
      s: fc.nat(1e9),
    })
    fc.assert(
      fc.property(fc.array(point, { minLength: 1, maxLength: 40 }), (points) => {
        const written = points.map(({ lat, lon, ele, s }) => {
          return { lat: String(lat), lon: String(lon), ele: String(ele), time: new Date(s * 1000).toISOString() }
        })
        const [track] = readGpx(gpx(written)).value!.tracks
        expect([...track.latitude]).toEqual(points.map(({ lat }) => lat))
        expect([...track.longitude]).toEqual(points.map(({ lon }) => lon))
        expect([...track.elevation]).toEqual(points.map(({ ele }) => ele))
        expect([...track.time]).toEqual(points.map(({ s }) => s))
      }),
      { numRuns: 100, seed: SEED },
    )
  })
})

/** A road of bends of 400 m each, driven at a steady speed, a fix every 20 m. */
function bends(turns: number[], startTime = 1.7e9, speedMps = 20): Point[] {
  const points: Point[] = []
  let [north, east, heading, time] = [0, 0, 0, startTime]
  for (const turn of turns) {
    for (let i = 0; i < 20; i++) {
      heading += turn / 20
      north += 20 * Math.cos(heading)
      east += 20 * Math.sin(heading)
      time += 20 / speedMps
      points.push({ time, latitude: 48 + north / 111_200, longitude: 9 + east / 74_600, elevation: 300 })
    }
  }
  return points
}
const road = fc.array(fc.double({ min: -0.5, max: 0.5, noNaN: true }), { minLength: 6, maxLength: 12 })

describe('cleaning', () => {
  it('does not depend on the order of the rows, where each has a time of its own', () => {
    fc.assert(
      fc.property(road, fc.infiniteStream(fc.nat()), (turns, keys) => {
        const points = bends(turns)
        const shuffled = points
          .map((point) => ({ point, key: keys.next().value as number }))
          .sort((a, b) => a.key - b.key)
          .map(({ point }) => point)
        const [a, b] = [cleanTrack(trackOf(points)).value!, cleanTrack(trackOf(shuffled)).value!]
        expect([...b.fixes.time]).toEqual([...a.fixes.time])
        expect([...b.fixes.latitude]).toEqual([...a.fixes.latitude])
      }),
      { numRuns: 40, seed: SEED },
    )
  })

  it('does not depend on when the drive was', () => {
    fc.assert(
      fc.property(road, fc.integer({ min: -12_000, max: 27_000 }), (turns, days) => {
        const later = bends(turns).map((point) => ({ ...point, time: point.time + days * 86_400 }))
        const [a, b] = [bends(turns), later].map((points) => mustDrive(trackOf(points)))
        expect(b.motion.count).toBe(a.motion.count)
        // Seconds since 1970 hold to some 1e-7 s, which at 20 m/s is 2e-6 m.
        expect(Math.max(...b.motion.speedMps.map((v, i) => Math.abs(v - a.motion.speedMps[i])))).toBeLessThan(1e-3)
      }),
      { numRuns: 40, seed: SEED },
    )
  })
})

describe('road alignment', () => {
  it('a drive follows itself all the way, and its reverse nowhere', () => {
    fc.assert(
      fc.property(road, (turns) => {
        const points = bends(turns)
        const backwards = points.toReversed().map((point, i) => ({ ...point, time: points[i].time }))
        const [there, back] = [points, backwards].map((p) => pathOf(mustDrive(trackOf(p))))
        const match = matchPath(there, prepareReference(there, false))
        expect(match.coveredShare).toBeGreaterThan(0.98)
        expect(match.onRoadShare).toBeGreaterThan(0.98)
        expect(match.detours).toEqual([])
        expect(matchPath(back, prepareReference(there, false)).coveredShare).toBeLessThan(0.1)
      }),
      { numRuns: 30, seed: SEED },
    )
  })

  it('any number of drives of one road are one route, in any order', () => {
    fc.assert(
      fc.property(road, fc.integer({ min: 2, max: 5 }), (turns, count) => {
        const paths = Array.from({ length: count }, (_, k) =>
          pathOf(mustDrive(trackOf(bends(turns, 1.7e9 + k * 1e5, 18 + k)))),
        )
        expect(routesOf(paths).map(({ members }) => members.length)).toEqual([count])
        expect(routesOf(paths.toReversed()).map(({ members }) => members.length)).toEqual([count])
      }),
      { numRuns: 20, seed: SEED },
    )
  })
})

const demands = fc.array(fc.double({ min: 300, max: 3000, noNaN: true }), { minLength: 50, maxLength: 50 })

describe('comparison', () => {
  it('a run against itself differs by nothing, and passes at every margin', () => {
    fc.assert(
      fc.property(demands, fc.double({ min: 0.05, max: 50, noNaN: true }), (draws, margin) => {
        const a = Float64Array.from(draws)
        expect(conditionsDifference(a, a, margin)).toEqual({
          meanPct: 0,
          low90Pct: 0,
          high90Pct: 0,
          score: 100,
          tightestMarginPct: 0,
        })
      }),
      { numRuns: 100, seed: SEED },
    )
  })

  it('a wider margin never lowers the score, and the tightest margin does not depend on the margin', () => {
    fc.assert(
      fc.property(demands, demands, fc.double({ min: 0.1, max: 25, noNaN: true }), (x, y, margin) => {
        const [a, b] = [Float64Array.from(x), Float64Array.from(y)]
        const narrow = conditionsDifference(a, b, margin)
        const wide = conditionsDifference(a, b, 2 * margin)
        expect(wide.score).toBeGreaterThanOrEqual(narrow.score)
        expect(wide.tightestMarginPct).toBe(narrow.tightestMarginPct)
        expect(narrow.low90Pct).toBeLessThanOrEqual(narrow.high90Pct)
      }),
      { numRuns: 100, seed: SEED },
    )
  })

  it('the other way round, the interval is that of the inverse ratios', () => {
    fc.assert(
      fc.property(demands, demands, (x, y) => {
        const [a, b] = [Float64Array.from(x), Float64Array.from(y)]
        const back = conditionsDifference(b, a, 1)
        // The 5 % and 95 % points of 50 draws lie between the 3rd and 4th and the 47th and 48th, or one further, by definition of the quantile.
        const ratios = x.map((d, k) => d / y[k]).sort((p, q) => p - q)
        const within = (pct: number, from: number, to: number) => {
          expect(1 + pct / 100).toBeGreaterThanOrEqual(ratios[from] - 1e-9)
          expect(1 + pct / 100).toBeLessThanOrEqual(ratios[to] + 1e-9)
        }
        within(back.low90Pct, 1, 4)
        within(back.high90Pct, 45, 48)
      }),
      { numRuns: 50, seed: SEED },
    )
  })
})
