import type { Problem } from '../../../base/problem.ts'
import { momentReader } from '../../../read/moments.ts'
import { placeOfRow, type RunRow, rowKey } from '../../../read/runs/rows.ts'
import { shownTime, zoneOffsetS } from './stated-times.ts'

/** A drive that a row may mean. */
interface Target {
  track: string
  /** Seconds since 1970 UTC. */
  fromTime: number
  toTime: number
}

/** Rows that may belong to other drives than their times say, and what is told of the zone. */
export interface ZoneDoubts {
  /** Keys of the rows that are held back. */
  held: ReadonlySet<string>
  problems: Problem[]
}

/** A note of when a drive began fits a drive that began, or went on, so near to it, s. Common practice, no source. */
const FITS_S = 30 * 60
/** Most notes are nearer than this to the begin, s. Common practice, no source. */
const FITS_WELL_S = 10 * 60

/** Zones of those rules for summer time by which most vehicles drive, beside all offsets. */
const WITH_SUMMER_TIME =
  'Europe/London Europe/Berlin Europe/Athens America/Halifax America/New_York America/Chicago America/Denver America/Los_Angeles Australia/Adelaide Australia/Sydney Pacific/Auckland'.split(
    ' ',
  )
const HALF_HOURS = ['UTC-3:30', 'UTC+3:30', 'UTC+4:30', 'UTC+5:30', 'UTC+5:45', 'UTC+6:30', 'UTC+9:30']
const OFFSETS = Array.from({ length: 27 }, (_, i) => i - 12).map((hours) =>
  hours === 0 ? 'UTC' : `UTC${hours < 0 ? '-' : '+'}${Math.abs(hours)}`,
)

/** Which drives a zone gives the rows to: their indices, or -1. */
interface Assignment {
  zone: string
  drives: number[]
  fitting: number
  fittingWell: number
}

/**
 * Holds the times of rows that name no track against the drives, in the campaign's zone and in all others. A row is held
 * back where another zone, in which the rows fit better (or as well, where campaign.yaml names no zone), gives it to
 * another drive.
 * @param timeZone null: none is named, and the times are read as UTC
 */
export function zoneDoubts(all: readonly RunRow[], drives: readonly Target[], timeZone: string | null): ZoneDoubts {
  const rows = all.filter(isLocalMoment)
  if (rows.length === 0 || drives.length === 0) return { held: new Set(), problems: [] }
  const zone = timeZone ?? 'UTC'
  const clocks = rows.map(({ when }) => (when?.fromTime ?? 0) + zoneOffsetS(when?.fromTime ?? 0, zone))
  const find = finder(drives)
  const now = assignmentIn(zone, clocks, find)
  const isRival = (other: Assignment): boolean =>
    other.fitting >= now.fitting &&
    other.fittingWell >= now.fittingWell &&
    (timeZone === null || fitsBetter(other, now))
  const rivals = [...OFFSETS, ...HALF_HOURS, ...WITH_SUMMER_TIME]
    .map((other) => assignmentIn(other, clocks, find))
    .filter((other) => isRival(other) && other.drives.some((drive, i) => drive !== now.drives[i]))
    .sort((a, b) => b.fitting - a.fitting || b.fittingWell - a.fittingWell)
  const [best] = rivals
  if (best === undefined) return { held: new Set(), problems: [] }
  const alike = rivals.filter(
    ({ drives: own, fittingWell }) =>
      fittingWell === best.fittingWell && own.every((drive, i) => drive === best.drives[i]),
  )
  const names = namesOf(alike.map((one) => one.zone))
  const held = rows.flatMap((row, i): { row: RunRow; problem: Problem }[] => {
    const rival = rivals.find(({ drives: own }) => own[i] >= 0 && own[i] !== now.drives[i])
    if (now.drives[i] < 0 || rival === undefined) return []
    const [own, other] = [drives[now.drives[i]], drives[rival.drives[i]]]
    return [{ row, problem: unsure(row, own, other, rival, rows.length, timeZone) }]
  })
  return {
    held: new Set(held.map(({ row }) => rowKey(row))),
    problems: [
      ...(fitsBetter(best, now) ? [otherZone(rows[0], now, best, names, rows.length, timeZone)] : []),
      ...held.map(({ problem }) => problem),
    ],
  }
}

/** More rows fit, or clearly more fit well: one may do so by chance. */
const fitsBetter = (other: Assignment, now: Assignment): boolean =>
  other.fitting > now.fitting || other.fittingWell >= now.fittingWell + 2

/** A row that is found by a clock time, of no zone that is written with it. */
const isLocalMoment = ({ track, when, from, to }: RunRow): boolean =>
  track === '' && from === null && to === null && when !== null && when.toTime === when.fromTime && !when.isZoned

/** The drive that a moment fits, or -1, and how far its begin is from it. */
type Find = (time: number) => { drive: number; awayS: number }

/** Of the drives near enough to a moment the one whose begin is nearest to it. */
function finder(drives: readonly Target[]): Find {
  const order = drives.map((_, i) => i).sort((a, b) => drives[a].fromTime - drives[b].fromTime)
  const lasts = order.reduce((longest, i) => Math.max(longest, drives[i].toTime - drives[i].fromTime), 0)
  return (time) => {
    let best = -1
    let bestS = Number.POSITIVE_INFINITY
    for (let at = firstFrom(order, drives, time - lasts - FITS_S); at < order.length; at++) {
      const { fromTime, toTime } = drives[order[at]]
      if (fromTime > time + FITS_S) break
      const awayS = Math.abs(fromTime - time)
      if (time <= toTime + FITS_S && awayS < bestS) [best, bestS] = [order[at], awayS]
    }
    return { drive: best, awayS: bestS }
  }
}

function firstFrom(order: readonly number[], drives: readonly Target[], time: number): number {
  let [low, high] = [0, order.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (drives[order[middle]].fromTime < time) low = middle + 1
    else high = middle
  }
  return low
}

function assignmentIn(zone: string, clocks: readonly number[], find: Find): Assignment {
  const reader = momentReader(zone)
  const found = clocks.map((seconds) => find(reader({ seconds, zoneless: true }).seconds))
  return {
    zone,
    drives: found.map(({ drive }) => drive),
    fitting: found.filter(({ drive }) => drive >= 0).length,
    fittingWell: found.filter(({ awayS }) => awayS <= FITS_WELL_S).length,
  }
}

/** At most three: an offset says it for one season, a place for the whole year. */
function namesOf(zones: readonly string[]): string {
  const offsets = zones.filter((zone) => zone.startsWith('UTC'))
  const places = zones.filter((zone) => !zone.startsWith('UTC'))
  return [...offsets.slice(0, 1), ...places.slice(0, 2)].join(' or ')
}

const fitWords = ({ fitting, fittingWell }: Assignment): string =>
  `${fitting} fit a drive (${fittingWell} within 10 minutes of its begin)`

const inZone = (timeZone: string | null): string =>
  timeZone === null ? 'as UTC, because campaign.yaml names no time_zone,' : `in ${timeZone}`

function unsure(
  row: RunRow,
  own: Target,
  other: Target,
  rival: Assignment,
  rows: number,
  timeZone: string | null,
): Problem {
  const begins = ({ track, fromTime }: Target): string => `"${track.slice(0, 100)}" (from ${shownTime(fromTime, null)})`
  const message = `this row names no track; its time read ${inZone(timeZone)} is that of ${begins(own)}, and read in ${rival.zone}, where ${rival.fitting} of ${rows} such rows fit a drive, that of ${begins(other)}; it is given to neither`
  return { code: 'row-zone-unsure', severity: 'error', message, hint: HINT, ...placeOfRow(row) }
}

function otherZone(
  row: RunRow,
  now: Assignment,
  best: Assignment,
  names: string,
  rows: number,
  timeZone: string | null,
): Problem {
  const message = `of ${rows} rows that name no track ${fitWords(now)} by their times read ${inZone(timeZone)} and ${best.fitting} (${best.fittingWell}) in ${names}`
  return { code: 'rows-in-another-zone', severity: 'warning', message, hint: HINT, ...placeOfRow(row) }
}

const HINT =
  'Write the right time_zone: into campaign.yaml, or the zone into the heading of the column: "time (UTC+2)"; or name each drive’s file in a column "track".'
