import { apparentWind } from '../../air/wind.ts'
import { sum } from '../../base/statistics.ts'
import { windOnCourse } from '../../demand/step-air.ts'
import type { StepAir, Steps } from '../../demand/types.ts'
import type { AlongRun, ApparentWindMet } from '../../report/along-data.ts'

/** Places along a run, as shares of its distance, where its wind is shown by an arrow. */
const ARROWS_AT = [1 / 8, 3 / 8, 5 / 8, 7 / 8]
const YAW_LIMIT_DEG = 30
const YAW_STEP_DEG = 1
const SPEED_STEP_MPS = 2.5

/** The 10 m wind at a few places of the run. */
export function windAlong(steps: Steps, air: StepAir): AlongRun['windAt'] {
  const totalM = sum(steps.distanceM)
  const arrows: AlongRun['windAt'] = []
  let drivenM = 0
  for (let i = 0; i < steps.distanceM.length && arrows.length < ARROWS_AT.length; i++) {
    drivenM += steps.distanceM[i]
    if (drivenM < ARROWS_AT[arrows.length] * totalM) continue
    arrows.push({
      latitude: steps.latitude[i],
      longitude: steps.longitude[i],
      eastMps: air.windEastMps[i],
      northMps: air.windNorthMps[i],
    })
  }
  return arrows
}

/**
 * How the distance is shared out over the yaw and the speed of the air that the vehicle met.
 *
 * @param exposure wind at the vehicle over wind at 10 m, best estimate
 */
export function apparentWindMet(steps: Steps, air: StepAir, exposure: number): ApparentWindMet {
  const share: number[][] = Array.from({ length: (2 * YAW_LIMIT_DEG) / YAW_STEP_DEG }, () => [])
  const yaws: { sizeDeg: number; ds: number }[] = []
  let totalM = 0
  let speedM = 0
  for (let i = 0; i < steps.distanceM.length; i++) {
    const ds = steps.distanceM[i]
    if (!(ds > 0)) continue
    const { headMps, crossMps } = windOnCourse(steps, air, i)
    const { airspeedMps, yawDeg } = apparentWind(steps.speedMps[i], exposure * headMps, exposure * crossMps)
    const yaw = Math.floor((Math.max(-YAW_LIMIT_DEG, Math.min(YAW_LIMIT_DEG, yawDeg)) + YAW_LIMIT_DEG) / YAW_STEP_DEG)
    const row = share[Math.min(share.length - 1, yaw)]
    const speed = Math.floor(airspeedMps / SPEED_STEP_MPS)
    while (row.length <= speed) row.push(0)
    row[speed] += ds
    totalM += ds
    speedM += ds * airspeedMps
    yaws.push({ sizeDeg: Math.abs(yawDeg), ds })
  }
  yaws.sort((a, b) => a.sizeDeg - b.sizeDeg)
  return {
    yawLimitDeg: YAW_LIMIT_DEG,
    yawStepDeg: YAW_STEP_DEG,
    speedStepMps: SPEED_STEP_MPS,
    share: share.map((row) => row.map((m) => m / totalM)),
    meanAirspeedMps: speedM / totalM,
    yawMedianDeg: quantile(yaws, 0.5 * totalM),
    yawNinetyDeg: quantile(yaws, 0.9 * totalM),
  }
}

function quantile(sorted: { sizeDeg: number; ds: number }[], untilM: number): number {
  let sum = 0
  for (const { sizeDeg, ds } of sorted) {
    sum += ds
    if (sum >= untilM) return sizeDeg
  }
  return Number.NaN
}
