import { apparentWind, windFromVector } from '../../air/wind.ts'
import { celsiusFromKelvin, degrees, wrapDegrees } from '../../base/units.ts'
import { neededAtBestJ, pieceAt } from '../../demand/piece.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { RunLoad, StepAir, Steps } from '../../demand/types.ts'
import { POINT_COLUMNS, type PointColumn, type RunPoints } from '../../report/points/points.ts'
import type { Drive } from '../../track/types.ts'
import { windMet } from '../drive/conditions.ts'
import type { ReadySetting } from '../drive/run-result.ts'
import { stepsInAir } from '../drive/steps-in-air.ts'
import type { RouteContext } from '../load/route-context.ts'
import type { Run } from '../load/runs.ts'

/** A run's steps with their road and air as they go into its demand. */
export function pointsOf(
  run: Pick<Run, 'id' | 'row'>,
  drive: Drive,
  route: RouteContext,
  { field, shared }: Pick<ReadySetting, 'field' | 'shared'>,
): RunPoints {
  const { steps, air, ...load } = stepsInAir(run, drive, route, field)
  const count = steps.distanceM.length
  const columns = Object.fromEntries(POINT_COLUMNS.map((column) => [column, new Float64Array(count)])) as Record<
    PointColumn,
    Float64Array
  >
  const directed = Number.isFinite(windMet(steps, air, shared.bestExposure).headwindMps)
  let drivenM = 0
  for (let i = 0; i < count; i++) {
    const row = {
      ...driven(steps, i, drivenM),
      temperature_c: celsiusFromKelvin(air.temperatureK[i]),
      density_kgm3: air.densityKgM3[i],
      ...(directed ? windAndDemand(steps, air, i, load, shared) : WIND_UNKNOWN),
    }
    for (const column of POINT_COLUMNS) columns[column][i] = row[column]
    drivenM += steps.distanceM[i]
  }
  return { run: run.id, columns }
}

const driven = (steps: Steps, i: number, drivenM: number) => ({
  time: steps.time[i],
  latitude: steps.latitude[i],
  longitude: steps.longitude[i],
  elevation_m: steps.elevationM[i],
  distance_m: drivenM + steps.distanceM[i] / 2,
  route_distance_m: (steps.axisFromM[i] + steps.axisToM[i]) / 2,
  step_m: steps.distanceM[i],
  duration_s: steps.durationS[i],
  speed_mps: steps.speedMps[i],
  course_deg: wrapDegrees(degrees(Math.atan2(steps.courseEast[i], steps.courseNorth[i]))),
  climb_m: steps.climbM[i],
})

function windAndDemand(steps: Steps, air: StepAir, i: number, load: RunLoad, shared: SharedDraws) {
  const piece = pieceAt(steps, air, i)
  const headwind = shared.bestExposure * piece.headMps
  const crosswind = shared.bestExposure * piece.crossMps
  const { airspeedMps, yawDeg } = apparentWind(piece.speedMps, headwind, crosswind)
  const wind = windFromVector(air.windEastMps[i], air.windNorthMps[i])
  return {
    wind_speed_mps: wind.speedMps,
    wind_from_deg: wind.fromDeg,
    headwind_mps: headwind,
    crosswind_mps: crosswind,
    airspeed_mps: airspeedMps,
    yaw_deg: yawDeg,
    demand_j: neededAtBestJ(piece, load, shared),
  }
}

const WIND_UNKNOWN: ReturnType<typeof windAndDemand> = {
  wind_speed_mps: Number.NaN,
  wind_from_deg: Number.NaN,
  headwind_mps: Number.NaN,
  crosswind_mps: Number.NaN,
  airspeed_mps: Number.NaN,
  yaw_deg: Number.NaN,
  demand_j: Number.NaN,
}
