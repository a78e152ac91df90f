import { z } from 'zod'
import { type FigureDeviation, mapped, type RunFigure } from '../quantities/run-figure.ts'
import { AIR, DEMAND, HEIGHTS, SPEEDS, SUN, WIND } from '../quantities/run-figures.ts'
import { use } from './drive-use.ts'
import { consumption, figure, interval90, phase } from './figures.ts'
import { logged } from './logged.ts'

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
      usual_mps: z.number(),
      humidity: z.number(),
      sd: z.number(),
      sd_hpa: z.number(),
      difference_pct: z.number(),
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

/** The keys of figures that are rows of a table. */
const keysOf = <K extends string>(rows: Record<K, RunFigure | FigureDeviation>) => mapped(rows, () => figure)

export const run = z.strictObject({
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
  ...keysOf(SPEEDS),
  ...keysOf(HEIGHTS),
  air: z.strictObject({
    ...keysOf(AIR),
    present_weather: z.array(z.string()),
    road_wet: z.boolean().nullable(),
    stations: z.array(stationUse),
  }),
  wind: z.strictObject(keysOf(WIND)),
  sun: z.strictObject({ ...keysOf(SUN), phase: phase.nullable() }),
  demand: z.strictObject(keysOf(DEMAND)),
  /** As measured, and at the reference conditions of its route and setup's baseline; null without fuel. */
  consumption: consumption.nullable(),
  /** Against the baseline of the claims that count it. */
  use,
  /** Conditions in one line. */
  conditions: z.string(),
  /** Seen, not measured: never counted as evidence. */
  note: z.string().nullable(),
  photo: z.string().nullable(),
  /** Columns of the drive's row that are not known, as they are written there: kept, never used. */
  extra: z.array(z.strictObject({ name: z.string(), text: z.string() })),
  road: z.strictObject({
    /** How the run lies on its route's axis. */
    relation: z.enum(['same', 'part', 'detour']).nullable(),
    covered_share: figure,
    detour_m: figure,
  }),
  /** null where nothing but positions was recorded. */
  logged: logged.nullable(),
  flags: z.array(flag),
  limits: z.array(limit),
})

export const route = z.strictObject({
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
export const recording = z.strictObject({
  track: z.string(),
  start_time: z.string(),
  end_time: z.string(),
  /** In the order of time, without a break. */
  pieces: z.array(piece),
})

/** Two recordings of one drive. */
export const recorderPair = z.strictObject({
  run: z.string(),
  /** Names of recordings as in `track`. */
  a: z.string(),
  b: z.string(),
  /** Demand by b less that by a over the stretch that both recorded; the interval is from the noise of both. */
  difference_pct: interval90,
})

/** Runs that have one row of runs.csv together: their fuel is known for all of them only. */
export const stint = z.strictObject({
  id: z.string(),
  setup: z.string().nullable(),
  runs: z.array(z.string()),
  distance_m: z.number(),
  consumption: consumption.nullable(),
})
