import type { Report, ReportPair, ReportRun } from '../../src/report/contract.ts'
import { mapped } from '../../src/report/quantities/run-figure.ts'
import { AIR, DEMAND, HEIGHTS, SPEEDS, SUN, WIND } from '../../src/report/quantities/run-figures.ts'
import { FACTORS, type Factor, type Share } from '../../src/report/words.ts'

/**
 * A hand-made report, no result of the program: six runs of which two have hostile names, and a pair of each verdict.
 */
export const HOSTILE_NAME = '<img src=x onerror=alert(1)>'
export const FORMULA_NAME = '=1+1.gpx'

type Changes = Partial<Pick<ReportRun, 'setup' | 'route' | 'track' | 'flags' | 'limits'>> & {
  air?: Partial<ReportRun['air']>
  wind?: Partial<ReportRun['wind']>
}

const windReading = (value: number) => ({
  condition: 'mean-wind' as const,
  value,
  height_m: null,
  brought: null,
  height_unknown: false,
})

export function run(id: string, hour: number, changes: Changes = {}): ReportRun {
  const { air, wind, ...others } = changes
  const time = (minutes: number) => new Date(Date.UTC(2024, 4, 3, hour, minutes)).toISOString().replace('.000', '')
  return {
    id,
    track: `tracks/${id}.gpx`,
    setup: 'bare',
    route: 'dyke-road',
    start_time: time(5),
    end_time: time(58),
    distance_m: 61234.5678,
    duration_s: 3180,
    moving_time_s: 3105,
    stop_count: 4,
    ...mapped(SPEEDS, () => null),
    ...mapped(HEIGHTS, () => null),
    mean_speed_mps: 19.2561,
    moving_speed_mps: 19.7213,
    max_speed_mps: 25.1,
    elevation_gain_m: 118,
    elevation_loss_m: 121,
    net_elevation_m: -3,
    air: {
      ...mapped(AIR, () => null),
      temperature_c: 14.2,
      relative_humidity_pct: 71,
      station_pressure_hpa: 1009.3,
      density_kgm3: 1.21987654,
      density_kgm3_sd: 0.0021,
      precipitation_mm: 0,
      present_weather: [],
      road_wet: false,
      stations: [{ id: 'EHKD', distance_km: 12.4, nearest_observation_min: 8, weight: 1 }],
      ...air,
    },
    wind: {
      ...mapped(WIND, () => null),
      speed_mps: 3.1,
      from_deg: 235,
      headwind_mps: 0.4,
      headwind_mps_sd: 0.6,
      crosswind_abs_mps: 2.2,
      yaw_abs_deg: 5.4,
      gust_mps: 6.2,
      ...wind,
    },
    sun: {
      ...mapped(SUN, () => null),
      altitude_deg: 41.2,
      azimuth_deg: 128,
      phase: 'day',
      start_altitude_deg: 37,
      end_altitude_deg: 45,
    },
    demand: { ...mapped(DEMAND, () => null), mean_j_per_m: 702.345678, sd_pct: 4.2 },
    consumption: null,
    use: {
      as: 'as-measured',
      reason: 'comparable as measured with 1 of 4 other drives on its road',
      why: { code: 'comparable' },
      difference_pct: null,
      pairs: 4,
      usable_pairs: 1,
    },
    conditions: '12 °C, air 1.214 kg/m³, wind 3.4 m/s from 235°, dry road',
    note: null,
    extra: [],
    photo: null,
    road: { relation: 'same', covered_share: 0.997, detour_m: 0 },
    logged: null,
    flags: [],
    limits: [
      {
        procedure: 'sae-j1321-2012',
        quantity: 'mean wind',
        limit: 'at most 5.36 m/s (12 mph)',
        value: '3.10 m/s',
        reading: windReading(3.1),
        ok: true,
      },
      {
        procedure: 'sae-j1321-2012',
        quantity: 'gusts',
        limit: 'below 6.71 m/s (15 mph)',
        value: null,
        reading: null,
        ok: null,
      },
    ],
    ...others,
  }
}

const none = { ...mapped(AIR, () => null), road_wet: null, stations: [] }
const calm = mapped(WIND, () => null)

const runs: ReportRun[] = [
  run('morning-1', 8),
  run('morning-2', 9, { setup: 'rack', wind: { speed_mps: 3.4, headwind_mps: 0.5 } }),
  run('img-src-x', 12, {
    track: `tracks/${HOSTILE_NAME}.gpx`,
    setup: HOSTILE_NAME,
    air: { temperature_c: 24.8, density_kgm3: 1.174 },
    wind: { speed_mps: 6.8, from_deg: 275, headwind_mps: 2.4, gust_mps: 11.3 },
    flags: [
      {
        code: 'gaps',
        severity: 'warning',
        message: 'The recording breaks off once, for up to 42 s; 0.8 km are bridged by straight lines.',
        figures: { count: 1, longest_s: 42, bridged_m: 810 },
      },
    ],
    limits: [
      {
        procedure: 'sae-j1321-2012',
        quantity: 'mean wind',
        limit: 'at most 5.36 m/s (12 mph)',
        value: '6.80 m/s',
        reading: windReading(6.8),
        ok: false,
      },
    ],
  }),
  run('1-1', 15, {
    track: FORMULA_NAME,
    setup: '@SUM(A1)',
    air: { road_wet: true, precipitation_mm: 1.2, present_weather: ['-RA BR'] },
  }),
  run('🚐-dijk-\u0007-\u202Egpx', 18, {
    track: 'tracks/🚐 dijk \u0007\u202Egpx',
    setup: 'rack & "skirts"',
    air: none,
    wind: calm,
  }),
]

export const share = (mean: number, half = 0.3) => ({ mean, low90: mean - half, high90: mean + half })
export const noShares: Record<Factor, Share> = {
  air_density: share(0),
  wind: share(0),
  rolling_temperature: share(0),
  speed: share(0),
  route: share(0, 0),
}

/** Shares as the contract has them: means, and intervals beside them. */
export const contributions = (
  shares: Record<Factor, Share>,
): Pick<ReportPair, 'contributions_pct' | 'contributions_interval90_pct'> => ({
  contributions_pct: byFactor(shares, ({ mean }) => mean),
  contributions_interval90_pct: byFactor(shares, ({ low90, high90 }) => ({ low90, high90 })),
})

const byFactor = <T>(shares: Record<Factor, Share>, of: (share: Share) => T): Record<Factor, T> =>
  Object.fromEntries(FACTORS.map((factor) => [factor, of(shares[factor])])) as Record<Factor, T>

export const pair = (a: string, b: string, changes: Partial<ReportPair> = {}): ReportPair => ({
  a,
  b,
  difference_pct: { mean: 0.31, low90: -0.42, high90: 0.97 },
  score: 97.2,
  fuel_informed_difference_pct: null,
  tightest_margin_pct: 0.97,
  verdict: 'comparable',
  cause: null,
  missing: [],
  outside_model: null,
  common_share: 0.996,
  reason: 'Conditions account for +0.31 % (90 % interval −0.42 to +0.97 %), within ±1 %.',
  ...contributions({ ...noShares, wind: share(0.25), speed: share(0.06) }),
  remarks: [],
  remark_codes: [],
  ...changes,
})

const pairs: ReportPair[] = [
  pair(runs[0].id, runs[1].id),
  pair(runs[0].id, runs[2].id, {
    difference_pct: { mean: 4.123456789, low90: 3.3, high90: 4.9 },
    score: 0,
    tightest_margin_pct: 4.8,
    verdict: 'adjustable',
    reason:
      'Conditions account for +4.1 % (90 % interval +3.3 to +4.9 %): not within ±1 %, but known well enough to correct for.',
    ...contributions({
      air_density: share(-1.9, 0.2),
      wind: share(7.2, 0.9),
      rolling_temperature: share(-1.3),
      speed: share(0.2),
      route: share(-0.076543211, 0),
    }),
    remarks: ['Payloads differ: 75 kg and 150 kg. The model corrects for the mass.'],
    remark_codes: [{ code: 'payload', a: 75, b: 150 }],
  }),
  pair(runs[0].id, runs[3].id, {
    difference_pct: { mean: -0.2, low90: -1, high90: 0.6 },
    score: 95,
    tightest_margin_pct: 1,
    verdict: 'not-comparable',
    cause: 'outside-model',
    outside_model: 'wet-and-dry',
    reason: 'Not comparable: one road was wet, the other dry, and the model cannot correct for that.',
    ...contributions({ ...noShares, wind: share(-0.2) }),
    remarks: ['The two recordings overlap in time.'],
    remark_codes: [{ code: 'recordings-overlap' }],
  }),
  pair(runs[0].id, runs[4].id, {
    difference_pct: null,
    score: null,
    tightest_margin_pct: null,
    verdict: 'unknown',
    cause: 'missing',
    missing: ['weather'],
    reason: 'Cannot be judged: no weather observation is within reach.',
    contributions_pct: null,
    contributions_interval90_pct: null,
  }),
  pair(runs[1].id, runs[2].id, {
    difference_pct: { mean: 12.4, low90: 11.6, high90: 13.1 },
    score: 0,
    tightest_margin_pct: 13,
    verdict: 'not-comparable',
    cause: 'too-large',
    reason: 'Conditions account for +12.4 % (90 % interval +11.6 to +13.1 %): too large to correct for.',
    ...contributions({
      air_density: share(-1, 0.1),
      wind: share(13, 1),
      rolling_temperature: share(-0.5),
      speed: share(0.7),
      route: share(0.2, 0),
    }),
  }),
]

export const fixture: Report = {
  schema: 'ceteris-report/2',
  version: '0.1.0',
  title: 'Roof rack on the dyke road </title><script>alert(2)</script>',
  settings: {
    margin_pct: 1,
    draws: 400,
    seed: 1,
    limits: ['sae-j1321-2012'],
    baseline: 'bare',
    time_zone: 'Europe/Amsterdam',
    vehicle_name: null,
    powertrain: 'petrol',
  },
  fills: [],
  consumption: [],
  photos: [],
  coast_down: null,
  assumptions: [
    {
      name: 'vehicle mass',
      value: '2100 kg',
      uncertainty: '± 40 kg',
      source: 'campaign.yaml',
      figures: { quantity: 'mass', decimals: 0, value: 2100, sd: 40 },
    },
    {
      name: 'air density',
      value: 'CIPM-2007',
      uncertainty: 'that of the observations',
      source: 'Picard et al., Metrologia 45 (2008) 149',
      figures: null,
    },
  ],
  inputs: [
    { path: 'tracks/morning-1.gpx', sha256: 'ab'.repeat(32), kind: 'track', notes: [] },
    { path: `tracks/${HOSTILE_NAME}.gpx`, sha256: 'cd'.repeat(32), kind: 'track', notes: ['text in utf-16le'] },
    { path: FORMULA_NAME, sha256: 'ef'.repeat(32), kind: 'track', notes: [] },
    { path: 'weather/EHKD.txt', sha256: '01'.repeat(32), kind: 'weather', notes: [] },
    { path: 'notes.pdf', sha256: '23'.repeat(32), kind: 'unrecognised', notes: [] },
  ],
  sources: [
    {
      credit: 'Source: <Office> of Weather',
      licence: 'CC BY 4.0',
      service: 'Office of Weather',
      purpose: 'observations',
      provisional: true,
      files: ['weather/EHKD.txt'],
    },
  ],
  problems: [
    {
      path: 'campaign.yaml',
      line: 4,
      column: 12,
      code: 'campaign-value',
      severity: 'error',
      message: 'vehicle.mass_kg: found the text "heavy", expected a number of kilograms from 80 to 60000',
      hint: null,
    },
    {
      path: 'notes.pdf',
      line: null,
      column: null,
      code: 'unrecognised',
      severity: 'warning',
      message: 'this is none of the kinds that are read',
      hint: 'Leave it: it does no harm.',
    },
    {
      path: 'bad\u001B[31mname.gpx',
      line: 3,
      column: null,
      code: 'zoneless-times',
      severity: 'note',
      message: `12 times had no zone; read as UTC ${HOSTILE_NAME}`,
      hint: null,
    },
  ],
  recordings: [],
  recorders: [],
  lap_stints: [],
  stint_pairs: [],
  stints: [],
  runs,
  routes: [
    {
      id: 'dyke-road',
      length_m: 61230,
      shape: 'loop',
      runs: runs.map(({ id }) => id),
      reference_run: 'morning-1',
      elevation_gain_m: 117,
      opposite_of: null,
      outline: [
        [9, 48],
        [9.1, 48],
        [9.1, 48.1],
      ],
    },
  ],
  pairs,
  pairs_note: null,
  claims: [],
  parts: [],
  part_groups: [],
  cautions: ['These are public roads: the driver drives.', 'The figures are estimates, not a certification.'],
}
