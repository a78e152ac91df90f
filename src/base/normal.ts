import jstat from 'jstat'

/** The value below which a share `p` (0 to 1, exclusive) of a standard normal variable lies. */
export function normalQuantile(p: number): number {
  return jstat.normal.inv(p, 0, 1)
}
