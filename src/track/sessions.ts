import type { LoggedColumns, TrackColumns } from '../read/types.ts'
import { stepM } from './geodesy.ts'

/** A pause this long parts a track into sessions: the logger was switched off, or slept. */
const SESSION_PAUSE_S = 3600
/** A shorter scrap belongs to no session of its own. */
const FEWEST_ROWS = 10
const SHORTEST_S = 60
/** Files written in another order than driven change from session to session no more often than this for each. */
const MOST_TURNS = 3
/** A clock that was set while driving steps by hours between two places that are this near, while the vehicle moves on. */
const CLOCK_STEP_M = 500
const MOVING_MPS = 3

/**
 * A track parted where nothing was recorded for an hour or more, in the order of time: each part is cleaned and smoothed
 * by itself, so that a night's rest is neither bridged nor thrown away. Rows without a time, and scraps, stay with the
 * part before them. A clock set while driving does not part a track.
 */
export function sessionsOf(track: TrackColumns): TrackColumns[] {
  const { time } = track
  if (!hasLongStep(time)) return [track]
  const rows = Array.from(time.keys()).filter((row) => !Number.isNaN(time[row]))
  if (!isRising(time, rows)) rows.sort((a, b) => time[a] - time[b] || a - b)
  const groups: number[][] = []
  for (const [i, row] of rows.entries()) {
    if (i === 0 || isPause(track, rows, i)) groups.push([])
    groups[groups.length - 1].push(row)
  }
  const sessions = groups.filter((group) => isSession(time, group))
  if (sessions.length < 2 || takesTurns(sessions, time.length)) return [track]
  for (const scrap of groups.filter((group) => !sessions.includes(group))) {
    const before = sessions.findLast((session) => session[0] < scrap[0]) ?? sessions[0]
    before.push(...scrap)
  }
  return sessions.map((session) => taken(track, session))
}

/** Whether rows of several sessions follow each other by turns: two clocks wrote one drive, which is no pause. */
function takesTurns(sessions: number[][], rowCount: number): boolean {
  const sessionOf = new Int32Array(rowCount).fill(-1)
  for (const [s, rows] of sessions.entries()) for (const row of rows) sessionOf[row] = s
  let turns = 0
  let last = -1
  for (const session of sessionOf) {
    if (session < 0 || session === last) continue
    if (last >= 0) turns++
    last = session
  }
  return turns >= MOST_TURNS * sessions.length
}

function hasLongStep(time: Float64Array): boolean {
  for (let i = 1; i < time.length; i++) if (Math.abs(time[i] - time[i - 1]) >= SESSION_PAUSE_S) return true
  return false
}

function isRising(time: Float64Array, rows: number[]): boolean {
  for (let i = 1; i < rows.length; i++) if (time[rows[i]] < time[rows[i - 1]]) return false
  return true
}

function isPause(track: TrackColumns, rows: number[], i: number): boolean {
  const [before, after] = [rows[i - 1], rows[i]]
  if (track.time[after] - track.time[before] < SESSION_PAUSE_S) return false
  const near = wayM(track, before, after) <= CLOCK_STEP_M
  return !(near && pace(track, rows, i - 2) > MOVING_MPS && pace(track, rows, i) > MOVING_MPS)
}

const wayM = ({ latitude, longitude }: TrackColumns, a: number, b: number): number =>
  stepM(latitude[a], longitude[a], latitude[b], longitude[b])

/** Pace from a row to the next, m/s; 0 at the ends. */
function pace(track: TrackColumns, rows: number[], i: number): number {
  if (i < 0 || i + 1 >= rows.length) return 0
  const seconds = track.time[rows[i + 1]] - track.time[rows[i]]
  return seconds > 0 ? wayM(track, rows[i], rows[i + 1]) / seconds : 0
}

function isSession(time: Float64Array, rows: number[]): boolean {
  return rows.length >= FEWEST_ROWS && time[rows[rows.length - 1]] - time[rows[0]] >= SHORTEST_S
}

function takenLogged(logged: LoggedColumns, column: (values: Float64Array) => Float64Array): LoggedColumns {
  const entries = Object.entries(logged).map(([quantity, { values, name }]) => [
    quantity,
    { values: column(values), name },
  ])
  return Object.fromEntries(entries) as LoggedColumns
}

function taken(track: TrackColumns, rows: number[]): TrackColumns {
  const column = (values: Float64Array): Float64Array => Float64Array.from(rows, (row) => values[row])
  const begins = new Set(track.segmentStart)
  const segments = rows.flatMap((row, i) => (i === 0 || begins.has(row) ? [i] : []))
  return {
    ...track,
    time: column(track.time),
    latitude: column(track.latitude),
    longitude: column(track.longitude),
    elevation: column(track.elevation),
    logged: takenLogged(track.logged, column),
    segmentStart: Uint32Array.from(segments),
  }
}
