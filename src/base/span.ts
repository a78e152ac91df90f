/** A span of time, seconds since 1970 UTC. */
export interface Span {
  from: number
  to: number
}
