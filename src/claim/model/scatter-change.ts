import { square } from '../../base/arithmetic.ts'
import { mean } from '../../base/statistics.ts'
import { studentCdf } from '../../base/student.ts'
import type { RunConsumption } from '../fuel/consumption.ts'

/** How much the drives of one setup differ among themselves before and after the correction to like conditions. */
export interface ScatterChange {
  /** Standard deviations of the logarithm. */
  rawSd: number
  correctedSd: number
  degreesOfFreedom: number
  /** How often a correction that does no harm makes the scatter grow at least so much. */
  p: number
  /** Whether the correction made it worse, beyond chance. */
  grew: boolean
}

/** Below this probability a growth of the scatter is no chance. */
const GREW_BELOW = 0.02
/** Fewer degrees of freedom tell nothing. */
const LEAST_DEGREES = 3

/**
 * A good correction takes scatter out of repeats; one that adds scatter carries noise of the recording, of the weather or of
 * a wrong vehicle into the answer. Both scatters come from the same drives: equal variances mean that sums and differences
 * of the two are not correlated.
 * @param groups drives of one setup each, that can be corrected
 * @returns null for too few repeats
 * @source Pitman, Biometrika 31 (1939) 9; Morgan, ibid. 13 (test of equal variances of paired samples)
 */
export function scatterChange(groups: readonly (readonly RunConsumption[])[]): ScatterChange | null {
  const repeated = groups.filter((group) => group.length > 1)
  const degreesOfFreedom = repeated.reduce((sum, group) => sum + group.length - 1, 0)
  if (degreesOfFreedom < LEAST_DEGREES) return null
  const residuals = repeated.flatMap((group) => {
    const raw = mean(group.map((c) => c.logRaw))
    const corrected = mean(group.map((c) => c.logAdjusted))
    return group.map((c) => ({ raw: c.logRaw - raw, corrected: c.logAdjusted - corrected }))
  })
  const total = (of: (r: { raw: number; corrected: number }) => number): number =>
    residuals.reduce((sum, r) => sum + of(r), 0)
  const [raw, corrected] = [total((r) => square(r.raw)), total((r) => square(r.corrected))]
  const sums = total((r) => square(r.raw + r.corrected))
  const differences = total((r) => square(r.corrected - r.raw))
  const product = Math.sqrt(sums * differences)
  const correlation = product > 0 ? Math.min(1, (corrected - raw) / product) : 0
  const t = correlation * Math.sqrt((degreesOfFreedom - 1) / Math.max(1e-12, 1 - square(correlation)))
  const p = studentCdf(-t, degreesOfFreedom - 1)
  return {
    rawSd: Math.sqrt(raw / degreesOfFreedom),
    correctedSd: Math.sqrt(corrected / degreesOfFreedom),
    degreesOfFreedom,
    p,
    grew: p < GREW_BELOW,
  }
}
