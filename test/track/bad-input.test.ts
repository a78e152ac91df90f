import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { toldFlag } from '../../src/report/words/drives/flags.ts'
import { driveOf } from '../../src/track/drive.ts'
import { flagsOf } from '../../src/track/flags.ts'
import { summaryOf } from '../../src/track/summary.ts'
import { trackOf } from './tracks.ts'

const anyNumber = fc.oneof(
  fc.double(),
  fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, 1e300, -1e300),
)
const wild = fc.record({ time: anyNumber, latitude: anyNumber, longitude: anyNumber, elevation: anyNumber })
/** A drive of three minutes across the antimeridian, spoilt in up to 60 places. */
const spoilt = fc
  .array(
    fc.record({
      row: fc.integer({ min: 0, max: 179 }),
      column: fc.constantFrom('time', 'latitude', 'longitude', 'elevation'),
      value: fc.oneof(anyNumber, fc.double({ min: -200, max: 200 }), fc.integer({ min: 1.7e9, max: 1.7e9 + 300 })),
    }),
    { maxLength: 60 },
  )
  .map((faults) => {
    const points = Array.from({ length: 180 }, (_, i) => ({
      time: 1.7e9 + i,
      latitude: -16.8,
      longitude: ((179.99 + i * 1.5e-4 + 180) % 360) - 180,
      elevation: 20 + i / 10,
    }))
    return faults.reduce((spoiling, { row, column, value }) => {
      return spoiling.map((point, i) => (i === row ? { ...point, [column]: value } : point))
    }, points)
  })

describe('a track of any numbers', () => {
  it('never throws, and gives a reason or finite figures', () => {
    const verdicts = { usable: 0, refused: 0 }
    fc.assert(
      fc.property(fc.oneof(fc.array(wild, { maxLength: 40 }), spoilt), (points) => {
        const { value, problems } = driveOf(trackOf(points))
        if (value === null) {
          verdicts.refused++
          expect(problems.some((problem) => problem.severity === 'error')).toBe(true)
          return
        }
        verdicts.usable++
        expect(problems.every((problem) => problem.severity !== 'error')).toBe(true)
        const { distanceM, durationS, meanSpeedMps, maxSpeedMps } = summaryOf(value)
        for (const figure of [distanceM, durationS, meanSpeedMps, maxSpeedMps])
          expect(Number.isFinite(figure)).toBe(true)
        expect(value.motion.latitude.every((latitude) => Math.abs(latitude) <= 91)).toBe(true)
        for (const flag of flagsOf(value)) expect(toldFlag(flag).message).not.toMatch(/NaN|undefined|Infinity/)
      }),
      { numRuns: 400, seed: 20240506 },
    )
    expect(verdicts.usable).toBeGreaterThan(20)
    expect(verdicts.refused).toBeGreaterThan(20)
  })
})
