import { moment, type Sentence } from '../../base/sentence.ts'
import type { ReportRun } from '../contract.ts'
import { useInBrief, useWords } from '../words/drives/drive-use.ts'
import { hoursAndMinutes, plural } from '../words.ts'
import { LOGGED_QUANTITIES } from './logged-quantities.ts'
import { AIR, DEMAND, HEIGHTS, SPEEDS, SUN, WIND } from './run-figures.ts'
import { type Length, numeric, quantitiesOf, type RunQuantity, worded } from './run-quantity.ts'
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

const DOUBTED_BY: readonly string[] = ['top-speed-implausible', 'coarse-positions']

/** A highest speed with a remark where the positions that it comes from are poor. */
function withDoubt(quantity: RunQuantity): RunQuantity {
  if (quantity.path !== 'max_speed_mps') return quantity
  const value: RunQuantity['value'] = (run, length) => {
    const speed = quantity.value(run, length)
    const isDoubted = run.flags.some(({ code }) => DOUBTED_BY.includes(code))
    return speed !== null && isDoubted ? [...speed, ' (doubtful)'] : speed
  }
  return { ...quantity, value }
}

/** "excluded: wet road" in brief, "excluded" in full, where the reason has a row of its own. */
function useTold({ use }: ReportRun, length: Length): Sentence {
  const { words: as } = useWords(use)
  const why = length === 'brief' && use.as === 'left-out' ? useInBrief(use) : []
  return why.length === 0 ? [as] : [`${as}: `, ...why]
}

const OF_DRIVE: RunQuantity[] = [
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
  worded('start_time', 'Start', (r) => [moment(r.start_time)], {
    cell: (r) => r.start_time,
    unit: 'UTC',
    group: 'Drive',
    markdown: 'drives',
    terminal: { header: 'start, UTC', rank: 8 },
  }),
  worded('end_time', 'End', (r) => [moment(r.end_time)], {
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
  ...quantitiesOf(SPEEDS, '', (r) => r).map(withDoubt),
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

const OF_AIR: RunQuantity[] = [
  ...quantitiesOf(AIR, 'air.', (r) => r.air),
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

const OF_SUN: RunQuantity[] = [
  ...quantitiesOf(SUN, 'sun.', (r) => r.sun),
  worded('sun.phase', 'Daylight', (r) => words(r.sun.phase), {
    column: 'sun_phase',
    cell: (r) => r.sun.phase,
    group: 'Sun',
    inspect: 'Sky',
  }),
]

const OF_ROAD: RunQuantity[] = [
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
  worded('use.as', 'Use: as measured, corrected or left out', useTold, {
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
 * A new number is a row of run-figures.ts and nothing else; a new text is a row here, a key in contract/drives.ts, and the
 * line that fills it.
 */
export const RUN_QUANTITIES: readonly RunQuantity[] = [
  ...OF_DRIVE,
  ...quantitiesOf(HEIGHTS, '', (r) => r),
  ...FUEL,
  ...OF_AIR,
  ...quantitiesOf(WIND, 'wind.', (r) => r.wind),
  ...OF_SUN,
  ...quantitiesOf(DEMAND, 'demand.', (r) => r.demand),
  ...OF_ROAD,
  ...LOGGED_QUANTITIES,
  ...FOUND,
]
