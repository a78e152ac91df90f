import { FORECAST_GAP_S } from '../air/blend.ts'
import { type SunPhase, sunAt, sunPhase } from '../air/sun.ts'
import type { RunAir } from '../air/types.ts'
import { hypotenuse } from '../base/arithmetic.ts'
import { sum } from '../base/statistics.ts'
import type { ConditionsDifference } from '../compare/difference.ts'
import type { Steps } from '../demand/types.ts'

/**
 * How far a forecast may be off: standard deviations at no lead time and their growth per hour of it. The wind's is of one
 * component and lasts for the whole drive. Sizes as in common verifications of forecasts for single places two days ahead
 * (2 m/s of the wind's vector, 1.5 K, 2 hPa); common practice, no source.
 */
export const FORECAST_SD = {
  windMps: { now: 1, perHour: 0.012 },
  temperatureK: { now: 0.9, perHour: 0.014 },
  pressurePa: { now: 80, perHour: 3 },
}

export interface ForecastErrors {
  windMps: number
  temperatureK: number
  pressurePa: number
}

/**
 * What a straight line between the times of a forecast adds, by the hours to the nearest of them beyond the half hour of
 * an hourly table: variance of one component of the wind, standard deviations of temperature and pressure.
 * @source measured by leaving out the hours between: DWD station 02667 Köln-Bonn, 2019 to 2021, rms of a wind component
 *   0.9, 1.2 and 1.7 m/s at 1, 3 and 6 h; NOAA ISD station 725300 Chicago O'Hare, 2014, 1.3, 1.6 and 2.3 m/s, 0.8, 1.3 and
 *   2.8 K, 41, 85 and 162 Pa
 */
export const BRIDGED = {
  windVariancePerHour: 0.65,
  temperatureKPerHour: 0.47,
  pressurePaPerHour: 28,
  knownWithinH: FORECAST_GAP_S / 3600,
}

/**
 * @param leadH hours from the time of the forecast to the drive; below 0 counts as 0
 * @param gapH hours from the drive to the nearest time of the forecast
 */
export function forecastErrors(leadH: number, gapH = 0): ForecastErrors {
  const at = ({ now, perHour }: { now: number; perHour: number }): number => now + perHour * Math.max(0, leadH)
  const beyondH = Math.max(0, gapH - BRIDGED.knownWithinH)
  return {
    windMps: hypotenuse(at(FORECAST_SD.windMps), Math.sqrt(BRIDGED.windVariancePerHour * beyondH)),
    temperatureK: hypotenuse(at(FORECAST_SD.temperatureK), BRIDGED.temperatureKPerHour * beyondH),
    pressurePa: hypotenuse(at(FORECAST_SD.pressurePa), BRIDGED.pressurePaPerHour * beyondH),
  }
}

/**
 * The air of a forecast with its errors. The wind's is carried as a wind of unknown direction, which has one draw for the
 * whole drive and leaves the best estimate alone; stations are renamed, so that no error is shared with past observations.
 */
export function withForecastErrors(air: RunAir, errors: ForecastErrors): RunAir {
  const { along } = air
  return {
    ...air,
    along: {
      ...along,
      undirectedMps: along.undirectedMps.map((u) => hypotenuse(u, Math.SQRT2 * errors.windMps)),
      temperatureDepartureSdK: along.temperatureDepartureSdK.map((sd) => hypotenuse(sd, errors.temperatureK)),
    },
    stations: air.stations.map((s) => ({
      ...s,
      id: `forecast/${s.id}`,
      quality: 'forecast' as const,
      // The forecast's own errors take the place of an instrument's and its site's.
      errors: {
        temperatureK: 0,
        relativeHumidity: s.errors.relativeHumidity,
        pressurePa: errors.pressurePa,
        windSpeed: 0,
        windFromDeg: 0,
      },
    })),
  }
}

/** The same drive begun at another time. */
export function shiftedSteps(steps: Steps, startTime: number): Steps {
  const shift = startTime - (steps.time[0] - steps.durationS[0] / 2)
  return { ...steps, time: steps.time.map((t) => t + shift) }
}

/** The same road driven the other way at the mirrored speeds. */
export function reversedSteps(steps: Steps): Steps {
  const back = (values: Float64Array): Float64Array => values.slice().reverse()
  const ends = steps.time[0] + steps.time[steps.time.length - 1]
  return {
    ...steps,
    time: back(steps.time).map((t) => ends - t),
    durationS: back(steps.durationS),
    distanceM: back(steps.distanceM),
    speedMps: back(steps.speedMps),
    kineticJPerKg: back(steps.kineticJPerKg).map((e) => -e),
    climbM: back(steps.climbM).map((c) => -c),
    elevationM: back(steps.elevationM),
    latitude: back(steps.latitude),
    longitude: back(steps.longitude),
    courseEast: back(steps.courseEast).map((c) => -c),
    courseNorth: back(steps.courseNorth).map((c) => -c),
    axisFromM: back(steps.axisToM),
    axisToM: back(steps.axisFromM),
  }
}

/** Mean headwind over each of `parts` equal parts of the drive's distance, m/s, positive against the motion. */
export function headwindProfile(
  steps: Steps,
  air: { east: Float64Array; north: Float64Array },
  exposure: number,
  parts = 4,
): number[] {
  const total = sum(steps.distanceM)
  const sums = new Array<number>(parts).fill(0)
  const lengths = new Array<number>(parts).fill(0)
  let driven = 0
  for (let i = 0; i < steps.distanceM.length; i++) {
    const ds = steps.distanceM[i]
    const part = Math.min(parts - 1, Math.floor((parts * (driven + ds / 2)) / total))
    sums[part] -= ds * exposure * (air.east[i] * steps.courseEast[i] + air.north[i] * steps.courseNorth[i])
    lengths[part] += ds
    driven += ds
  }
  return sums.map((sum, part) => sum / lengths[part])
}

export type SlotClass = 'like' | 'other-light' | 'rain' | 'unknown'

/** One possible start with what the forecast makes of it. */
export interface Slot {
  startTime: number
  endTime: number
  leadH: number
  /** Hours between the times of the forecast about this drive; NaN where it does not reach. */
  stepH: number
  /** What the forecast does not tell of this drive. */
  missing: RunAir['missing']
  /** null where the forecast does not reach. */
  difference: ConditionsDifference | null
  sunAltitudeDeg: number
  phase: SunPhase | null
  precipitationMm: number
  rain: boolean
  windMps: number
  windFromDeg: number
  headwindMps: number
  headwindPartsMps: number[]
  temperatureK: number
  slotClass: SlotClass
}

/** Sun at the middle of a drive. */
export function sunOf(steps: Steps): { sunAltitudeDeg: number; phase: SunPhase | null } {
  const middle = steps.time.length >> 1
  const { altitudeDeg } = sunAt(steps.time[middle], steps.latitude[middle], steps.longitude[middle])
  return { sunAltitudeDeg: altitudeDeg, phase: sunPhase(altitudeDeg) }
}

const CLASS_ORDER: SlotClass[] = ['like', 'other-light', 'rain', 'unknown']

/** The best first: dry and lit like the reference before others, then by score, then by the tighter margin, then the earlier. */
export function rankedSlots(slots: Slot[]): Slot[] {
  return [...slots].sort(
    (a, b) =>
      CLASS_ORDER.indexOf(a.slotClass) - CLASS_ORDER.indexOf(b.slotClass) ||
      (b.difference?.score ?? -1) - (a.difference?.score ?? -1) ||
      (a.difference?.tightestMarginPct ?? 0) - (b.difference?.tightestMarginPct ?? 0) ||
      a.startTime - b.startTime,
  )
}

/** Starts that follow each other and are nearly as good as the best among them. */
export interface Window {
  first: Slot
  last: Slot
  best: Slot
}

/** A start belongs to a window as long as its score is at least this share of the best one's. */
const NEARLY_AS_GOOD = 0.85

/** Up to `most` windows of starts, the best first; slots in rain or without a forecast never make one. */
export function bestWindows(slots: Slot[], most = 3): Window[] {
  const taken = new Set<Slot>()
  const windows: Window[] = []
  for (const best of rankedSlots(slots)) {
    if (windows.length === most) break
    const { difference } = best
    if (taken.has(best) || difference === null || best.slotClass === 'rain') continue
    const fits = (slot: Slot | undefined): slot is Slot =>
      slot !== undefined &&
      !taken.has(slot) &&
      slot.slotClass === best.slotClass &&
      (slot.difference?.score ?? 0) >= NEARLY_AS_GOOD * difference.score
    let first = slots.indexOf(best)
    let last = first
    while (fits(slots[first - 1])) first--
    while (fits(slots[last + 1])) last++
    // Its neighbours are left to it, too: the next window is another one.
    for (const slot of slots.slice(Math.max(0, first - 1), last + 2)) taken.add(slot)
    windows.push({ first: slots[first], last: slots[last], best })
  }
  return windows
}
