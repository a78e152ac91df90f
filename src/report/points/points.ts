/** How the points of a run can be written. */
export const POINT_FORMS = ['csv', 'geojson', 'parquet'] as const
export type PointForm = (typeof POINT_FORMS)[number]

/**
 * A drive brought together with its road and its air, a row for each step of some tens of metres or a stop. What is not
 * known is NaN. Headwind is positive against the motion, crosswind and yaw are positive from the right; both are at the
 * vehicle's height, `wind_…` is at 10 m.
 */
export interface RunPoints {
  run: string
  columns: Record<PointColumn, Float64Array>
}

/** Columns in their order, with the decimals that are written. */
export const POINT_DECIMALS = {
  /** Seconds since 1970 UTC, middle of the step. */
  time: 1,
  latitude: 7,
  longitude: 7,
  elevation_m: 1,
  /** Driven so far, at the middle of the step. */
  distance_m: 1,
  /** On the axis that all drives of the road share; NaN off the road. */
  route_distance_m: 1,
  step_m: 2,
  duration_s: 1,
  speed_mps: 3,
  course_deg: 1,
  climb_m: 3,
  temperature_c: 2,
  density_kgm3: 5,
  wind_speed_mps: 2,
  wind_from_deg: 1,
  headwind_mps: 2,
  crosswind_mps: 2,
  airspeed_mps: 2,
  yaw_deg: 1,
  /** What the unchanged vehicle draws over the step, every uncertain input at its best estimate. */
  demand_j: 0,
} as const
export type PointColumn = keyof typeof POINT_DECIMALS
export const POINT_COLUMNS = Object.keys(POINT_DECIMALS) as PointColumn[]

/** The number as it is written; null where it is not known. */
export function pointValue(points: RunPoints, column: PointColumn, row: number): number | null {
  const value = points.columns[column][row]
  return Number.isFinite(value) ? Number(value.toFixed(POINT_DECIMALS[column])) : null
}

export const pointTime = (points: RunPoints, row: number): string =>
  new Date(Math.round(points.columns.time[row] * 1000)).toISOString()
