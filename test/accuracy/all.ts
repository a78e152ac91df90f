import AIR from './air.ts'
import type { Comparison } from './comparison.ts'
import LOAD from './load.ts'
import STATISTICS from './statistics.ts'
import WAY from './way.ts'

/** Every comparison, in the order of the page. */
export const comparisons: Comparison[] = [...AIR, ...WAY, ...LOAD, ...STATISTICS]
