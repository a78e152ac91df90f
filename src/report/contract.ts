import { z } from 'zod'
import { claim, part, partGroup } from './contract/claims.ts'
import { coastDown } from './contract/coast-down.ts'
import { recorderPair, recording, route, run, stint } from './contract/drives.ts'
import { figure } from './contract/figures.ts'
import { consumptionSpan, fill } from './contract/fuel-log.ts'
import { lapStint, stintPair } from './contract/lap-stints.ts'
import { pair } from './contract/pairs.ts'
import { photo } from './contract/photos.ts'

export type { Cause, Verdict } from './contract/pairs.ts'

/**
 * The report's data contract, `report.json`. Names are snake_case with units; what does not exist is null, never 0.
 * The JSON Schema published with the package is made from this file and those of its folder, and nothing else.
 */
const input = z.strictObject({
  path: z.string(),
  sha256: z.string(),
  kind: z.enum([
    'track',
    'weather',
    'runs',
    'fills',
    'campaign',
    'elevation',
    'picture',
    'fetched-list',
    'unrecognised',
  ]),
  notes: z.array(z.string()),
})

const source = z.strictObject({
  credit: z.string(),
  licence: z.string(),
  service: z.string(),
  purpose: z.enum(['observations', 'model', 'terrain']),
  /** Fetched so soon that it may still have been corrected since. */
  provisional: z.boolean(),
  files: z.array(z.string()),
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

export const reportSchema = z.strictObject({
  schema: z.literal('ceteris-report/2'),
  version: z.string(),
  /** That of campaign.yaml, or else the folder's name; null where neither is known. */
  title: z.string().nullable(),
  settings: z.strictObject({
    margin_pct: z.number(),
    draws: z.number().int(),
    seed: z.number().int(),
    limits: z.array(z.string()),
    baseline: z.string().nullable(),
    time_zone: z.string().nullable(),
    vehicle_name: z.string().nullable(),
    /** As stated, or that of the class. */
    powertrain: z.enum(['petrol', 'diesel', 'hybrid', 'electric', 'human']),
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
  /** Whose data the fetched files are: the line that each licence asks for. */
  sources: z.array(source),
  problems: z.array(problem),
  recordings: z.array(recording),
  recorders: z.array(recorderPair),
  runs: z.array(run),
  stints: z.array(stint),
  /** The fuel log, in the order of time; empty without one. */
  fills: z.array(fill),
  /** What was used from full fill to full fill, in the order of time, whether there are drives or not. */
  consumption: z.array(consumptionSpan),
  /** Pictures of the folder, in the order of their paths. */
  photos: z.array(photo),
  /** null where campaign.yaml names no coast-downs, or they tell none. */
  coast_down: coastDown.nullable(),
  routes: z.array(route),
  pairs: z.array(pair),
  /** Stints of two laps and more. */
  lap_stints: z.array(lapStint),
  stint_pairs: z.array(stintPair),
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
