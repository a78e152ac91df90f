import { fixed } from '../base/figures.ts'
import { QUANTITIES, type Quantity } from '../base/quantities.ts'
import type { Report, ReportRun } from './contract.ts'
import { capital } from './html-pairs.ts'
import { html, type Markup, scrolled } from './markup.ts'
import { type Say, said, sayer } from './page/said.ts'
import { amount, unitOf } from './page/units.ts'
import { dateAndTime, hoursAndMinutes, listed } from './words.ts'

/** So many drives stand side by side in one table at most: as many as a printed page holds. */
const RUNS_PER_TABLE = 6

/** More drives than this stand in runs.csv alone. */
const MOST_RUNS = 240

type Cell = Markup | string
type Line = [quantity: string, unit: Quantity | string, value: (run: ReportRun) => Cell]

const plusMinus = (value: Cell, deviation: Cell | null): Cell =>
  deviation === null ? value : html`${value} ± ${deviation}`
const difference = { difference: true }
const sign = { sign: true }
const FUEL_QUANTITY = { l: 'litres', kg: 'kilograms', kWh: 'kilowattHours' } as const

const RELATION_WORDS = { part: 'in part', detour: 'with a detour', same: 'fully' } as const

function consumptionCell({ consumption }: ReportRun, adjusted: boolean): Cell {
  if (consumption === null) return '–'
  const value = adjusted ? consumption.adjusted_per_100_km : consumption.per_100_km
  if (value === null) return '–'
  const quantity = FUEL_QUANTITY[consumption.unit]
  return html`${amount(value, quantity, 2)} ${unitOf(quantity)}`
}

const GROUPS: [string, Line[]][] = [
  [
    'Drive',
    [
      ['Setup', '', (r) => r.setup ?? '–'],
      ['Start', 'UTC', (r) => dateAndTime(r.start_time)],
      ['End', 'UTC', (r) => dateAndTime(r.end_time)],
      ['Distance', 'distance', (r) => amount(r.distance_m, 'distance', 2)],
      ['Duration', '', (r) => hoursAndMinutes(r.duration_s)],
      ['Moving', '', (r) => hoursAndMinutes(r.moving_time_s)],
      ['Stops', '', (r) => String(r.stop_count)],
      ['Mean speed', 'speed', (r) => amount(r.mean_speed_mps, 'speed', 1)],
      ['Mean speed while moving', 'speed', (r) => amount(r.moving_speed_mps, 'speed', 1)],
      ['Highest speed', 'speed', (r) => amount(r.max_speed_mps, 'speed', 0)],
      ['Climb', 'height', (r) => amount(r.elevation_gain_m, 'height', 0)],
      ['Descent', 'height', (r) => amount(r.elevation_loss_m, 'height', 0)],
      ['End against start', 'height', (r) => amount(r.net_elevation_m, 'height', 0, sign)],
    ],
  ],
  [
    'Fuel or energy',
    [
      ['Measured', '', (r) => consumptionCell(r, false)],
      ['At like conditions', '', (r) => consumptionCell(r, true)],
    ],
  ],
  [
    'Road',
    [
      ['Route', '', (r) => r.route ?? '–'],
      ['Lies on it', '', (r) => (r.road.relation === null ? '–' : RELATION_WORDS[r.road.relation])],
      [
        'Share of the route covered',
        '%',
        (r) => fixed(r.road.covered_share === null ? null : 100 * r.road.covered_share, 1),
      ],
      ['Detours', 'distance', (r) => amount(r.road.detour_m, 'distance', 1)],
    ],
  ],
  [
    'Air',
    [
      ['Temperature', 'temperature', (r) => amount(r.air.temperature_c, 'temperature', 1)],
      ['Relative humidity', '%', (r) => fixed(r.air.relative_humidity_pct, 0)],
      ['Station pressure', 'pressure', (r) => amount(r.air.station_pressure_hpa, 'pressure', 1)],
      [
        'Air density',
        'density',
        (r) =>
          plusMinus(
            amount(r.air.density_kgm3, 'density', 4),
            r.air.density_kgm3_sd === null ? null : amount(r.air.density_kgm3_sd, 'density', 4, difference),
          ),
      ],
      ['Precipitation', 'rain', (r) => amount(r.air.precipitation_mm, 'rain', 1)],
      ['Weather reported', '', (r) => r.air.present_weather.join(', ') || '–'],
      ['Road surface', '', (r) => (r.air.road_wet === null ? '–' : r.air.road_wet ? 'wet' : 'dry')],
      ['Observed by', '', observedBy],
    ],
  ],
  [
    'Wind',
    [
      ['Speed at 10 m', 'wind', (r) => amount(r.wind.speed_mps, 'wind', 1)],
      ['From', '°', (r) => fixed(r.wind.from_deg, 0)],
      ['Gust', 'wind', (r) => amount(r.wind.gust_mps, 'wind', 1)],
      [
        'Headwind at the vehicle',
        'wind',
        (r) =>
          plusMinus(
            amount(r.wind.headwind_mps, 'wind', 1, sign),
            r.wind.headwind_mps_sd === null ? null : amount(r.wind.headwind_mps_sd, 'wind', 1, difference),
          ),
      ],
      ['Crosswind of either side', 'wind', (r) => amount(r.wind.crosswind_abs_mps, 'wind', 1)],
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
      ['Mean', 'demand', (r) => amount(r.demand.mean_j_per_m, 'demand', 0)],
      ['Standard deviation', '%', (r) => fixed(r.demand.sd_pct, 1)],
    ],
  ],
]

function observedBy({ air }: ReportRun): Cell {
  if (air.stations.length === 0) return '–'
  return html`${air.stations.map(({ id, distance_km }, i) => [
    i > 0 ? ', ' : '',
    id,
    distance_km === null ? null : html` (${amount(1000 * distance_km, 'distance', 0)} ${unitOf('distance')})`,
  ])}`
}

/** The drives with their conditions side by side, then what was noticed about them. */
export function runsSection(report: Report): Markup | null {
  const all = report.runs
  if (all.length === 0) return null
  const runs = all.slice(0, MOST_RUNS)
  const left =
    runs.length < all.length
      ? html`<p>The first ${runs.length} of ${all.length} drives are shown; runs.csv holds them all.</p>\n`
      : null
  const tables = batches(runs).map(({ first, batch }) => conditionsTable(batch, first, runs.length))
  return html`<section aria-labelledby="drives">
<h2 id="drives">Drives and their conditions</h2>
<p>Figures after ± are standard deviations. Headwind is positive against the vehicle. A dash means that the figure is not known.</p>
${left}${tables}${runs.some(({ limits }) => limits.length > 0) ? null : html`<p>The drives were held against no published test procedure: name some under limits in campaign.yaml, or with --limits.</p>\n`}${flagsTable(runs, sayer(report))}</section>
`
}

function batches(runs: readonly ReportRun[]): { first: number; batch: ReportRun[] }[] {
  const tables = Math.ceil(runs.length / RUNS_PER_TABLE)
  const each = Math.ceil(runs.length / tables)
  const starts = Array.from({ length: Math.ceil(runs.length / each) }, (_, i) => i * each)
  return starts.map((start) => ({ first: start + 1, batch: runs.slice(start, start + each) }))
}

const headOf = (batch: readonly ReportRun[], first: number): Markup[] =>
  batch.map((run, i) => html`<th scope="col" class="figure"><span class="number">${first + i}</span> ${run.id}</th>`)

function conditionsTable(batch: readonly ReportRun[], first: number, count: number): Markup {
  const label =
    count > RUNS_PER_TABLE ? `Conditions of drives ${first} to ${first + batch.length - 1}` : 'Conditions of the drives'
  const groups = GROUPS.map(([group, lines]) => {
    const rows = lines.map(([quantity, unit, value]) => {
      const cells = batch.map((run) => html`<td class="figure">${value(run)}</td>`)
      return html`<tr><th scope="row">${quantity}${unit === '' ? null : html` <span class="unit">${unit in QUANTITIES ? unitOf(unit as Quantity) : unit}</span>`}</th>${cells}</tr>\n`
    })
    return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${batch.length + 1}">${group}</th></tr>\n${rows}</tbody>`
  })
  const tracks = html`<tbody><tr><th scope="row">Track</th>${batch.map((run) => html`<td class="figure file">${run.track}</td>`)}</tr></tbody>`
  return scrolled(
    label,
    html`<table class="conditions"><caption>${label}</caption>
<thead><tr><th scope="col">Quantity</th>${headOf(batch, first)}</tr></thead>
${tracks}${groups}${limitsBody(batch)}</table>`,
  )
}

/** Which limits of published procedures each drive did not keep; null where none was asked for. */
function limitsBody(batch: readonly ReportRun[]): Markup | null {
  if (batch.every(({ limits }) => limits.length === 0)) return null
  const cells = batch.map(({ limits }) => {
    const broken = [...new Set(limits.filter(({ ok }) => ok === false).map(({ quantity }) => quantity))]
    const unknown = limits.some(({ ok }) => ok === null) ? ', some not known' : ''
    return html`<td class="figure">${broken.length > 0 ? html`<span class="outside">${listed(broken)}</span>` : 'none'}${unknown}</td>`
  })
  return html`<tbody><tr class="group"><th scope="rowgroup" colspan="${batch.length + 1}">Limits of published procedures</th></tr>
<tr><th scope="row">Outside the limits <a class="unit" href="#limits">which</a></th>${cells}</tr></tbody>`
}

function flagsTable(runs: readonly ReportRun[], say: Say): Markup {
  const flagged = runs.flatMap((run, i) => run.flags.map((flag) => ({ run, number: i + 1, flag })))
  if (flagged.length === 0) return html`<p>No quality flags were raised on any drive.</p>\n`
  const rows = flagged.map(
    ({ run, number, flag }) =>
      html`<tr><th scope="row"><span class="number">${number}</span> ${run.id}</th><td>${capital(flag.severity)}</td><td>${say(flag.message)}</td><td class="file">${flag.code}</td></tr>\n`,
  )
  return scrolled(
    'Quality flags',
    html`<table><caption>Quality flags: what was found in the tracks and mended or doubted</caption>
<thead><tr><th scope="col">Drive</th><th scope="col">Kind</th><th scope="col">What</th><th scope="col">Code</th></tr></thead>
<tbody>${rows}</tbody></table>`,
  )
}

/** Each drive held against the weather limits of published procedures; null where no procedure was asked for. */
export function limitsSection({ runs: all }: Report): Markup | null {
  const runs = all.slice(0, MOST_RUNS)
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
      return html`<td class="figure"><span class="${word}">${word}:</span> ${said(at.value ?? '–')}</td>`
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
