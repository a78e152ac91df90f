/** A span of time, seconds since 1970 UTC. */
export interface Span {
  from: number
  to: number
}

const written = (seconds: number): string => new Date(seconds * 1000).toISOString()

/** A moment in UTC as "2026-05-12T09:09:30.250Z". @param seconds since 1970 */
export const isoTime = written

/** To the nearest second: "2026-05-12T09:09:30Z". */
export const isoSecond = (seconds: number): string => `${written(Math.round(seconds)).slice(0, 19)}Z`

/** "2026-05-12". */
export const isoDay = (seconds: number): string => written(seconds).slice(0, 10)

/** The time of day alone: "09:09:30". */
export const isoClock = (seconds: number): string => written(seconds).slice(11, 19)

/** "2024-05-01 08:15" of an instant in ISO 8601 UTC. */
export const dateAndTime = (instant: string): string => instant.slice(0, 16).replace('T', ' ')
