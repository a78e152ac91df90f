import type { Leg } from './legs.ts'

/** A found drive: a leg, or one lap of one. */
export interface Found {
  /** Index of the recording. */
  recording: number
  fromTime: number
  toTime: number
  /** When its stint began, and which lap of it this is, from 1; null of other drives. */
  stintTime: number | null
  lap: number | null
}

/** A road's ends are agreed on by this many drives. */
export const AGREED = 2
/** Other driving that is shorter than this at the end of a drive belongs to it, m. */
export const SHORTEST_OTHER_M = 150

/** A stretch of a recording as one drive. */
export const oneDrive = (recording: number, { fromTime, toTime }: { fromTime: number; toTime: number }): Found => ({
  recording,
  fromTime,
  toTime,
  stintTime: null,
  lap: null,
})

export const wholeLeg = (leg: Leg): Found => oneDrive(leg.recording, leg)

/** Values by the recording they belong to. */
export function byRecording<T extends { recording: number }>(values: T[]): Map<number, T[]> {
  const groups = new Map<number, T[]>()
  for (const value of values) {
    const group = groups.get(value.recording)
    if (group) group.push(value)
    else groups.set(value.recording, [value])
  }
  return groups
}
