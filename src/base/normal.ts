import jstat from 'jstat'

/** The value below which a share `p` (0 to 1, exclusive) of a standard normal variable lies. */
export function normalQuantile(p: number): number {
  // jstat is off by 1e-17 in the middle.
  return p === 0.5 ? 0 : jstat.normal.inv(p, 0, 1)
}

/** The share of a standard normal variable that lies below a value. */
export const normalShareBelow = (z: number): number => jstat.normal.cdf(z, 0, 1)
