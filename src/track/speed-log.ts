import { upperMedian } from '../base/statistics.ts'
import type { TrackColumns } from '../read/types.ts'
import { intervals, takenColumn } from './repair/order.ts'

/** A speed that was recorded several times a second, in the order of time; columns of one length. */
export interface SpeedLog {
  time: Float64Array
  speedMps: Float64Array
  /** Of the battery or the motor; null where it was not logged. */
  powerW: Float64Array | null
}

/** A coast-down takes a speed recorded so often, Hz: the step between two values must be small beside what is lost meanwhile. */
export const LEAST_SPEED_HZ = 5
/** Clocks of loggers are uneven. */
const LONGEST_STEP_S = 1.25 / LEAST_SPEED_HZ

/** The recorded speed of a track; null where it was recorded less often than a coast-down takes. */
export function speedLogOf({ time, logged }: TrackColumns): SpeedLog | null {
  const speed = logged.speedMps?.values
  if (!speed) return null
  const rows = [...time.keys()].filter((row) => Number.isFinite(time[row]) && Number.isFinite(speed[row]))
  rows.sort((a, b) => time[a] - time[b] || a - b)
  const times = takenColumn(time, rows)
  const steps = intervals(times)
  if (steps.length === 0 || !(upperMedian(steps) <= LONGEST_STEP_S)) return null
  const watts = powerOf(logged)
  return { time: times, speedMps: takenColumn(speed, rows), powerW: watts && takenColumn(watts, rows) }
}

function powerOf({ powerW, batteryVoltageV, batteryCurrentA }: TrackColumns['logged']): Float64Array | null {
  if (powerW) return powerW.values
  if (!batteryVoltageV || !batteryCurrentA) return null
  return batteryVoltageV.values.map((volts, row) => volts * batteryCurrentA.values[row])
}

/** Below this share of the highest power nothing drives the wheels, nor does a generator brake them. Common practice, no source. */
const IDLE_SHARE = 0.03
/** A shorter stretch tells little, s. */
const LEAST_WINDOW_S = 5
/** Slower than this a vehicle is about to stand, m/s. */
const LEAST_SPEED_MPS = 1

/** Stretches of a log in which no power goes to or from the wheels: seconds since 1970. Braking by friction is not seen. */
export function windowsWithoutPower({ time, speedMps, powerW }: SpeedLog): { fromTime: number; toTime: number }[] {
  if (!powerW) return []
  const highest = powerW.reduce((most, watts) => Math.max(most, Number.isNaN(watts) ? 0 : watts), 0)
  if (highest === 0) return []
  const windows: { fromTime: number; toTime: number }[] = []
  let first = -1
  for (let row = 0; row <= time.length; row++) {
    const coasts =
      row < time.length && Math.abs(powerW[row]) <= IDLE_SHARE * highest && speedMps[row] >= LEAST_SPEED_MPS
    if (coasts && first < 0) first = row
    if (coasts || first < 0) continue
    if (time[row - 1] - time[first] >= LEAST_WINDOW_S) windows.push({ fromTime: time[first], toTime: time[row - 1] })
    first = -1
  }
  return windows
}
