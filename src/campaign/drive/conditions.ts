import { sunAt, sunPhase } from '../../air/sun.ts'
import { apparentWind, windFromVector } from '../../air/wind.ts'
import { hypotenuse } from '../../base/arithmetic.ts'
import { windOnCourse } from '../../demand/step-air.ts'
import type { StepAir, Steps } from '../../demand/types.ts'
import type { SunOver, WindMet } from '../../report/quantities/drive-facts.ts'

/** @param exposure wind at the vehicle over wind at 10 m, best estimate */
export function windMet(steps: Steps, air: StepAir, exposure: number): WindMet {
  let distanceM = 0
  let speed = 0
  let undirected = 0
  let east = 0
  let north = 0
  let head = 0
  let cross = 0
  let yaw = 0
  for (let i = 0; i < steps.distanceM.length; i++) {
    const ds = steps.distanceM[i]
    const we = air.windEastMps[i]
    const wn = air.windNorthMps[i]
    const { headMps, crossMps } = windOnCourse(steps, air, i)
    const [h, c] = [exposure * headMps, exposure * crossMps]
    distanceM += ds
    speed += ds * (hypotenuse(we, wn) + air.undirectedMps[i])
    undirected += ds * air.undirectedMps[i]
    east += ds * we
    north += ds * wn
    head += ds * h
    cross += ds * Math.abs(c)
    yaw += ds * Math.abs(apparentWind(steps.speedMps[i], h, c).yawDeg)
  }
  const mean = windFromVector(east / distanceM, north / distanceM)
  if (undirected > 0.5 * speed) {
    const unknown = Number.NaN
    return {
      speedMps: speed / distanceM,
      fromDeg: unknown,
      headwindMps: unknown,
      crosswindAbsMps: unknown,
      crosswindAtTenMetresMps: unknown,
      yawAbsDeg: unknown,
    }
  }
  return {
    speedMps: speed / distanceM,
    fromDeg: mean.fromDeg,
    headwindMps: head / distanceM,
    crosswindAbsMps: cross / distanceM,
    crosswindAtTenMetresMps: cross / distanceM / exposure,
    yawAbsDeg: yaw / distanceM,
  }
}

/** The sun over a run: at its start, middle and end. */
export function sunOver(steps: Steps): SunOver {
  const last = steps.time.length - 1
  const at = (i: number) => sunAt(steps.time[i], steps.latitude[i], steps.longitude[i])
  const middle = at(last >> 1)
  return {
    altitudeDeg: middle.altitudeDeg,
    azimuthDeg: middle.azimuthDeg,
    startAltitudeDeg: at(0).altitudeDeg,
    endAltitudeDeg: at(last).altitudeDeg,
    phase: sunPhase(middle.altitudeDeg),
  }
}

/** Mean of a column over the distance of the steps; NaN where the column is not known all along. */
export function overDistance(values: Float64Array, steps: Steps): number {
  let sum = 0
  let distanceM = 0
  for (let i = 0; i < values.length; i++) {
    sum += values[i] * steps.distanceM[i]
    distanceM += steps.distanceM[i]
  }
  return sum / distanceM
}
