import { isWetWeather, LEAST_RAIN_MM } from '../air/road-drying.ts'

/** What the model does not carry, of one run. */
export interface OutsideModel {
  /** True wet, false dry, null nobody says. */
  wet: boolean | null
  phase: 'day' | 'twilight' | 'night' | null
  payloadKg: number
  tyrePressurePa: number
  accessoriesW: number
  standingShare: number
  startTime: number
  endTime: number
}

/**
 * Whether a run's road was wet, from what was reported; null when nothing was.
 * @param knownDry whether reports reach back as long as a wet road takes to dry and nothing fell since
 */
export function wetness(
  roadWet: number,
  precipitationMm: number,
  presentWeather: string[],
  knownDry: boolean,
): boolean | null {
  if (roadWet === 1) return true
  if (precipitationMm >= LEAST_RAIN_MM) return true
  if (presentWeather.some(isWetWeather)) return true
  if (roadWet === 0 || knownDry) return false
  return null
}

/** A difference that forbids a comparison whatever the figures say: one road wet, the other dry. */
export type Forbidding = 'wet-and-dry'

/** The difference that forbids a comparison, or null. */
export function forbidding(a: OutsideModel, b: OutsideModel): Forbidding | null {
  return a.wet !== null && b.wet !== null && a.wet !== b.wet ? 'wet-and-dry' : null
}

type Phase = NonNullable<OutsideModel['phase']>

/** A difference between two runs that the model does not hold, or holds only in part; with the figures of both. */
export type Remark =
  | { code: 'both-wet' | 'wetness-unknown' | 'recordings-overlap' }
  | { code: 'phase'; a: Phase; b: Phase }
  /** In Pa, W and kg; a share of the time, 0 to 1. */
  | { code: 'tyre-pressure' | 'accessories' | 'payload' | 'standing-share'; a: number; b: number }

/** Differences between two runs that the model does not carry. */
export function remarksOn(a: OutsideModel, b: OutsideModel): Remark[] {
  const remarks: Remark[] = []
  const compare = (
    code: 'tyre-pressure' | 'accessories' | 'payload' | 'standing-share',
    x: number,
    y: number,
    by: number,
  ) => {
    if (Math.abs(x - y) > by) remarks.push({ code, a: x, b: y })
  }
  if (a.wet && b.wet) remarks.push({ code: 'both-wet' })
  if (a.wet === null || b.wet === null) remarks.push({ code: 'wetness-unknown' })
  if (a.phase && b.phase && a.phase !== b.phase) remarks.push({ code: 'phase', a: a.phase, b: b.phase })
  compare('tyre-pressure', a.tyrePressurePa, b.tyrePressurePa, 5000)
  compare('accessories', a.accessoriesW, b.accessoriesW, 50)
  compare('payload', a.payloadKg, b.payloadKg, 20)
  compare('standing-share', a.standingShare, b.standingShare, 0.05)
  if (a.startTime < b.endTime && b.startTime < a.endTime) remarks.push({ code: 'recordings-overlap' })
  return remarks
}
