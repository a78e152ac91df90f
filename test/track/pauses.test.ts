import { describe, expect, it } from 'vitest'
import { pausesIn } from '../../src/track/pauses.ts'
import { sessionsOf } from '../../src/track/sessions.ts'
import { type Point, trackOf } from './tracks.ts'

const LATITUDE = 47
/** A degree of latitude, m: WGS 84 at 47°, 111 178 m (meridian radius of curvature). */
const DEGREE_M = 111_178

interface Way {
  standsS?: number
  silentS: number
  /** How far from where it fell silent the logger is switched on, m. */
  apartM?: number
}

/** A road north at 10 m/s, a fix a second: a drive of 200 s, a silence, a drive of 200 s. */
function driven({ standsS = 0, silentS, apartM = 0 }: Way): Point[] {
  const points: Point[] = []
  let [now, wayM] = [1000, 0]
  const write = (seconds: number, mps: number): void => {
    for (let s = 0; s < seconds; s++) {
      points.push({ time: now++, latitude: LATITUDE + wayM / DEGREE_M, longitude: 8 })
      wayM += mps
    }
  }
  write(200, 10)
  write(standsS, 0)
  now += silentS - 1
  wayM += apartM - (standsS > 0 ? 0 : 10)
  write(200, 10)
  return points
}

const lengths = (points: Point[], ...begins: number[]): number[] =>
  pausesIn({ ...trackOf(points), segmentStart: Uint32Array.from([0, ...begins]) }).map((p) => p.toTime - p.fromTime)

describe('pausesIn', () => {
  it.each([
    ['two minutes, between two segments', { silentS: 120 }, [200], [120]],
    ['two minutes, in one segment of a logger that writes while standing', { standsS: 30, silentS: 120 }, [], [120]],
    // Apart from the silence nothing says that this logger writes while the vehicle stands: it may write places only.
    ['two minutes, in one segment of a logger that never wrote a stand', { silentS: 120 }, [], []],
    ['a red light', { standsS: 30, silentS: 60 }, [230], []],
    ['a tunnel of 2 km between two segments', { standsS: 30, silentS: 120, apartM: 2000 }, [230], []],
  ] as [string, Way, number[], number[]][])('%s', (_, way, begins, want) => {
    expect(lengths(driven(way), ...begins)).toEqual(want)
  })

  it('is kept where an hour without a row parts the track', () => {
    const first = driven({ silentS: 120 })
    const later = first.map((p) => ({ ...p, time: p.time + 10_000 }))
    const track = { ...trackOf([...first, ...later]), segmentStart: Uint32Array.of(0, 200, 400, 600) }
    expect(sessionsOf(track).map((session) => pausesIn(session).length)).toEqual([1, 1])
  })
})
