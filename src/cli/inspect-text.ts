import { DateTime } from 'luxon'
import { fixed } from '../base/figures.ts'
import { cleaned } from '../base/names.ts'
import { inSystem, QUANTITIES, type Quantity, type System } from '../base/quantities.ts'
import type { Report, ReportRun } from '../report/contract.ts'
import { textIn } from '../report/page/said.ts'
import { padEnd, wrapped } from '../report/terminal-text.ts'
import { hoursAndMinutes, plural } from '../report/words.ts'

const LABEL_WIDTH = 9
/** A line no longer than this reads well on a telephone, too. */
const MOST_COLUMNS = 72

/** Each run of a report in a few plain lines, to be read at the pump. Ends with a line end. */
export function inspectText(report: Report, width: number, system: System = 'si'): string {
  const columns = Math.min(width, MOST_COLUMNS)
  return `${report.runs.map((run) => runText(run, report, columns, system)).join('\n\n')}\n`
}

function runText(run: ReportRun, report: Report, width: number, system: System): string {
  const zone = report.settings.time_zone
  const start = localTime(run.start_time, zone)
  const end = localTime(run.end_time, zone)
  const until = start.slice(0, 10) === end.slice(0, 10) ? end.slice(11) : end
  const say: Say = (value, quantity, decimals, sd = null) => {
    const spread = sd === null ? '' : ` ± ${inSystem(sd, quantity, decimals, system, { difference: true })}`
    return `${inSystem(value, quantity, decimals, system)}${spread} ${QUANTITIES[quantity][system].unit}`
  }
  const said: [label: string, text: string][] = [
    ['Drive', driveWords(run, say)],
    ['Road', roadWords(run, report, say)],
    ['Air', airWords(run, say)],
    ['Wind', windWords(run, say)],
    ['Sky', skyWords(run, say)],
    ['Stations', stationWords(run, say)],
    ['Quality', qualityWords(run)],
  ]
  const lines = said.filter(([, text]) => text !== '').flatMap(([label, text]) => labelled(label, text, width))
  const flags = run.flags.flatMap(({ message }) => wrapped(textIn(cleaned(message), system), width, '  - ', '    '))
  return [cleaned(run.track), `${start} to ${until} ${zone ?? 'UTC'}`, ...lines, ...flags].join('\n')
}

const localTime = (instant: string, zone: string | null): string =>
  DateTime.fromISO(instant, { zone: zone ?? 'UTC' }).toFormat('yyyy-MM-dd HH:mm')

function labelled(label: string, text: string, width: number): string[] {
  const indent = ' '.repeat(LABEL_WIDTH)
  const [first, ...rest] = wrapped(text, width, indent)
  return [padEnd(label, LABEL_WIDTH) + first.slice(LABEL_WIDTH), ...rest]
}

/** A value, with its standard deviation where that is told, and its unit in the system asked for. */
type Say = (value: number | null, quantity: Quantity, decimals: number, sd?: number | null) => string

function driveWords({ distance_m, duration_s, moving_speed_mps, stop_count }: ReportRun, say: Say): string {
  const speed = moving_speed_mps === null ? '' : `, ${say(moving_speed_mps, 'speed', 0)} while moving`
  return `${say(distance_m, 'distance', 1)} in ${hoursAndMinutes(duration_s)}${speed}, ${plural(stop_count, 'stop')}`
}

const SHAPE_WORDS = { 'one-way': 'one way', loop: 'a loop', 'there-and-back': 'there and back' } as const

function roadWords(run: ReportRun, { routes }: Report, say: Say): string {
  const shape = run.road.relation === 'same' ? routes.find(({ id }) => id === run.route)?.shape : undefined
  const climb =
    run.elevation_gain_m === null ? 'climbs not known' : `climbs ${say(run.elevation_gain_m, 'height', 0)} in all`
  return [...(shape ? [SHAPE_WORDS[shape]] : []), climb].join(', ')
}

function airWords({ air }: ReportRun, say: Say): string {
  if (air.temperature_c === null) return 'not known: no observation within reach'
  const parts = [say(air.temperature_c, 'temperature', 1)]
  if (air.relative_humidity_pct !== null) parts.push(`${fixed(air.relative_humidity_pct, 0)} % humidity`)
  if (air.station_pressure_hpa !== null) parts.push(say(air.station_pressure_hpa, 'pressure', 0))
  if (air.density_kgm3 !== null && air.density_kgm3_sd !== null) {
    parts.push(
      `${say(air.density_kgm3, 'density', 3)} (± ${fixed((100 * air.density_kgm3_sd) / air.density_kgm3, 1)} %)`,
    )
  }
  return parts.join(', ')
}

function windWords({ wind }: ReportRun, say: Say): string {
  if (wind.speed_mps === null) return 'not known: no observation within reach'
  const gusts = wind.gust_mps === null ? '' : `, gusts ${say(wind.gust_mps, 'wind', 0)}`
  if (wind.from_deg === null) return `${say(wind.speed_mps, 'wind', 1)}${gusts}, direction not known`
  const head = wind.headwind_mps ?? 0
  const at = say(Math.abs(head), 'wind', 1, wind.headwind_mps_sd)
  const along = `${at} ${head < 0 ? 'from behind' : 'against you'} on the whole`
  return `${say(wind.speed_mps, 'wind', 1)} from ${fixed(wind.from_deg, 0)}°${gusts}; at the vehicle ${along}, ${say(wind.crosswind_abs_mps, 'wind', 1)} across`
}

function skyWords({ sun, air }: ReportRun, say: Say): string {
  const parts = [sun.phase ?? '', sun.altitude_deg === null ? '' : `sun at ${fixed(sun.altitude_deg, 0)}°`]
  if (air.present_weather.length > 0) parts.push(air.present_weather.join(' '))
  if (air.precipitation_mm !== null && air.precipitation_mm > 0)
    parts.push(`${say(air.precipitation_mm, 'rain', 1)} of rain`)
  if (air.road_wet !== null) parts.push(air.road_wet ? 'road wet' : 'road dry')
  return cleaned(parts.filter((part) => part !== '').join(', '))
}

function stationWords({ air }: ReportRun, say: Say): string {
  const nearest = air.stations.toSorted((a, b) => (a.distance_km ?? 0) - (b.distance_km ?? 0)).slice(0, 3)
  const words = nearest.map(({ id, distance_km: km, nearest_observation_min: minutes }) => {
    const gap = minutes === null ? '' : `, reports up to ${fixed(minutes, 0)} min off`
    return `${cleaned(id)} (${km === null || km === 0 ? 'on the road' : say(1000 * km, 'distance', 0)}${gap})`
  })
  const more = air.stations.length - nearest.length
  return words.join(', ') + (more > 0 ? ` and ${more} more` : '')
}

/** The track and its air in one word: what a driver must know before leaving. */
function qualityWords({ flags }: ReportRun): string {
  const warnings = flags.filter(({ severity }) => severity !== 'note').length
  if (flags.length === 0) return 'good'
  if (warnings === 0) return `good, with ${plural(flags.length, 'remark')}:`
  return `to be looked at: ${plural(warnings, 'warning')}${flags.length > warnings ? ` and ${plural(flags.length - warnings, 'remark')}` : ''}:`
}
