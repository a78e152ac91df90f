import { z } from 'zod'
import { figure, interval90 } from './figures.ts'
import { causes, verdicts } from './pairs.ts'

/** Laps of one stint, in the order of time. */
export const lapStint = z.strictObject({ id: z.string(), runs: z.array(z.string()) })

/** Two stints of one road, each as one long drive: their laps' demands over their length. */
export const stintPair = z.strictObject({
  /** Ids of `lap_stints`. */
  a: z.string(),
  b: z.string(),
  /** Demand of b against a, percent. */
  difference_pct: interval90.nullable(),
  score: figure,
  tightest_margin_pct: figure,
  verdict: z.enum(verdicts),
  cause: z.enum(causes).nullable(),
})
