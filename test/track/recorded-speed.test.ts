import { describe, expect, it } from 'vitest'
import { MPS_PER_MPH } from '../../src/base/units.ts'
import type { TrackColumns } from '../../src/read/types.ts'
import { driveOf } from '../../src/track/drive.ts'
import { STANDING } from '../../src/track/types.ts'
import { drivenCycle } from './driven-cycle.ts'
import { csvRows } from './tracks.ts'

/** A published speed trace driven on the ellipsoid by the reference library: a fix every so many seconds, a speed each second. */
function recorded(cycle: string, everyS: number, speedOf: (mps: number) => number) {
  const truth = csvRows(`drive-cycles/${cycle}.csv`).map((row) => Number(row.cycMps))
  const points = drivenCycle(cycle)
  const isFix = (i: number): boolean => i % everyS === 0 || i === points.length - 1
  const track: TrackColumns = {
    name: null,
    index: 1,
    time: Float64Array.from(points, ({ time }) => time),
    latitude: Float64Array.from(points, ({ latitude }, i) => (isFix(i) ? latitude : Number.NaN)),
    longitude: Float64Array.from(points, ({ longitude }, i) => (isFix(i) ? longitude : Number.NaN)),
    elevation: new Float64Array(points.length).fill(Number.NaN),
    logged: { speedMps: { values: Float64Array.from(truth, speedOf), name: 'Speed' } },
    segmentStart: Uint32Array.of(0),
    zonelessTimes: 0,
  }
  return { truth, track }
}

const without = (track: TrackColumns): TrackColumns => ({ ...track, logged: {} })
const codesOf = (track: TrackColumns): string[] => driveOf(track).problems.map(({ code }) => code)

/** Root mean square of a motion's error of speed against the trace, m/s. */
function speedError(track: TrackColumns, truth: number[]): number {
  const { motion } = driveOf(track).value!
  let sum = 0
  for (let k = 0; k < motion.count; k++) {
    const speed = motion.state[k] === STANDING ? 0 : motion.speedMps[k]
    sum += (speed - truth[Math.round(motion.startTime + k * motion.stepS - track.time[0])]) ** 2
  }
  return Math.sqrt(sum / motion.count)
}

/** As a car's bus has it: whole km/h, 3 % too much. */
const bus = (mps: number): number => Math.round(1.03 * mps * 3.6) / 3.6

describe('a recorded speed between sparse fixes', () => {
  it.each(['wltc_3b', 'udds', 'hwfet'])('brings the speed of %s nearer to the published trace', (cycle) => {
    const { truth, track } = recorded(cycle, 12, bus)
    const [alone, used] = [speedError(without(track), truth), speedError(track, truth)]
    expect(used).toBeLessThan(alone / 2)
    expect(codesOf(track)).toContain('recorded-speed-used')
  })

  it.each(['wltc_3b', 'udds', 'hwfet'])('keeps the distance of %s', (cycle) => {
    const { track } = recorded(cycle, 12, bus)
    const [a, b] = [without(track), track].map((one) => driveOf(one).value!.motion)
    const [alone, used] = [a, b].map(({ distanceM, count }) => distanceM[count - 1])
    expect(Math.abs(used / alone - 1)).toBeLessThan(0.01)
  })
})

describe('a speed that is none of these positions', () => {
  it.each([
    ['km/h were read as m/s', (mps: number) => mps * 3.6, '0.278'],
    ['m/s were read as km/h', (mps: number) => mps / 3.6, '3.60'],
    ['mph were read as m/s', (mps: number) => mps / MPS_PER_MPH, '0.447'],
    ['km/h were read as mph', (mps: number) => mps * 1.609344, '0.621'],
  ])('%s is told with the factor that fits, and not used', (words, wrong, factor) => {
    const { track } = recorded('udds', 1, wrong)
    const { value, problems } = driveOf(track)
    const told = problems.find(({ code }) => code === 'recorded-speed-not-used')
    expect(told?.message).toContain(words)
    expect(Number(/multiplied by ([\d.]+)/.exec(told?.message ?? '')?.[1]) / Number(factor)).toBeCloseTo(1, 1)
    expect(value!.motion).toEqual(driveOf(without(track)).value!.motion)
  })

  it('one that does not follow them is not used', () => {
    const { track, truth } = recorded('udds', 1, (mps) => mps)
    const mean = truth.reduce((a, b) => a + b, 0) / truth.filter((v) => v > 3).length
    track.logged.speedMps!.values = Float64Array.from(truth, (_, i) => mean * (1 + 0.9 * Math.sin(i / 7)))
    expect(codesOf(track)).toContain('recorded-speed-not-used')
  })
})
