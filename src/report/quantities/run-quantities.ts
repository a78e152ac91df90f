import type { Sentence } from '../../base/sentence.ts'
import type { ReportRun } from '../contract.ts'
import { USE_WORDS, useInBrief } from '../words/drives/drive-use.ts'
import { dateAndTime, hoursAndMinutes, plural } from '../words.ts'
import { LOGGED_QUANTITIES } from './logged-quantities.ts'
import { type Length, numeric, type RunQuantity, worded } from './run-quantity.ts'
import {
  limitsNotMet,
  list,
  named,
  names,
  otherColumns,
  per100Km,
  RELATION_WORDS,
  stationsOf,
  words,
} from './run-tellings.ts'

const HIGHEST_SPEED = numeric('max_speed_mps', 'Highest speed', 'speed', (r) => r.max_speed_mps, {
  decimals: 0,
  group: 'Drive',
})

const DOUBTED_BY: readonly string[] = ['top-speed-implausible', 'coarse-positions']

/** A highest speed with a remark where the positions that it comes from are poor. */
const doubted = ({ flags }: ReportRun, speed: Sentence | null): Sentence | null =>
  speed !== null && flags.some(({ code }) => DOUBTED_BY.includes(code)) ? [...speed, ' (doubtful)'] : speed

/** "excluded: wet road" in brief, "excluded" in full, where the reason has a row of its own. */
function useWords({ use }: ReportRun, length: Length): Sentence {
  const { words: as } = USE_WORDS[use.as]
  const why = length === 'brief' && use.as === 'left-out' ? useInBrief(use) : []
  return why.length === 0 ? [as] : [`${as}: `, ...why]
}

const DRIVE: RunQuantity[] = [
  worded('id', 'Drive', (r) => named(r.id), {
    cell: (r) => r.id,
    markdown: 'both',
    terminal: { header: 'drive', rank: 0, widest: 26 },
  }),
  worded('track', 'Recording', (r) => named(r.track), { cell: (r) => r.track, group: 'Drive', markdown: 'drives' }),
  worded('setup', 'Setup', (r) => named(r.setup), {
    cell: (r) => r.setup,
    group: 'Drive',
    markdown: 'drives',
    terminal: { header: 'setup', rank: 2, widest: 14 },
  }),
  worded('route', 'Road', (r) => named(r.route), { cell: (r) => r.route, group: 'Road' }),
  worded('start_time', 'Start', (r) => words(dateAndTime(r.start_time)), {
    cell: (r) => r.start_time,
    unit: 'UTC',
    group: 'Drive',
    markdown: 'drives',
    terminal: { header: 'start, UTC', rank: 8 },
  }),
  worded('end_time', 'End', (r) => words(dateAndTime(r.end_time)), {
    cell: (r) => r.end_time,
    unit: 'UTC',
    group: 'Drive',
  }),
  numeric('distance_m', 'Distance', 'distance', (r) => r.distance_m, {
    decimals: 2,
    brief: 1,
    group: 'Drive',
    markdown: 'drives',
    terminal: { header: 'km', rank: 9 },
    inspect: 'Drive',
    card: { place: 9, behind: 'duration_s' },
  }),
  worded('duration_s', 'Duration', (r) => words(hoursAndMinutes(r.duration_s)), {
    cell: (r) => r.duration_s,
    group: 'Drive',
    inspect: 'Drive',
    phrase: { before: 'in ', behind: '', carriesOn: true },
  }),
  worded('moving_time_s', 'Moving time', (r) => words(hoursAndMinutes(r.moving_time_s)), {
    cell: (r) => r.moving_time_s,
    group: 'Drive',
  }),
  worded(
    'stop_count',
    'Stops',
    (r, length) => words(length === 'full' ? String(r.stop_count) : plural(r.stop_count, 'stop')),
    {
      cell: (r) => r.stop_count,
      group: 'Drive',
      inspect: 'Drive',
    },
  ),
  numeric('mean_speed_mps', 'Mean speed, stops included', 'speed', (r) => r.mean_speed_mps, {
    decimals: 1,
    group: 'Drive',
  }),
  numeric('moving_speed_mps', 'Mean speed while moving', 'speed', (r) => r.moving_speed_mps, {
    decimals: 1,
    brief: 0,
    group: 'Drive',
    markdown: 'drives',
    terminal: { header: 'km/h', rank: 7 },
    inspect: 'Drive',
    phrase: { before: '', behind: ' while moving' },
    card: { place: 8, behind: 'stop_count' },
  }),
  { ...HIGHEST_SPEED, value: (r, length) => doubted(r, HIGHEST_SPEED.value(r, length)) },
]

const HEIGHTS: RunQuantity[] = [
  numeric('elevation_gain_m', 'Climb, on the profile of all drives of the road', 'height', (r) => r.elevation_gain_m, {
    decimals: 0,
    group: 'Drive',
    inspect: 'Road',
    phrase: { before: 'climb ', behind: '' },
  }),
  numeric(
    'elevation_loss_m',
    'Descent, on the profile of all drives of the road',
    'height',
    (r) => r.elevation_loss_m,
    {
      decimals: 0,
      group: 'Drive',
    },
  ),
  numeric('net_elevation_m', 'Net elevation change', 'height', (r) => r.net_elevation_m, {
    decimals: 0,
    sign: true,
    group: 'Drive',
  }),
]

const FUEL: RunQuantity[] = [
  worded('consumption.per_100_km', 'Measured', (r) => per100Km(r, r.consumption?.per_100_km ?? null), {
    column: null,
    align: 'right',
    group: 'Fuel or energy',
    short: 'consumption',
    markdown: 'drives',
    card: { place: 10, insteadOf: 'wind.gust_mps' },
  }),
  worded(
    'consumption.adjusted_per_100_km',
    'Corrected to equal conditions',
    (r) => per100Km(r, r.consumption?.adjusted_per_100_km ?? null),
    { column: null, align: 'right', group: 'Fuel or energy', markdown: 'drives' },
  ),
]

const AIR: RunQuantity[] = [
  numeric('air.temperature_c', 'Temperature', 'temperature', (r) => r.air.temperature_c, {
    decimals: 1,
    group: 'Air',
    markdown: 'conditions',
    terminal: { header: '°C', rank: 6 },
    inspect: 'Air',
    card: { place: 4 },
  }),
  numeric('air.relative_humidity_pct', 'Relative humidity', '%', (r) => r.air.relative_humidity_pct, {
    decimals: 0,
    group: 'Air',
    short: 'humidity',
    markdown: 'conditions',
    inspect: 'Air',
    phrase: { before: '', behind: ' humidity' },
    card: { place: 6 },
  }),
  numeric('air.station_pressure_hpa', 'Station pressure', 'pressure', (r) => r.air.station_pressure_hpa, {
    decimals: 1,
    brief: 0,
    group: 'Air',
    inspect: 'Air',
  }),
  numeric('air.density_kgm3', 'Air density', 'density', (r) => r.air.density_kgm3, {
    decimals: 4,
    brief: 3,
    sd: (r) => r.air.density_kgm3_sd,
    group: 'Air',
    markdown: 'conditions',
    terminal: { header: 'kg/m³', rank: 10 },
    inspect: 'Air',
    card: { place: 5 },
  }),
  numeric('air.precipitation_mm', 'Precipitation', 'rain', (r) => r.air.precipitation_mm, {
    decimals: 1,
    group: 'Air',
    inspect: 'Sky',
    phrase: { before: 'precipitation ', behind: '' },
  }),
  worded('air.present_weather', 'Weather reported', (r) => names(r.air.present_weather), {
    cell: (r) => list(r.air.present_weather),
    group: 'Air',
    inspect: 'Sky',
    phrase: { before: 'reported: ', behind: '' },
  }),
  worded('air.road_wet', 'Road surface', (r) => (r.air.road_wet === null ? null : [r.air.road_wet ? 'wet' : 'dry']), {
    cell: (r) => r.air.road_wet,
    group: 'Air',
    markdown: 'conditions',
    terminal: { header: 'road', rank: 1 },
    inspect: 'Sky',
    phrase: { before: 'road ', behind: '' },
    card: { place: 7 },
  }),
  worded('air.stations', 'Observed by', stationsOf, {
    cell: (r) => list(r.air.stations.map((station) => station.id)),
    group: 'Air',
    inspect: 'Stations',
  }),
]

const WIND: RunQuantity[] = [
  numeric('wind.speed_mps', 'Wind speed at 10 m', 'wind', (r) => r.wind.speed_mps, {
    column: 'wind_speed_mps',
    decimals: 1,
    group: 'Wind',
    short: 'wind at 10 m',
    markdown: 'conditions',
    terminal: { header: 'wind, m/s', rank: 3 },
    inspect: 'Wind',
    card: { place: 1, behind: 'wind.from_deg' },
  }),
  numeric('wind.from_deg', 'Wind from', '°', (r) => r.wind.from_deg, {
    column: 'wind_from_deg',
    decimals: 0,
    group: 'Wind',
    short: 'from',
    markdown: 'conditions',
    terminal: { header: 'from, °', rank: 4 },
    inspect: 'Wind',
    phrase: { before: 'from ', behind: '', carriesOn: true },
  }),
  numeric('wind.headwind_mps', 'Headwind at the vehicle', 'wind', (r) => r.wind.headwind_mps, {
    decimals: 1,
    sign: true,
    sd: (r) => r.wind.headwind_mps_sd,
    group: 'Wind',
    short: 'headwind',
    markdown: 'conditions',
    terminal: { header: 'head', rank: 5 },
    inspect: 'Wind',
    phrase: { before: 'headwind at the vehicle ', behind: '' },
    card: { place: 2, opposite: 'tailwind' },
  }),
  numeric('wind.crosswind_abs_mps', 'Mean absolute crosswind at the vehicle', 'wind', (r) => r.wind.crosswind_abs_mps, {
    decimals: 1,
    group: 'Wind',
    short: 'crosswind',
    markdown: 'conditions',
    terminal: { header: 'cross', rank: 11 },
    inspect: 'Wind',
    phrase: { before: 'crosswind ', behind: '' },
    card: { place: 3 },
  }),
  numeric('wind.yaw_abs_deg', 'Mean absolute yaw angle', '°', (r) => r.wind.yaw_abs_deg, {
    decimals: 1,
    group: 'Wind',
  }),
  numeric('wind.gust_mps', 'Highest gust', 'wind', (r) => r.wind.gust_mps, {
    decimals: 1,
    group: 'Wind',
    short: 'gusts',
    markdown: 'conditions',
    inspect: 'Wind',
    phrase: { before: 'gusts ', behind: '' },
    card: { place: 11 },
  }),
]

const SUN: RunQuantity[] = [
  numeric('sun.altitude_deg', 'Sun altitude, middle of the drive', '°', (r) => r.sun.altitude_deg, {
    column: 'sun_altitude_deg',
    decimals: 0,
    group: 'Sun',
    inspect: 'Sky',
    phrase: { before: 'sun at ', behind: '' },
  }),
  numeric('sun.azimuth_deg', 'Sun azimuth', '°', (r) => r.sun.azimuth_deg, {
    column: 'sun_azimuth_deg',
    decimals: 0,
    group: 'Sun',
  }),
  worded('sun.phase', 'Daylight', (r) => words(r.sun.phase), {
    column: 'sun_phase',
    cell: (r) => r.sun.phase,
    group: 'Sun',
    inspect: 'Sky',
  }),
  numeric('sun.start_altitude_deg', 'Sun altitude at the start', '°', (r) => r.sun.start_altitude_deg, {
    column: null,
    decimals: 0,
  }),
  numeric('sun.end_altitude_deg', 'Sun altitude at the end', '°', (r) => r.sun.end_altitude_deg, {
    column: null,
    decimals: 0,
  }),
]

const DEMAND_AND_ROAD: RunQuantity[] = [
  numeric('demand.mean_j_per_m', 'Mean demand', 'demand', (r) => r.demand.mean_j_per_m, {
    column: 'demand_mean_j_per_m',
    decimals: 0,
    group: 'Predicted energy demand (vehicle unchanged)',
  }),
  numeric('demand.sd_pct', 'Standard deviation of the demand', '%', (r) => r.demand.sd_pct, {
    column: 'demand_sd_pct',
    decimals: 1,
    group: 'Predicted energy demand (vehicle unchanged)',
  }),
  worded(
    'road.relation',
    'Lies on the road',
    (r) => (r.road.relation === null ? null : [RELATION_WORDS[r.road.relation]]),
    {
      column: 'road_relation',
      cell: (r) => r.road.relation,
      group: 'Road',
    },
  ),
  numeric(
    'road.covered_share',
    'Share of the road covered',
    '%',
    (r) => r.road.covered_share && 100 * r.road.covered_share,
    {
      column: 'road_covered_share',
      cell: (r) => r.road.covered_share,
      decimals: 1,
      group: 'Road',
    },
  ),
  numeric('road.detour_m', 'Detours', 'distance', (r) => r.road.detour_m, {
    column: 'road_detour_m',
    decimals: 1,
    group: 'Road',
  }),
]

const FOUND: RunQuantity[] = [
  worded('use.as', 'Use: as measured, corrected or left out', useWords, {
    column: 'use',
    cell: (r) => r.use.as,
    short: 'use',
    markdown: 'drives',
    terminal: { header: 'use', rank: 1 },
  }),
  worded('use.reason', 'Why it is used so', (r) => words(r.use.reason), {
    column: 'use_reason',
    cell: (r) => r.use.reason,
  }),
  worded('flags', 'Quality flags', (r) => words(list(r.flags.map(({ code }) => code))), {
    cell: (r) => list(r.flags.map(({ code }) => code)),
    short: 'flags',
    markdown: 'drives',
    terminal: { header: 'flags', rank: 12 },
  }),
  worded('limits', 'Limits not met', (r) => words(limitsNotMet(r)), {
    column: 'limits_not_met',
    cell: limitsNotMet,
    markdown: 'conditions',
  }),
  worded('note', 'Note', (r) => named(r.note), { column: null, markdown: 'drives' }),
  worded('extra', 'Other columns', (r) => named(otherColumns(r)), { cell: otherColumns, markdown: 'drives' }),
  worded('photo', 'Photo', (r) => named(r.photo), { column: null }),
  worded('conditions', 'Conditions in one line', (r) => words(r.conditions), { column: null }),
]

/**
 * Every quantity of a drive that any output shows: one row each, in the order of runs.csv and of all other tables.
 * A new one is a row here, a key in contract.ts, and the place that computes it.
 */
export const RUN_QUANTITIES: readonly RunQuantity[] = [
  ...DRIVE,
  ...HEIGHTS,
  ...FUEL,
  ...AIR,
  ...WIND,
  ...SUN,
  ...DEMAND_AND_ROAD,
  ...LOGGED_QUANTITIES,
  ...FOUND,
]
