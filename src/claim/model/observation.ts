import { present } from '../../base/present.ts'
import type { ReadingKind } from '../evidence/ways.ts'
import type { RunConsumption } from '../fuel/consumption.ts'
import { drawKey, type FuelUnit } from '../fuel/measure.ts'
import type { FuelRun, NamedError } from '../types.ts'
import type { Attributed } from './attributed.ts'

/** How a consumption was told: by the fuel itself in one of its units, or by a reading. */
export type Way = FuelUnit | ReadingKind

/** One way's word on the consumption of one drive. */
export interface Observation {
  run: FuelRun
  way: Way
  /** ln of the fuel per distance, up to a constant of the way: as measured, or at the road's reference conditions. */
  y: number
  errors: readonly NamedError[]
  /** K draws of the error of the correction to the reference conditions; null where nothing is corrected. */
  conditions: Float64Array | null
  /** The same by what it comes from; left out or null where that is not known. */
  attributed?: Attributed | null
  /** Drives of one setup without a change in between share a part of their repeatability: the name of theirs. */
  session: string
}

/** Raw: as measured. Adjusted: at the reference conditions of the route. */
export type Kind = 'raw' | 'adjusted'

/** A drive's consumption by its fuel, as an observation. */
export const observed = (c: RunConsumption, kind: Kind, session: string): Observation => ({
  run: c.run,
  way: c.unit,
  y: kind === 'raw' ? c.logRaw : c.logAdjusted,
  errors: c.errors,
  conditions: kind === 'raw' ? null : present(c.conditions),
  attributed: kind === 'raw' ? null : c.attributed,
  session,
})

/** Whether all errors of conditions are known by their names: what one shares with another is told by both or by neither. */
export const areAttributed = (observations: readonly Observation[]): boolean =>
  observations.every(({ conditions, attributed }) => conditions === null || attributed)

/** A pause in which the weather, the traffic and the car's state change: the next drive begins a new session. Common practice, no source. */
const SESSION_PAUSE_S = 8 * 3600

/**
 * Which drives were made in one go: of one setup, nothing refitted in between, no long pause. By the drive's own key.
 */
export function sessionsOf(runs: readonly FuelRun[]): Map<string, string> {
  const sessions = new Map<string, string>()
  const sorted = runs.filter(({ setup }) => setup !== null).sort((a, b) => a.startTime - b.startTime)
  let current = ''
  for (const [i, run] of sorted.entries()) {
    const before = sorted[i - 1]
    const goesOn = before && before.setup === run.setup && run.startTime - before.endTime < SESSION_PAUSE_S
    if (!goesOn) current = drawKey(run)
    sessions.set(drawKey(run), current)
  }
  return sessions
}
