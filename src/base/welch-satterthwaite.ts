import { square } from './arithmetic.ts'
/** A standard uncertainty with what it rests on. */
export interface UncertaintyComponent {
  standardUncertainty: number
  /** Infinity where it is known, not estimated. */
  degreesOfFreedom: number
}

/**
 * Independent standard uncertainties added, and how many degrees of freedom the sum has.
 * @returns degrees of freedom not rounded; Infinity when nothing was estimated; NaN when something is NaN
 * @source JCGM 100:2008 (GUM), eq. 10 and G.2b: ν_eff = u_c⁴ / Σ u_i⁴/ν_i
 */
export function combinedUncertainty(components: readonly UncertaintyComponent[]): UncertaintyComponent {
  const variance = components.reduce((sum, { standardUncertainty: u }) => sum + u * u, 0)
  const spread = components.reduce(
    (sum, { standardUncertainty: u, degreesOfFreedom: nu }) => sum + square(square(u)) / nu,
    0,
  )
  return {
    standardUncertainty: Math.sqrt(variance),
    degreesOfFreedom: spread === 0 ? Number.POSITIVE_INFINITY : square(variance) / spread,
  }
}
