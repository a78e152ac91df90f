import type { Report, ReportPair, ReportRun } from './contract.ts'
import { type Cell, csvText } from './csv.ts'

type Column<T> = [header: string, cell: (row: T) => Cell]

const list = (items: readonly string[]): string | null => (items.length > 0 ? items.join('; ') : null)

const RUN_COLUMNS: Column<ReportRun>[] = [
  ['id', (r) => r.id],
  ['track', (r) => r.track],
  ['setup', (r) => r.setup],
  ['route', (r) => r.route],
  ['start_time', (r) => r.start_time],
  ['end_time', (r) => r.end_time],
  ['distance_m', (r) => r.distance_m],
  ['duration_s', (r) => r.duration_s],
  ['moving_time_s', (r) => r.moving_time_s],
  ['stop_count', (r) => r.stop_count],
  ['mean_speed_mps', (r) => r.mean_speed_mps],
  ['moving_speed_mps', (r) => r.moving_speed_mps],
  ['max_speed_mps', (r) => r.max_speed_mps],
  ['elevation_gain_m', (r) => r.elevation_gain_m],
  ['elevation_loss_m', (r) => r.elevation_loss_m],
  ['net_elevation_m', (r) => r.net_elevation_m],
  ['temperature_c', (r) => r.air.temperature_c],
  ['relative_humidity_pct', (r) => r.air.relative_humidity_pct],
  ['station_pressure_hpa', (r) => r.air.station_pressure_hpa],
  ['density_kgm3', (r) => r.air.density_kgm3],
  ['density_kgm3_sd', (r) => r.air.density_kgm3_sd],
  ['precipitation_mm', (r) => r.air.precipitation_mm],
  ['present_weather', (r) => list(r.air.present_weather)],
  ['road_wet', (r) => r.air.road_wet],
  ['stations', (r) => list(r.air.stations.map((station) => station.id))],
  ['wind_speed_mps', (r) => r.wind.speed_mps],
  ['wind_from_deg', (r) => r.wind.from_deg],
  ['headwind_mps', (r) => r.wind.headwind_mps],
  ['headwind_mps_sd', (r) => r.wind.headwind_mps_sd],
  ['crosswind_abs_mps', (r) => r.wind.crosswind_abs_mps],
  ['yaw_abs_deg', (r) => r.wind.yaw_abs_deg],
  ['gust_mps', (r) => r.wind.gust_mps],
  ['sun_altitude_deg', (r) => r.sun.altitude_deg],
  ['sun_azimuth_deg', (r) => r.sun.azimuth_deg],
  ['sun_phase', (r) => r.sun.phase],
  ['demand_mean_j_per_m', (r) => r.demand.mean_j_per_m],
  ['demand_sd_pct', (r) => r.demand.sd_pct],
  ['road_relation', (r) => r.road.relation],
  ['road_covered_share', (r) => r.road.covered_share],
  ['road_detour_m', (r) => r.road.detour_m],
  ['flags', (r) => list(r.flags.map((flag) => flag.code))],
  ['limits_not_met', (r) => list(r.limits.filter((l) => l.ok === false).map((l) => `${l.procedure}: ${l.quantity}`))],
]

const PAIR_COLUMNS: Column<ReportPair>[] = [
  ['a', (p) => p.a],
  ['b', (p) => p.b],
  ['verdict', (p) => p.verdict],
  ['difference_pct', (p) => p.difference_pct?.mean ?? null],
  ['difference_pct_low90', (p) => p.difference_pct?.low90 ?? null],
  ['difference_pct_high90', (p) => p.difference_pct?.high90 ?? null],
  ['score', (p) => p.score],
  ['tightest_margin_pct', (p) => p.tightest_margin_pct],
  ['air_density_pct', (p) => p.contributions_pct?.air_density ?? null],
  ['wind_pct', (p) => p.contributions_pct?.wind ?? null],
  ['rolling_temperature_pct', (p) => p.contributions_pct?.rolling_temperature ?? null],
  ['speed_pct', (p) => p.contributions_pct?.speed ?? null],
  ['route_pct', (p) => p.contributions_pct?.route ?? null],
  ['reason', (p) => p.reason],
  ['remarks', (p) => list(p.remarks)],
]

function tableOf<T>(columns: Column<T>[], rows: readonly T[]): string {
  const header = columns.map(([name]) => name)
  return csvText(
    header,
    rows.map((row) => columns.map(([, cell]) => cell(row))),
  )
}

/** The text of runs.csv: a row per run, the names and units of report.json. */
export function runsCsv(report: Report): string {
  return tableOf(RUN_COLUMNS, report.runs)
}

/** The text of pairs.csv: a row per pair, all of them. */
export function pairsCsv(pairs: readonly ReportPair[]): string {
  return tableOf(PAIR_COLUMNS, pairs)
}
