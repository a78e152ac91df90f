import { z } from 'zod'

/**
 * The report's data contract, `report.json`. Names are snake_case with units; what does not exist is null, never 0.
 * The JSON Schema published with the package is made from this file and nothing else.
 */
const figure = z.number().nullable()
const interval90 = z.strictObject({ mean: z.number(), low90: z.number(), high90: z.number() })
const phase = z.enum(['day', 'twilight', 'night'])
const byCondition = <T extends z.ZodType>(value: T) =>
  z.strictObject({ air_density: value, wind: value, rolling_temperature: value, speed: value, route: value })

export const verdicts = ['comparable', 'adjustable', 'not-comparable', 'unknown'] as const
export type Verdict = (typeof verdicts)[number]

/** Why two runs are not comparable, or cannot be judged. */
export const causes = [
  'other-road',
  'opposite-direction',
  'detour',
  'incomplete-road',
  'missing',
  'outside-model',
  'not-known-well-enough',
  'too-large',
] as const
export type Cause = (typeof causes)[number]

const input = z.strictObject({
  path: z.string(),
  sha256: z.string(),
  kind: z.enum(['track', 'weather', 'runs', 'campaign', 'elevation', 'picture', 'unrecognised']),
  notes: z.array(z.string()),
})

const problem = z.strictObject({
  path: z.string().nullable(),
  line: z.number().int().nullable(),
  column: z.number().int().nullable(),
  code: z.string(),
  severity: z.enum(['error', 'warning', 'note']),
  message: z.string(),
  hint: z.string().nullable(),
})

const flag = z.strictObject({
  code: z.string(),
  severity: z.enum(['error', 'warning', 'note']),
  message: z.string(),
  /** What the message tells, in SI, named with units; null where the file's own problem is told. */
  figures: z
    .strictObject({
      count: z.number(),
      share: z.number(),
      longest_s: z.number(),
      interval_s: z.number(),
      bridged_m: z.number(),
      farthest_m: z.number(),
      scatter_m: z.number(),
      drift_m: z.number(),
      length_m: z.number(),
      /** Of the road: not recorded at its begin, at its end, between. */
      late_m: z.number(),
      early_m: z.number(),
      hole_m: z.number(),
      top_mps: z.number(),
      supported_mps: z.number(),
      /** Seconds since 1970 UTC. */
      from_time: z.number(),
      to_time: z.number(),
      unreachable_share: z.number(),
      start_mps: z.number(),
      end_mps: z.number(),
      fastest_mps: z.number(),
      humidity: z.number(),
      sd: z.number(),
      sd_hpa: z.number(),
    })
    .partial()
    .nullable(),
})

/** In m/s, °C, kg/m³, mm, 1 for wet and 0 for dry, or m. */
const limitReading = z.strictObject({
  condition: z.enum([
    'mean-wind',
    'gusts',
    'mean-crosswind',
    'temperature',
    'air-density',
    'precipitation',
    'road-wet',
    'highest-elevation',
  ]),
  value: z.number(),
  /** Of a wind: the height that it holds at. */
  height_m: figure,
  /** Of a wind: the same brought to the height of the procedure. */
  brought: z.strictObject({ value: z.number(), height_m: z.number() }).nullable(),
  /** The procedure asks for a height, and that of the value is not known. */
  height_unknown: z.boolean(),
})

const limit = z.strictObject({
  procedure: z.string(),
  quantity: z.string(),
  limit: z.string(),
  value: z.string().nullable(),
  /** The value as figures. */
  reading: limitReading.nullable(),
  /** null where the value is not known. */
  ok: z.boolean().nullable(),
})

const stationUse = z.strictObject({
  id: z.string(),
  distance_km: figure,
  nearest_observation_min: figure,
  weight: z.number(),
})

const consumption = z.strictObject({
  unit: z.enum(['l', 'kg', 'kWh']),
  per_100_km: z.number(),
  adjusted_per_100_km: figure,
})

const run = z.strictObject({
  id: z.string(),
  track: z.string(),
  setup: z.string().nullable(),
  route: z.string().nullable(),
  start_time: z.string(),
  end_time: z.string(),
  distance_m: z.number(),
  duration_s: z.number(),
  moving_time_s: z.number(),
  stop_count: z.number().int(),
  mean_speed_mps: figure,
  moving_speed_mps: figure,
  max_speed_mps: figure,
  elevation_gain_m: figure,
  elevation_loss_m: figure,
  net_elevation_m: figure,
  air: z.strictObject({
    temperature_c: figure,
    relative_humidity_pct: figure,
    station_pressure_hpa: figure,
    density_kgm3: figure,
    density_kgm3_sd: figure,
    precipitation_mm: figure,
    present_weather: z.array(z.string()),
    road_wet: z.boolean().nullable(),
    stations: z.array(stationUse),
  }),
  wind: z.strictObject({
    /** Mean speed at 10 m, and where the vector mean comes from. */
    speed_mps: figure,
    from_deg: figure,
    /** At the vehicle's height, positive against the motion; null where the direction is not known. */
    headwind_mps: figure,
    headwind_mps_sd: figure,
    crosswind_abs_mps: figure,
    yaw_abs_deg: figure,
    gust_mps: figure,
  }),
  sun: z.strictObject({
    altitude_deg: figure,
    azimuth_deg: figure,
    phase: phase.nullable(),
    start_altitude_deg: figure,
    end_altitude_deg: figure,
  }),
  demand: z.strictObject({ mean_j_per_m: figure, sd_pct: figure }),
  /** As measured, and at the reference conditions of its route and setup's baseline; null without fuel. */
  consumption: consumption.nullable(),
  /** Conditions in one line. */
  conditions: z.string(),
  /** Seen, not measured: never counted as evidence. */
  note: z.string().nullable(),
  photo: z.string().nullable(),
  road: z.strictObject({
    /** How the run lies on its route's axis. */
    relation: z.enum(['same', 'part', 'detour']).nullable(),
    covered_share: figure,
    detour_m: figure,
  }),
  flags: z.array(flag),
  limits: z.array(limit),
})

const route = z.strictObject({
  id: z.string(),
  length_m: z.number(),
  shape: z.enum(['one-way', 'loop', 'there-and-back']),
  runs: z.array(z.string()),
  /** The run whose path is the shared distance axis. */
  reference_run: z.string(),
  elevation_gain_m: figure,
  /** Id of the route that is this one driven the other way, if any. */
  opposite_of: z.string().nullable(),
  /** Course of the reference run, thinned for drawing: degrees east, degrees north. */
  outline: z.array(z.tuple([z.number(), z.number()])),
})

/** What differs between two drives that the model does not hold, with the figures of both. */
const remark = z.union([
  z.strictObject({ code: z.enum(['both-wet', 'wetness-unknown', 'recordings-overlap']) }),
  z.strictObject({ code: z.literal('phase'), a: phase, b: phase }),
  /** In Pa, W and kg; a share of the time, 0 to 1. */
  z.strictObject({
    code: z.enum(['tyre-pressure', 'accessories', 'payload', 'standing-share']),
    a: z.number(),
    b: z.number(),
  }),
])

const pair = z.strictObject({
  a: z.string(),
  b: z.string(),
  /** Demand of b against a, percent: what the unchanged vehicle would have used more (+) or less (-). */
  difference_pct: interval90.nullable(),
  score: figure,
  tightest_margin_pct: figure,
  verdict: z.enum(verdicts),
  /** null for the verdicts comparable and adjustable. */
  cause: z.enum(causes).nullable(),
  /** With the cause `missing`: what one of the drives lacks. */
  missing: z.array(z.enum(['weather', 'wind', 'temperature', 'demand'])),
  /** With the cause `outside-model`: what the model cannot correct for. */
  outside_model: z.enum(['wet-and-dry']).nullable(),
  /** Share of the road that both drove, 0 to 1; null on two roads or with a detour. */
  common_share: figure,
  /** One sentence. */
  reason: z.string(),
  /** What each condition makes of the difference; they add up to its mean. */
  contributions_pct: byCondition(z.number()).nullable(),
  /** Their 90 % intervals, which do not add up. */
  contributions_interval90_pct: byCondition(z.strictObject({ low90: z.number(), high90: z.number() })).nullable(),
  remarks: z.array(z.string()),
  /** The remarks as codes and figures, in the same order. */
  remark_codes: z.array(remark),
})

const fuelUnit = z.enum(['l', 'kg', 'kWh'])
const interval95 = z.strictObject({ estimate: z.number(), low95: z.number(), high95: z.number() })

/** Why a drive does not count in a claim; amounts per 100 km in the unit. */
const leftOutWhy = z.union([
  z.strictObject({ code: z.literal('stated'), note: z.string() }),
  z.strictObject({ code: z.enum(['part', 'detour', 'wet', 'dry', 'no-fuel', 'no-conditions', 'other-unit']) }),
  z.strictObject({
    code: z.literal('impossible-fuel'),
    amount: z.number(),
    unit: fuelUnit,
    distance_m: z.number(),
    per_100_km: z.number(),
    low: z.number(),
    high: z.number(),
    usual: figure,
  }),
])

const leftOut = z.strictObject({ run: z.string(), reason: z.string(), why: leftOutWhy })

const nextStep = z.strictObject({
  step: z.enum(['more-runs', 'weigh-the-fuel', 'longer-route', 'nearer-anemometer']),
  /** Width of the 95 % interval of the adjusted consumption change, percentage points, now and after the step. */
  width_before_pct: z.number(),
  width_after_pct: z.number(),
  sentence: z.string(),
})

const drift = z.strictObject({
  runs: z.array(z.string()),
  span_hours: z.number(),
  change_over_span_pct: interval95,
  /** Whether the interval excludes zero. */
  resolved: z.boolean(),
  /** Whether the claim's figures have the trend taken out. */
  corrected: z.boolean(),
  sentence: z.string(),
})

const sense = z.strictObject({
  /** Share of the drag in what the unchanged vehicle needs on this road, 0 to 1. */
  drag_share: z.number(),
  drag_share_low95: z.number(),
  drag_share_high95: z.number(),
  /** Change of consumption if drag vanished. */
  most_saving_pct: z.number(),
  most_saving_bound_pct: z.number(),
  verdict: z.enum(['possible', 'estimate beyond', 'beyond']),
  sentence: z.string(),
})

const reading = z.strictObject({ run: z.string(), value: z.number(), unit: z.enum(['l/100 km', 'l', 'km']) })
const measuredBy = z.enum(['pump', 'trip computer', 'logged fuel', 'gauge mark'])
const apart = z.strictObject({ kind: measuredBy, from_others_pct: z.number(), standard_deviations: z.number() })

/** What one way of measuring says of a change. */
const estimate = z.strictObject({
  kind: measuredBy,
  consumption_change_pct: interval95,
  adjusted: z.boolean(),
  runs: z.array(z.string()),
  baseline_runs: z.array(z.string()),
  readings: z.array(reading),
  baseline_readings: z.array(reading),
  /** Standard deviation of one reading; null for the pump. */
  reading_sd_pct: figure,
  /** Whether the readings scatter more than that, so that their own scatter was taken. */
  readings_scatter_more: z.boolean(),
  /** Whether the interval is too wide to say much. */
  says_little: z.boolean(),
  weight: figure,
  from_others_pct: figure,
  from_others_sd: figure,
  remark: z.string(),
})

/** How the ways of measuring agree. */
const agreement = z.strictObject({
  kind: z.literal('consistency'),
  weighted_mean_pct: interval95,
  chi_square: z.number(),
  degrees_of_freedom: z.number().int(),
  p: z.number(),
  agree: z.boolean(),
  /** The one that disagrees with all others; null where all agree, or of two alone. */
  stands_apart: apart.nullable(),
  /** The one furthest from all others, agreeing or not; null of two alone. */
  furthest: apart.nullable(),
  remark: z.string(),
})

const worth = z.strictObject({
  yearly_distance_km: z.number(),
  fuel_unit: fuelUnit,
  /** Saved in a year, negative for more. */
  fuel: interval95,
  money: interval95.nullable(),
  co2_kg: interval95.nullable(),
  sentence: z.string(),
})

const stintCount = z.strictObject({ count: z.number().int(), runs: z.number().int() })

const claim = z.strictObject({
  setup: z.string(),
  baseline: z.string(),
  /** null for a claim pooled over routes. */
  route: z.string().nullable(),
  pooled: z.boolean(),
  runs: z.array(z.string()),
  baseline_runs: z.array(z.string()),
  /** How many of these belong to stints, whose fuel counts as one measurement each; null where none does. */
  stints: z.strictObject({ setup: stintCount, baseline: stintCount }).nullable(),
  left_out: z.array(leftOut),
  /** Fuel over distance of each side's runs together, as measured. */
  measured_per_100_km: z
    .strictObject({ unit: z.enum(['l', 'kg', 'kWh']), setup: z.number(), baseline: z.number() })
    .nullable(),
  raw_consumption_change_pct: interval95.nullable(),
  raw_distance_per_fuel_change_pct: interval95.nullable(),
  adjusted_consumption_change_pct: interval95.nullable(),
  adjusted_distance_per_fuel_change_pct: interval95.nullable(),
  /** What conditions alone made of the consumption, setup's runs against baseline's. */
  conditions_change_pct: interval95.nullable(),
  verdict: z.enum(['supported', 'unresolved', 'explained by conditions', 'not testable']),
  /** With the verdict `not testable`: what is missing, with the setups that it is about. */
  missing: z
    .strictObject({
      code: z.enum(['not-driven', 'all-left-out', 'no-usable-fuel', 'baseline-elsewhere', 'no-conditions']),
      setups: z.array(z.string()),
    })
    .nullable(),
  reason: z.string(),
  implied_drag_area_change_pct: interval95.nullable(),
  sense: sense.nullable(),
  uncertainty_shares: z.record(z.string(), z.number()),
  /** The step that narrows the interval most first. */
  next_steps: z.array(nextStep),
  drift: drift.nullable(),
  /** One record for each way of measuring, and one of the kind `consistency` for how they agree. */
  evidence: z.array(z.union([estimate, agreement])),
  worth: worth.nullable(),
  /** What weakens the claim, a sentence each. */
  cautions: z.array(z.string()),
  /** The cautions as codes, with the setups that they are about, in the same order. */
  caution_codes: z.array(
    z.strictObject({
      code: z.enum([
        'single-drive',
        'single-stint',
        'large-correction',
        'fuel-temperature-partly-read',
        'no-drift-correction',
        'drift',
      ]),
      setups: z.array(z.string()),
    }),
  ),
  /** Standard deviation of one fill, and whether volumes are corrected to 15 °C. */
  fuel_measured: z.strictObject({ fill_sd_l: z.number(), at_15c: z.boolean() }),
  statement: z.string(),
})

const part = z.strictObject({
  part: z.string(),
  consumption_change_pct: interval95.nullable(),
  inseparable_from: z.array(z.string()),
  /** True where a road was never driven without it. */
  never_left_off: z.boolean(),
})

const partGroup = z.strictObject({
  parts: z.array(z.string()),
  combined_change_pct: interval95.nullable(),
  /** The one more run that would tell them apart best. */
  separating_run: z.string().nullable(),
  /** The same as its road, the parts to fit, the setup with just these if there is one, and the parts that it tells. */
  separating: z
    .strictObject({
      road: z.string(),
      parts: z.array(z.string()),
      setup: z.string().nullable(),
      tells: z.array(z.string()),
    })
    .nullable(),
})

/** What became of a stretch of a recording. */
const piece = z.strictObject({
  kind: z.enum(['drive', 'other', 'stop', 'gap']),
  /** The run that a drive became; null of all others. */
  run: z.string().nullable(),
  start_time: z.string(),
  end_time: z.string(),
  distance_m: z.number(),
})

/** What one device wrote in one go, from its first fix to its last. */
const recording = z.strictObject({
  track: z.string(),
  start_time: z.string(),
  end_time: z.string(),
  /** In the order of time, without a break. */
  pieces: z.array(piece),
})

/** Runs that have one row of runs.csv together: their fuel is known for all of them only. */
/** Two recordings of one drive. */
const recorderPair = z.strictObject({
  run: z.string(),
  /** Names of recordings as in `track`. */
  a: z.string(),
  b: z.string(),
  /** Demand by b less that by a over the stretch that both recorded; the interval is from the noise of both. */
  difference_pct: interval90,
})

const stint = z.strictObject({
  id: z.string(),
  setup: z.string().nullable(),
  runs: z.array(z.string()),
  distance_m: z.number(),
  consumption: consumption.nullable(),
})

export const reportSchema = z.strictObject({
  schema: z.literal('ceteris-report/2'),
  version: z.string(),
  title: z.string().nullable(),
  settings: z.strictObject({
    margin_pct: z.number(),
    draws: z.number().int(),
    seed: z.number().int(),
    limits: z.array(z.string()),
    baseline: z.string().nullable(),
    time_zone: z.string().nullable(),
  }),
  /** What was assumed, each with its value, uncertainty and source. */
  assumptions: z.array(
    z.strictObject({
      name: z.string(),
      value: z.string(),
      uncertainty: z.string(),
      source: z.string(),
      /** Of a quantity that is shown in the reader's units: in kg, m² or l, with its standard deviation. */
      figures: z
        .strictObject({
          quantity: z.enum(['mass', 'area', 'volume']),
          decimals: z.number().int(),
          value: figure,
          sd: z.number(),
        })
        .nullable(),
    }),
  ),
  inputs: z.array(input),
  problems: z.array(problem),
  recordings: z.array(recording),
  recorders: z.array(recorderPair),
  runs: z.array(run),
  stints: z.array(stint),
  routes: z.array(route),
  pairs: z.array(pair),
  /** Set when `pairs` holds only a part of all pairs; `pairs.csv`, or `pairs.csv.gz`, holds those on one road. */
  pairs_note: z.string().nullable(),
  claims: z.array(claim),
  parts: z.array(part),
  /** Parts whose effects the runs do not tell apart. */
  part_groups: z.array(partGroup),
  cautions: z.array(z.string()),
})

/** What report.json holds, as `report.schema.json` says in full. */
export type Report = z.infer<typeof reportSchema>
/** A drive in the report. */
export type ReportRun = Report['runs'][number]
/** A road in the report. */
export type ReportRoute = Report['routes'][number]
/** Two drives of one road in the report. */
export type ReportPair = Report['pairs'][number]
export type ReportClaim = Report['claims'][number]
export type ReportProblem = Report['problems'][number]
