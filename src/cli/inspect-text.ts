import type { Report, ReportRun } from '../report/contract.ts'
import { padEnd, wrapped } from '../report/terminal-text.ts'
import { cleaned, dateAndTime, fixed, hoursAndMinutes, plural } from '../report/words.ts'

const LABEL_WIDTH = 9
/** A line no longer than this reads well on a telephone, too. */
const MOST_COLUMNS = 72

/** Each run of a report in a few plain lines, to be read at the pump. Ends with a line end. */
export function inspectText(report: Report, width: number): string {
  const columns = Math.min(width, MOST_COLUMNS)
  return `${report.runs.map((run) => runText(run, report, columns)).join('\n\n')}\n`
}

function runText(run: ReportRun, report: Report, width: number): string {
  const start = dateAndTime(run.start_time)
  const end = dateAndTime(run.end_time)
  const until = start.slice(0, 10) === end.slice(0, 10) ? end.slice(11) : end
  const said: [label: string, text: string][] = [
    ['Drive', driveWords(run)],
    ['Road', roadWords(run, report)],
    ['Air', airWords(run)],
    ['Wind', windWords(run)],
    ['Sky', skyWords(run)],
    ['Stations', stationWords(run)],
    ['Quality', qualityWords(run)],
  ]
  const lines = said.filter(([, text]) => text !== '').flatMap(([label, text]) => labelled(label, text, width))
  const flags = run.flags.flatMap(({ message }) => wrapped(cleaned(message), width, '  - ', '    '))
  return [cleaned(run.track), `${start} to ${until} UTC`, ...lines, ...flags].join('\n')
}

function labelled(label: string, text: string, width: number): string[] {
  const indent = ' '.repeat(LABEL_WIDTH)
  const [first, ...rest] = wrapped(text, width, indent)
  return [padEnd(label, LABEL_WIDTH) + first.slice(LABEL_WIDTH), ...rest]
}

function driveWords({ distance_m, duration_s, moving_speed_mps, stop_count }: ReportRun): string {
  const speed = moving_speed_mps === null ? '' : `, ${fixed(moving_speed_mps * 3.6, 0)} km/h while moving`
  return `${fixed(distance_m / 1000, 1)} km in ${hoursAndMinutes(duration_s)}${speed}, ${plural(stop_count, 'stop')}`
}

const SHAPE_WORDS = { 'one-way': 'one way', loop: 'a loop', 'there-and-back': 'there and back' } as const

function roadWords(run: ReportRun, { routes }: Report): string {
  const shape = run.road.relation === 'same' ? routes.find(({ id }) => id === run.route)?.shape : undefined
  const climb = run.elevation_gain_m === null ? 'climbs not known' : `climbs ${fixed(run.elevation_gain_m, 0)} m in all`
  return [...(shape ? [SHAPE_WORDS[shape]] : []), climb].join(', ')
}

function airWords({ air }: ReportRun): string {
  if (air.temperature_c === null) return 'not known: no observation within reach'
  const parts = [`${fixed(air.temperature_c, 1)} °C`]
  if (air.relative_humidity_pct !== null) parts.push(`${fixed(air.relative_humidity_pct, 0)} % humidity`)
  if (air.station_pressure_hpa !== null) parts.push(`${fixed(air.station_pressure_hpa, 0)} hPa`)
  if (air.density_kgm3 !== null && air.density_kgm3_sd !== null) {
    parts.push(`${fixed(air.density_kgm3, 3)} kg/m³ (± ${fixed((100 * air.density_kgm3_sd) / air.density_kgm3, 1)} %)`)
  }
  return parts.join(', ')
}

function windWords({ wind }: ReportRun): string {
  if (wind.speed_mps === null) return 'not known: no observation within reach'
  const gusts = wind.gust_mps === null ? '' : `, gusts ${fixed(wind.gust_mps, 0)} m/s`
  if (wind.from_deg === null) return `${fixed(wind.speed_mps, 1)} m/s${gusts}, direction not known`
  const head = wind.headwind_mps ?? 0
  const sd = wind.headwind_mps_sd === null ? '' : ` ± ${fixed(wind.headwind_mps_sd, 1)}`
  const along = `${fixed(Math.abs(head), 1)}${sd} m/s ${head < 0 ? 'from behind' : 'against you'} on the whole`
  return `${fixed(wind.speed_mps, 1)} m/s from ${fixed(wind.from_deg, 0)}°${gusts}; at the vehicle ${along}, ${fixed(wind.crosswind_abs_mps, 1)} m/s across`
}

function skyWords({ sun, air }: ReportRun): string {
  const parts = [sun.phase ?? '', sun.altitude_deg === null ? '' : `sun at ${fixed(sun.altitude_deg, 0)}°`]
  if (air.present_weather.length > 0) parts.push(air.present_weather.join(' '))
  if (air.precipitation_mm !== null && air.precipitation_mm > 0)
    parts.push(`${fixed(air.precipitation_mm, 1)} mm of rain`)
  if (air.road_wet !== null) parts.push(air.road_wet ? 'road wet' : 'road dry')
  return cleaned(parts.filter((part) => part !== '').join(', '))
}

function stationWords({ air }: ReportRun): string {
  const nearest = air.stations.toSorted((a, b) => (a.distance_km ?? 0) - (b.distance_km ?? 0)).slice(0, 3)
  const words = nearest.map(({ id, distance_km: km, nearest_observation_min: minutes }) => {
    const gap = minutes === null ? '' : `, reports up to ${fixed(minutes, 0)} min off`
    return `${cleaned(id)} (${km === null || km === 0 ? 'on the road' : `${fixed(km, 0)} km`}${gap})`
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
