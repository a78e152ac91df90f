import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { driveOf } from '../../src/track/drive.ts'
import { flagsOf } from '../../src/track/flags.ts'
import { summaryOf } from '../../src/track/summary.ts'

const METRES_PER_DEGREE = 111_194

/** A drive due north: positions at stated times and distances. */
function northward(rows: { s: number; m: number }[]) {
  return driveOf({
    name: null,
    index: 1,
    time: Float64Array.from(rows, ({ s }) => 1.7e9 + s),
    latitude: Float64Array.from(rows, ({ m }) => 47 + m / METRES_PER_DEGREE),
    longitude: new Float64Array(rows.length).fill(8),
    elevation: new Float64Array(rows.length).fill(Number.NaN),
    segmentStart: Uint32Array.of(0),
    logged: {},
    zonelessTimes: 0,
  }).value!
}

describe('mean and moving speed', () => {
  it('keep their order whatever gaps and stands a drive has', () => {
    const spell = fc.record({
      kind: fc.constantFrom('drive', 'stand', 'gap'),
      lastsS: fc.integer({ min: 20, max: 200 }),
      mps: fc.integer({ min: 3, max: 35 }),
    })
    fc.assert(
      fc.property(fc.array(spell, { minLength: 2, maxLength: 8 }), (spells) => {
        const rows: { s: number; m: number }[] = []
        let [s, m] = [0, 0]
        for (const { kind, lastsS, mps } of [
          { kind: 'drive', lastsS: 60, mps: 15 },
          ...spells,
          { kind: 'drive', lastsS: 60, mps: 15 },
        ]) {
          for (let i = 0; i < lastsS; i++) {
            if (kind !== 'gap') rows.push({ s, m })
            s += 1
            if (kind !== 'stand') m += mps
          }
        }
        const { meanSpeedMps, movingSpeedMps } = summaryOf(northward(rows))
        expect(movingSpeedMps).toBeGreaterThanOrEqual(meanSpeedMps * (1 - 1e-12))
      }),
      { numRuns: 40 },
    )
  })

  it('counts a gap with its chord and its time: 600 s at 20 m/s, a third of it without a fix', () => {
    const rows = Array.from({ length: 601 }, (_, s) => ({ s, m: 20 * s })).filter(({ s }) => s < 200 || s > 400)
    const { meanSpeedMps, movingSpeedMps } = summaryOf(northward(rows))
    expect(meanSpeedMps).toBeCloseTo(20, 0)
    expect(movingSpeedMps).toBeCloseTo(20, 0)
  })
})

describe('top speed', () => {
  // 160 km/h: the highest limit of a public road, from memory.
  it.each([
    [40, false],
    [50, true],
  ])('of %d m/s is told to be doubtful: %s', (mps, doubtful) => {
    const drive = northward(Array.from({ length: 300 }, (_, s) => ({ s, m: mps * s })))
    expect(flagsOf(drive).some(({ code }) => code === 'top-speed-implausible')).toBe(doubtful)
  })

  it('is not raised above what the positions cover: 20 m/s, one fix in 12 s', () => {
    const drive = northward(Array.from({ length: 60 }, (_, i) => ({ s: 12 * i, m: 240 * i })))
    expect(summaryOf(drive).maxSpeedMps).toBeLessThanOrEqual(22)
    expect(flagsOf(drive).map(({ code }) => code)).not.toContain('top-speed-unsupported')
  })
})
