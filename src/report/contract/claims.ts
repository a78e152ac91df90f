import { z } from 'zod'
import { figure, fuelUnit, interval95 } from './figures.ts'

/** Why a drive does not count in a claim; amounts per 100 km in the unit. */
export const leftOutWhy = z.union([
  z.strictObject({ code: z.literal('stated'), note: z.string() }),
  z.strictObject({
    code: z.enum(['part', 'detour', 'wet', 'dry', 'no-fuel', 'no-conditions', 'other-unit', 'other-vehicle']),
  }),
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

const reading = z.strictObject({ run: z.string(), value: z.number(), unit: z.enum(['l/100 km', 'l', 'kWh', 'km']) })
const measuredBy = z.enum(['pump', 'trip computer', 'logged fuel', 'logged energy', 'gauge mark'])
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
  /** What the errors of the change by the fuel are multiplied by, because other ways disagree with it; null where none does. */
  pump_widened_by: figure,
  /** What the errors of the change by all ways are multiplied by, because they agree barely; null where they agree well or not. */
  fused_widened_by: figure,
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

/** A run of the test vehicle over that of the control vehicle, by their lines in runs.csv. */
const controlPair = z.strictObject({
  line: z.number().int(),
  control_line: z.number().int(),
  /** The tables of these lines, where there are several; null: the only one. */
  file: z.string().nullable(),
  control_file: z.string().nullable(),
  /** Ids of the drives; null of a run without a recording. */
  run: z.string().nullable(),
  control_run: z.string().nullable(),
  fuel: z.number(),
  control_fuel: z.number(),
  ratio: z.number(),
})

const control = z.strictObject({
  /** As runs.csv calls them; null where it does not. */
  test_vehicle: z.string().nullable(),
  control_vehicle: z.string().nullable(),
  unit: fuelUnit,
  pairs: z.array(controlPair),
  baseline_pairs: z.array(controlPair),
  /** By the ratio of test to control alone; null for too few pairs. */
  ratio_consumption_change_pct: interval95.nullable(),
  /** By the ratio, each over the one that the model predicts; null where not both vehicles were recorded in known air. */
  with_model_consumption_change_pct: interval95.nullable(),
  /** By the model alone; null where it has no claim. */
  model_consumption_change_pct: interval95.nullable(),
  /** What the control vehicle's own fuel changed by between the two segments, and what the model makes of that. */
  control_change_pct: interval95.nullable(),
  modelled_control_change_pct: interval95.nullable(),
  /** Whether these two agree; null where one is not known. */
  agree: z.boolean().nullable(),
  sentence: z.string(),
})

const stintCount = z.strictObject({ count: z.number().int(), runs: z.number().int() })

export const claim = z.strictObject({
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
  /** By the fuel alone, where other readings that agree with it have a part in the adjusted change; null elsewhere. */
  by_fuel_alone_consumption_change_pct: interval95.nullable(),
  /** The ways of measuring that the adjusted change, or else the raw one, rests on: units of fuel, other readings. */
  measured_by: z.array(z.enum(['l', 'kg', 'kWh', 'trip computer', 'logged fuel', 'logged energy', 'gauge mark'])),
  /** What conditions alone made of the consumption, setup's runs against baseline's. */
  conditions_change_pct: interval95.nullable(),
  verdict: z.enum(['supported', 'unresolved', 'explained by conditions', 'not testable']),
  /** Why the verdict is `unresolved` although the interval excludes zero: the correction cannot be relied on. */
  held_back: z
    .enum(['large-correction', 'scatter-grew', 'drift', 'wet-unknown', 'vehicle-doubtful', 'evidence-apart'])
    .nullable(),
  /** How drives of one setup differ among themselves, percent, as measured and corrected; null for too few repeats. */
  scatter: z
    .strictObject({
      raw_sd_pct: z.number(),
      adjusted_sd_pct: z.number(),
      degrees_of_freedom: z.number().int(),
      /** How often a correction that does no harm makes the scatter grow at least so much. */
      p_grew: z.number(),
    })
    .nullable(),
  /** With the verdict `not testable`: what is missing, with the setups that it is about. */
  missing: z
    .strictObject({
      code: z.enum([
        'not-driven',
        'all-left-out',
        'no-usable-fuel',
        'baseline-elsewhere',
        'no-conditions',
        'no-tracks',
        'no-control-pairs',
        'few-control-pairs',
      ]),
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
  /** What a control vehicle says that drove at the same time; null without one. */
  control: control.nullable(),
  worth: worth.nullable(),
  /** What weakens the claim, a sentence each. */
  cautions: z.array(z.string()),
  /** The cautions as codes, with the setups that they are about, in the same order. */
  caution_codes: z.array(
    z.strictObject({
      code: z.enum([
        'single-drive',
        'single-stint',
        'one-session',
        'large-correction',
        'scatter-grew',
        'fuel-temperature-partly-read',
        'no-drift-correction',
        'drift',
        'battery-not-known',
        'not-interleaved',
      ]),
      setups: z.array(z.string()),
    }),
  ),
  /** Standard deviation of one fill, and whether volumes are corrected to 15 °C. */
  fuel_measured: z.strictObject({ fill_sd_l: z.number(), at_15c: z.boolean() }),
  statement: z.string(),
})

export const part = z.strictObject({
  part: z.string(),
  consumption_change_pct: interval95.nullable(),
  inseparable_from: z.array(z.string()),
  /** True where a road was never driven without it. */
  never_left_off: z.boolean(),
})

export const partGroup = z.strictObject({
  parts: z.array(z.string()),
  combined_change_pct: interval95.nullable(),
  /** Whether just one of them was fitted in every drive, as one kind of tyre is: only their difference is known. */
  exchanged: z.boolean(),
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
