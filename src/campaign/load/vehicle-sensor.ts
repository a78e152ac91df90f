import type { StationSeries } from '../../air/series.ts'
import { mean } from '../../base/statistics.ts'
import { indexAt } from '../../road/division/trace.ts'
import { saidOnTheRoad } from './rows/driver-notes.ts'
import type { Run } from './runs.ts'

/** From this speed on the vehicle's sensor is in the air that it meets and not in what the road and the engine warm, m/s. */
const FROM_MPS = 8
/** Its readings are brought together over so long, s: weather changes no faster. */
const SPAN_S = 600
const FEWEST_READINGS = 3
/** Colder or warmer than air over a road ever is, K. */
const POSSIBLE = { fromK: 223, toK: 328 }

/**
 * The outside temperature that a vehicle logged as a station that speaks of its own drive alone, with the doubt of a
 * driver's note (2 K): a sensor behind the bumper lags, and reads warm after standing. Only readings on the move count.
 * Common practice, no source. null where nothing was logged.
 */
export function sensorSeries({ id, file, drive, summary }: Run): StationSeries | null {
  const { log, trace } = drive
  const values = log?.columns.ambientTemperatureK?.values
  if (!log || !values) return null
  const spans = new Map<number, number[]>()
  for (const [i, time] of log.time.entries()) {
    const isPossible = values[i] >= POSSIBLE.fromK && values[i] <= POSSIBLE.toK
    if (!isPossible || time < summary.startTime || time > summary.endTime) continue
    const at = Math.min(trace.time.length - 2, indexAt(trace, time))
    const seconds = trace.time[at + 1] - trace.time[at]
    if (!(trace.distanceM[at + 1] - trace.distanceM[at] >= FROM_MPS * seconds)) continue
    const span = Math.floor((time - summary.startTime) / SPAN_S)
    const known = spans.get(span)
    if (known) known.push(values[i])
    else spans.set(span, [values[i]])
  }
  const told = [...spans].filter(([, readings]) => readings.length >= FEWEST_READINGS)
  if (told.length === 0) return null
  const time = Float64Array.from(told, ([span]) => Math.min(summary.endTime, summary.startTime + (span + 0.5) * SPAN_S))
  return {
    ...saidOnTheRoad(`sensor of ${id}`, id, file, time),
    temperatureK: Float64Array.from(told, ([, readings]) => mean(readings)),
  }
}
