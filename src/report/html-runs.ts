import type { Report, ReportRun } from './contract.ts'
import { capital } from './html-pairs.ts'
import { html, type Markup, scrolled } from './markup.ts'
import { dateAndTime, fixed, hoursAndMinutes, signed } from './words.ts'

/** So many drives stand side by side in one table: as many as a printed page holds. */
const RUNS_PER_TABLE = 6

type Line = [quantity: string, unit: string, value: (run: ReportRun) => string]

const plusMinus = (value: string, deviation: string): string => (deviation === '–' ? value : `${value} ± ${deviation}`)
const kmh = (mps: number | null): number | null => (mps === null ? null : mps * 3.6)

const GROUPS: [string, Line[]][] = [
  [
    'Drive',
    [
      ['Setup', '', (r) => r.setup ?? '–'],
      ['Start', 'UTC', (r) => dateAndTime(r.start_time)],
      ['End', 'UTC', (r) => dateAndTime(r.end_time)],
      ['Distance', 'km', (r) => fixed(r.distance_m / 1000, 2)],
      ['Duration', '', (r) => hoursAndMinutes(r.duration_s)],
      ['Moving', '', (r) => hoursAndMinutes(r.moving_time_s)],
      ['Stops', '', (r) => String(r.stop_count)],
      ['Mean speed', 'km/h', (r) => fixed(kmh(r.mean_speed_mps), 1)],
      ['Mean speed while moving', 'km/h', (r) => fixed(kmh(r.moving_speed_mps), 1)],
      ['Highest speed', 'km/h', (r) => fixed(kmh(r.max_speed_mps), 0)],
      ['Climb', 'm', (r) => fixed(r.elevation_gain_m, 0)],
      ['Descent', 'm', (r) => fixed(r.elevation_loss_m, 0)],
      ['End against start', 'm', (r) => signed(r.net_elevation_m, 0)],
    ],
  ],
  [
    'Road',
    [
      ['Route', '', (r) => r.route ?? '–'],
      [
        'Lies on it',
        '',
        (r) =>
          r.road.relation === 'part'
            ? 'in part'
            : r.road.relation === 'detour'
              ? 'with a detour'
              : r.road.relation === 'same'
                ? 'fully'
                : '–',
      ],
      [
        'Share of the route covered',
        '%',
        (r) => fixed(r.road.covered_share === null ? null : 100 * r.road.covered_share, 1),
      ],
      ['Detours', 'm', (r) => fixed(r.road.detour_m, 0)],
    ],
  ],
  [
    'Air',
    [
      ['Temperature', '°C', (r) => fixed(r.air.temperature_c, 1)],
      ['Relative humidity', '%', (r) => fixed(r.air.relative_humidity_pct, 0)],
      ['Station pressure', 'hPa', (r) => fixed(r.air.station_pressure_hpa, 1)],
      ['Air density', 'kg/m³', (r) => plusMinus(fixed(r.air.density_kgm3, 4), fixed(r.air.density_kgm3_sd, 4))],
      ['Precipitation', 'mm', (r) => fixed(r.air.precipitation_mm, 1)],
      ['Weather reported', '', (r) => r.air.present_weather.join(', ') || '–'],
      ['Road surface', '', (r) => (r.air.road_wet === null ? '–' : r.air.road_wet ? 'wet' : 'dry')],
      [
        'Observed by',
        '',
        (r) =>
          r.air.stations
            .map((s) => (s.distance_km === null ? s.id : `${s.id} (${fixed(s.distance_km, 0)} km)`))
            .join(', ') || '–',
      ],
    ],
  ],
  [
    'Wind',
    [
      ['Speed at 10 m', 'm/s', (r) => fixed(r.wind.speed_mps, 1)],
      ['From', '°', (r) => fixed(r.wind.from_deg, 0)],
      ['Gust', 'm/s', (r) => fixed(r.wind.gust_mps, 1)],
      [
        'Headwind at the vehicle',
        'm/s',
        (r) => plusMinus(signed(r.wind.headwind_mps, 1), fixed(r.wind.headwind_mps_sd, 1)),
      ],
      ['Crosswind of either side', 'm/s', (r) => fixed(r.wind.crosswind_abs_mps, 1)],
      ['Yaw of the air, mean size', '°', (r) => fixed(r.wind.yaw_abs_deg, 1)],
    ],
  ],
  [
    'Sun',
    [
      ['Altitude, middle of the drive', '°', (r) => fixed(r.sun.altitude_deg, 0)],
      ['Azimuth', '°', (r) => fixed(r.sun.azimuth_deg, 0)],
      ['Phase', '', (r) => r.sun.phase ?? '–'],
    ],
  ],
  [
    'Demand of the unchanged vehicle',
    [
      ['Mean', 'kJ/km', (r) => fixed(r.demand.mean_j_per_m, 0)],
      ['Standard deviation', '%', (r) => fixed(r.demand.sd_pct, 1)],
    ],
  ],
]

/** The drives with their conditions side by side, then what was noticed about them. */
export function runsSection({ runs }: Report): Markup | null {
  if (runs.length === 0) return null
  const tables = batches(runs).map(({ first, batch }) => conditionsTable(batch, first, runs.length))
  return html`<section aria-labelledby="drives">
<h2 id="drives">Drives and their conditions</h2>
<p>Figures after ± are standard deviations. Headwind is positive against the vehicle. A dash means that the figure is not known.</p>
${tables}${flagsTable(runs)}</section>
`
}

function batches(runs: readonly ReportRun[]): { first: number; batch: ReportRun[] }[] {
  const starts = Array.from({ length: Math.ceil(runs.length / RUNS_PER_TABLE) }, (_, i) => i * RUNS_PER_TABLE)
  return starts.map((start) => ({ first: start + 1, batch: runs.slice(start, start + RUNS_PER_TABLE) }))
}

const headOf = (batch: readonly ReportRun[], first: number): Markup[] =>
  batch.map((run, i) => html`<th scope="col" class="figure"><span class="number">${first + i}</span> ${run.id}</th>`)

function conditionsTable(batch: readonly ReportRun[], first: number, count: number): Markup {
  const label =
    count > RUNS_PER_TABLE ? `Conditions of drives ${first} to ${first + batch.length - 1}` : 'Conditions of the drives'
  const groups = GROUPS.map(([group, lines]) => {
    const rows = lines.map(([quantity, unit, value]) => {
      const cells = batch.map((run) => html`<td class="figure">${value(run)}</td>`)
      return html`<tr><th scope="row">${quantity}${unit === '' ? null : html` <span class="unit">${unit}</span>`}</th>${cells}</tr>\n`
    })
    return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${batch.length + 1}">${group}</th></tr>\n${rows}</tbody>`
  })
  const tracks = html`<tbody><tr><th scope="row">Track</th>${batch.map((run) => html`<td class="figure file">${run.track}</td>`)}</tr></tbody>`
  return scrolled(
    label,
    html`<table class="conditions"><caption>${label}</caption>
<thead><tr><th scope="col">Quantity</th>${headOf(batch, first)}</tr></thead>
${tracks}${groups}</table>`,
  )
}

function flagsTable(runs: readonly ReportRun[]): Markup {
  const flagged = runs.flatMap((run, i) => run.flags.map((flag) => ({ run, number: i + 1, flag })))
  if (flagged.length === 0) return html`<p>No quality flags were raised on any drive.</p>\n`
  const rows = flagged.map(
    ({ run, number, flag }) =>
      html`<tr><th scope="row"><span class="number">${number}</span> ${run.id}</th><td>${capital(flag.severity)}</td><td>${flag.message}</td><td class="file">${flag.code}</td></tr>\n`,
  )
  return scrolled(
    'Quality flags',
    html`<table><caption>Quality flags: what was found in the tracks and mended or doubted</caption>
<thead><tr><th scope="col">Drive</th><th scope="col">Kind</th><th scope="col">What</th><th scope="col">Code</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

/** Each drive held against the weather limits of published procedures; null where no procedure was asked for. */
export function limitsSection({ runs }: Report): Markup | null {
  const procedures = [...new Set(runs.flatMap((run) => run.limits.map(({ procedure }) => procedure)))]
  if (procedures.length === 0) return null
  const tables = procedures.flatMap((procedure) =>
    batches(runs).map(({ first, batch }) => limitsTable(procedure, batch, first)),
  )
  return html`<section aria-labelledby="limits">
<h2 id="limits">Limits of published test procedures</h2>
<p>For information: to lie within these limits is not a certification, and the procedures ask for much more than weather.</p>
${tables}</section>
`
}

function limitsTable(procedure: string, batch: readonly ReportRun[], first: number): Markup {
  const key = (quantity: string, limit: string): string => `${quantity}\n${limit}`
  const found = batch.map(
    (run) => new Map(run.limits.filter((l) => l.procedure === procedure).map((l) => [key(l.quantity, l.limit), l])),
  )
  const lines = [...new Set(found.flatMap((limits) => [...limits.keys()]))]
  const rows = lines.map((line) => {
    const [quantity, limit] = line.split('\n')
    const cells = found.map((limits) => {
      const at = limits.get(line)
      if (!at || at.ok === null) return html`<td class="figure">not known</td>`
      const word = at.ok ? 'within' : 'outside'
      return html`<td class="figure"><span class="${word}">${word}:</span> ${at.value ?? '–'}</td>`
    })
    return html`<tr><th scope="row">${capital(quantity)}<span class="unit"> ${limit}</span></th>${cells}</tr>\n`
  })
  return scrolled(
    procedure,
    html`<table class="limits"><caption>${procedure}</caption>
<thead><tr><th scope="col">Quantity and limit</th>${headOf(batch, first)}</tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}
