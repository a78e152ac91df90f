import { z } from 'zod'
import { leftOutWhy } from './claims.ts'
import { interval90 } from './figures.ts'

/** What a drive is good for: as it was measured, corrected for its conditions, or not at all; and why. */
export const use = z.strictObject({
  as: z.enum(['as-measured', 'corrected', 'left-out']),
  /** One clause. */
  reason: z.string(),
  why: z.union([
    leftOutWhy,
    z.strictObject({
      code: z.enum([
        /** In a claim: its difference lies within the margin, outside it, or is not known well enough to say. */
        'within-margin',
        'outside-margin',
        'uncertain',
        /** In a claim, as its side's measured fuel alone: nothing could be corrected. */
        'not-corrected',
        /** There are claims, and the drive is in none. */
        'no-claim',
        /** Its setup is a side of a claim whose other side was not driven yet. */
        'no-counterpart',
        'control-vehicle',
        /** No claims: by its pairs with the other drives of its road. */
        'comparable',
        'adjustable',
        'not-comparable',
        'undecided',
        'wet-and-dry',
        'no-weather',
        'no-partner',
      ]),
    }),
  ]),
  /** What conditions make of its demand against the mean of the claim's baseline; null without a claim or weather. */
  difference_pct: interval90.nullable(),
  /** Its pairs with the claim's baseline, or without a claim all on its road, and how many of them can be used. */
  pairs: z.number().int(),
  usable_pairs: z.number().int(),
})
