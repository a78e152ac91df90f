import { fixed } from '../../base/figures.ts'
import { cleaned } from '../../base/names.ts'
import type { Report, ReportRoute, ReportRun } from '../contract.ts'
import { hoursAndMinutes, plural } from '../words.ts'
import { type Cell, fitted, GROUND, grid, line, SOFT, tag, text } from './label.ts'
import type { Card, Mark, Typefaces } from './marks.ts'
import { windDial } from './wind-dial.ts'

/** The conditions of a run as a strip along the foot of a film, 1920 × 1080 with a clear ground. */
export function wideConditionsCard(run: ReportRun, report: Report, typefaces: Typefaces): Card {
  const route = routeOf(run, report)
  const box = { x: 96, y: 626, width: 1728, height: 400 }
  const [left, right] = [560, 1796]
  const marks: Mark[] = [
    ...tag(box, 'left'),
    ...windDial(350, 836, 138, run, route),
    line('M532 626V1026'),
    fitted(text(left, 692, run.id, 52, { weight: 600 }), 780, typefaces),
    fitted(text(right, 692, setupInWords(run), 40, { anchor: 'end' }), 420, typefaces),
    text(left, 738, whenInWords(run), 30, { color: SOFT }),
    fitted(text(right, 738, roadInWords(run, route), 30, { anchor: 'end', color: SOFT }), 640, typefaces),
    line('M532 758H1824'),
    ...grid(conditionCells(run), { x: left, y: 758, width: right - left, height: 220 }, 5, 46, typefaces),
    line('M532 978H1824'),
    fitted(text(left, 1010, foot(report), 23, { color: SOFT }), right - left, typefaces),
  ]
  return { width: 1920, height: 1080, clearAbove: 624, ...alternativeText(run), marks }
}

/** The conditions of a run as a square picture, 1080 × 1080, opaque. */
export function squareConditionsCard(run: ReportRun, report: Report, typefaces: Typefaces): Card {
  const route = routeOf(run, report)
  const cells = conditionCells(run)
  const [left, right] = [100, 980]
  const marks: Mark[] = [
    line('M0 0H1080V1080H0z', { fill: GROUND, stroke: null }),
    ...tag({ x: 48, y: 48, width: 984, height: 984 }, 'top'),
    fitted(text(left, 208, run.id, 64, { weight: 600 }), right - left, typefaces),
    text(left, 262, whenInWords(run), 35, { color: SOFT }),
    fitted(text(right, 262, setupInWords(run), 38, { anchor: 'end' }), 370, typefaces),
    line(`M48 292H1032`),
    ...windDial(280, 476, 132, run, route),
    line('M500 292V652'),
    ...grid(cells.slice(0, 4), { x: 528, y: 292, width: right - 528, height: 360 }, 2, 56, typefaces),
    line('M48 652H1032'),
    ...grid(cells.slice(4), { x: left, y: 652, width: right - left, height: 276 }, 3, 54, typefaces),
    line('M48 928H1032'),
    fitted(text(left, 966, roadInWords(run, route), 28, { color: SOFT }), right - left, typefaces),
    fitted(text(left, 1006, foot(report), 24, { color: SOFT }), right - left, typefaces),
  ]
  return { width: 1080, height: 1080, clearAbove: 0, ...alternativeText(run), marks }
}

const routeOf = (run: ReportRun, { routes }: Report): ReportRoute | null =>
  routes.find(({ id }) => id === run.route) ?? null

function conditionCells({ air, wind, consumption, ...run }: ReportRun): Cell[] {
  const head = wind.headwind_mps
  const tail = head !== null && Number(head.toFixed(1)) < 0
  const measured: Cell = consumption
    ? { caption: `${consumption.unit} per 100 km`, value: fixed(consumption.per_100_km, 2), more: '' }
    : { caption: 'gusts, m/s', value: fixed(wind.gust_mps, 1), more: '' }
  return [
    {
      caption: 'wind at 10 m, m/s',
      value: fixed(wind.speed_mps, 1),
      more: wind.from_deg === null ? '' : `from ${fixed(wind.from_deg, 0)}°`,
    },
    {
      caption: `${tail ? 'tailwind' : 'headwind'}, m/s`,
      value: fixed(head === null ? null : Math.abs(head), 1),
      more: deviation(wind.headwind_mps_sd, 1),
    },
    { caption: 'crosswind, m/s', value: fixed(wind.crosswind_abs_mps, 1), more: '' },
    { caption: 'temperature, °C', value: fixed(air.temperature_c, 1), more: '' },
    { caption: 'air density, kg/m³', value: fixed(air.density_kgm3, 3), more: deviation(air.density_kgm3_sd, 3) },
    { caption: 'humidity, %', value: fixed(air.relative_humidity_pct, 0), more: '' },
    { caption: 'road', value: air.road_wet === null ? '–' : air.road_wet ? 'wet' : 'dry', more: '' },
    {
      caption: 'km/h while moving',
      value: fixed(run.moving_speed_mps === null ? null : run.moving_speed_mps * 3.6, 0),
      more: plural(run.stop_count, 'stop'),
    },
    { caption: 'distance, km', value: fixed(run.distance_m / 1000, 1), more: hoursAndMinutes(run.duration_s) },
    measured,
  ]
}

const deviation = (sd: number | null, decimals: number): string => (sd === null ? '' : `± ${fixed(sd, decimals)}`)

const setupInWords = ({ setup }: ReportRun): string => (setup === null ? 'setup not stated' : `setup: ${setup}`)

function whenInWords({ start_time, end_time }: ReportRun): string {
  return `${start_time.slice(0, 10)}, ${start_time.slice(11, 16)} to ${end_time.slice(11, 16)} UTC`
}

function roadInWords({ route }: ReportRun, known: ReportRoute | null): string {
  if (route === null) return 'road not known'
  return known ? `${route}, ${known.shape.replaceAll('-', ' ')}` : route
}

const foot = ({ version }: Report): string =>
  `Conditions of a drive; ± is one standard deviation; head- and crosswind are those at the vehicle. ceteris ${version}`

function alternativeText(run: ReportRun): { title: string; description: string } {
  const setup = run.setup === null ? '' : ` with the setup ${cleaned(run.setup)}`
  return {
    title: `Conditions of the drive ${cleaned(run.id)}`,
    description: `Driven ${whenInWords(run)}${setup}, ${fixed(run.distance_m / 1000, 1)} km. ${cleaned(run.conditions)}. The arrow shows the way the wind blows, north is up.`,
  }
}
