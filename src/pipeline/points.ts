import { apparentWind, windFromVector } from '../air/wind.ts'
import { celsiusFromKelvin, degrees, wrapDegrees } from '../base/units.ts'
import { drawnAtBestJ } from '../demand/best-estimate.ts'
import { stepAirOf } from '../demand/step-air.ts'
import { stepsOf } from '../demand/steps.ts'
import { POINT_COLUMNS, type PointColumn, type RunPoints } from '../report/points/points.ts'
import type { Drive } from '../track/types.ts'
import { windMet } from './conditions.ts'
import { runAirOf } from './run-air.ts'
import type { RouteContext } from './run-record.ts'
import type { ReadySetting } from './run-step.ts'
import type { Run } from './runs.ts'

/** A run's steps with their road and air as they go into its demand. */
export function pointsOf(
  run: Pick<Run, 'id' | 'row'>,
  drive: Drive,
  route: RouteContext,
  { field, shared }: Pick<ReadySetting, 'field' | 'shared'>,
): RunPoints {
  const steps = stepsOf(drive, { path: route.path, match: route.member.match, profile: route.profile })
  const air = stepAirOf(runAirOf(field, run.id, steps).along, steps)
  const payloadKg = run.row && Number.isFinite(run.row.payloadKg) ? run.row.payloadKg : 0
  const count = steps.distanceM.length
  const columns = Object.fromEntries(POINT_COLUMNS.map((column) => [column, new Float64Array(count)])) as Record<
    PointColumn,
    Float64Array
  >
  const directed = Number.isFinite(windMet(steps, air, shared.bestExposure).headwindMps)
  let drivenM = 0
  for (let i = 0; i < count; i++) {
    const [east, north] = [air.windEastMps[i], air.windNorthMps[i]]
    const [courseEast, courseNorth] = [steps.courseEast[i], steps.courseNorth[i]]
    const head = -(east * courseEast + north * courseNorth)
    const cross = north * courseEast - east * courseNorth
    const piece = {
      distanceM: steps.distanceM[i],
      durationS: steps.durationS[i],
      speedMps: steps.speedMps[i],
      climbM: steps.climbM[i],
      kineticJPerKg: steps.kineticJPerKg[i],
      densityKgM3: air.densityKgM3[i],
      temperatureK: air.temperatureK[i],
      headMps: head,
      crossMps: cross,
    }
    const headwind = shared.bestExposure * head
    const crosswind = shared.bestExposure * cross
    const { airspeedMps, yawDeg } = apparentWind(piece.speedMps, headwind, crosswind)
    const wind = windFromVector(east, north)
    const known = (value: number): number => (directed ? value : Number.NaN)
    const row: Record<PointColumn, number> = {
      time: steps.time[i],
      latitude: steps.latitude[i],
      longitude: steps.longitude[i],
      elevation_m: steps.elevationM[i],
      distance_m: drivenM + steps.distanceM[i] / 2,
      route_distance_m: (steps.axisFromM[i] + steps.axisToM[i]) / 2,
      step_m: steps.distanceM[i],
      duration_s: steps.durationS[i],
      speed_mps: steps.speedMps[i],
      course_deg: wrapDegrees(degrees(Math.atan2(courseEast, courseNorth))),
      climb_m: steps.climbM[i],
      temperature_c: celsiusFromKelvin(air.temperatureK[i]),
      density_kgm3: air.densityKgM3[i],
      wind_speed_mps: known(wind.speedMps),
      wind_from_deg: known(wind.fromDeg),
      headwind_mps: known(headwind),
      crosswind_mps: known(crosswind),
      airspeed_mps: known(airspeedMps),
      yaw_deg: known(yawDeg),
      demand_j: known(drawnAtBestJ(piece, payloadKg, shared)),
    }
    for (const column of POINT_COLUMNS) columns[column][i] = row[column]
    drivenM += steps.distanceM[i]
  }
  return { run: run.id, columns }
}
