import { describe, expect, it } from 'vitest'
import { engineTimes } from '../../src/demand/engine.ts'
import { demandOf } from '../../src/demand/ensemble.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { cutMotion } from '../../src/track/cut.ts'
import { LEFT_OUT, MOVING, type Motion, STANDING } from '../../src/track/types.ts'
import { noVehicle, scene, settings } from './scene.ts'

const START = 1.7e9

/** A drive at 10 m/s on an even grid of a second, with stands at the times given. */
function motionWith(lastsS: number, stands: [from: number, past: number][]): Motion {
  const count = lastsS + 1
  const state = new Uint8Array(count).fill(MOVING)
  for (const [from, past] of stands) state.fill(STANDING, from, past)
  const column = (of: (k: number) => number): Float64Array => Float64Array.from({ length: count }, (_, k) => of(k))
  const distanceM = column(() => 0)
  for (let k = 1; k < count; k++) distanceM[k] = distanceM[k - 1] + (state[k] === MOVING ? 10 : 0)
  const speed = column((k) => (state[k] === MOVING ? 10 : 0))
  return {
    startTime: START,
    stepS: 1,
    count,
    latitude: column((k) => 47 + distanceM[k] / 111_200),
    longitude: column(() => 8),
    speedMps: speed,
    fineSpeedMps: speed,
    coarseSpeedMps: speed,
    courseDeg: column(() => 0),
    distanceM,
    elevationM: column(() => Number.NaN),
    state,
  }
}

const total = (values: Float64Array): number => values.reduce((sum, v) => sum + v, 0)

describe('whether the engine ran', () => {
  const motion = motionWith(2000, [
    [100, 150],
    [400, 1300],
  ])

  it('is doubted in a stand of 15 minutes, not in one of 50 s', () => {
    const { runs, mayRun } = engineTimes(motion, null)
    expect(total(mayRun)).toBe(900)
    expect(total(runs)).toBe(2001 - 900)
  })

  it('is as a window of the user says, but for the part in which the vehicle moved', () => {
    const windows = [{ fromTime: START + 300, toTime: START + 1000 }]
    const { runs, mayRun } = engineTimes(motion, { windows, seconds: 0 })
    expect(total(mayRun)).toBe(0)
    expect(total(runs)).toBe(2001 - 601)
  })

  it('is as minutes of the user say, in the longest stand first', () => {
    const { runs } = engineTimes(motion, { windows: [], seconds: 920 })
    expect(total(runs)).toBeCloseTo(2001 - 920, 9)
    expect(runs[500]).toBe(0)
    expect(runs[120]).toBeCloseTo(1 - 20 / 50, 9)
  })
})

describe('a doubtful stand', () => {
  it('adds a fifth of its idling to the demand, and its doubt to the interval', () => {
    const run = scene('stand', { speedMps: 20 })
    const shared = sharedDraws(vehicleOf(noVehicle), settings)
    const plain = demandOf(run, shared)
    const steps = { ...run.steps, doubtfulIdlingS: run.steps.doubtfulIdlingS.map((_, i) => (i === 0 ? 900 : 0)) }
    const doubtful = demandOf({ ...run, steps }, shared)
    const idleW = shared.vehicle.powertrain.idlePowerW.value
    // Idling is power times time: 15 minutes at a fifth.
    expect(doubtful.nominalJPerM - plain.nominalJPerM).toBeCloseTo((0.2 * 900 * idleW) / total(run.steps.distanceM), 6)
    const more = doubtful.drawsJPerM.map((demand, k) => demand - plain.drawsJPerM[k])
    const ranOn = more.filter((m) => m > (0.3 * 900 * idleW) / total(run.steps.distanceM)).length / more.length
    // Of 400 draws with probability 0.2, the standard deviation of the share is 0.02.
    expect(Math.abs(ranOn - 0.2)).toBeLessThan(0.08)
  })
})

describe('a window that is left out', () => {
  it('takes no distance from the rest, and keeps the clock', () => {
    const motion = motionWith(1000, [])
    const cut = cutMotion(motion, {
      fromTime: START,
      toTime: START + 1000,
      without: [{ fromTime: START + 200, toTime: START + 500 }],
    })
    expect(cut.count).toBe(1001)
    expect([...cut.state].filter((s) => s === LEFT_OUT)).toHaveLength(301)
    // 302 steps touch the window: those within it, into it and out of it.
    expect(cut.distanceM[1000]).toBe(10_000 - 3020)
    expect(cut.distanceM[200]).toBe(cut.distanceM[500])
  })
})
