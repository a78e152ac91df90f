import { z } from 'zod'
import type { Kind } from '../../base/remember.ts'
import { COVERAGE_BINS, type Match } from '../../road/types.ts'
import { bytes, floats, number } from './columns.ts'

export const outline = {
  coveredShare: number,
  onRoadShare: number,
  covered: bytes.refine((bins) => bins.length === COVERAGE_BINS),
  detours: z.array(z.strictObject({ fromM: number, toM: number })),
  beforeM: number,
  afterM: number,
  againM: number,
}

/** How a run lies on another's path. */
export const MATCH: Kind<Match> = { name: 'match', shape: z.strictObject({ axisM: floats, ...outline }) }
