import { z } from 'zod'
import { figure, interval90, phase } from './figures.ts'

const byCondition = <T extends z.ZodType>(value: T) =>
  z.strictObject({ air_density: value, wind: value, rolling_temperature: value, speed: value, route: value })

export const verdicts = ['comparable', 'adjustable', 'not-comparable', 'undecided', 'unknown'] as const
export type Verdict = (typeof verdicts)[number]

/** Why two runs are not comparable, undecided, or cannot be judged. */
export const causes = [
  'other-road',
  'opposite-direction',
  'detour',
  'incomplete-road',
  'missing',
  'outside-model',
  'not-known-well-enough',
  'surely-different',
  'too-large',
] as const
export type Cause = (typeof causes)[number]

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

export const pair = z.strictObject({
  a: z.string(),
  b: z.string(),
  /** Demand of b against a, percent: what the unchanged vehicle would have used more (+) or less (-). */
  difference_pct: interval90.nullable(),
  /** The same once the fuel of all drives of the road is known as well: no longer independent of it; null of few drives. */
  fuel_informed_difference_pct: interval90.nullable(),
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
