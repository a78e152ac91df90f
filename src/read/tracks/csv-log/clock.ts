import type { Problem } from '../../../base/problem.ts'
import { parseInstant } from '../../instant.ts'
import { momentReader } from '../../moments.ts'
import { DATE_ORDERS, writtenClock, writtenDate } from '../../table/date-text.ts'
import { datesOfColumn } from '../../table/dates.ts'
import { zoneOf } from '../../time-zone.ts'
import { zonedHeading, zoneOfHeadings } from '../../zone-in-heading.ts'
import type { LogColumn, LogHeader } from './columns.ts'

/** How the times of a log are read, settled from its first rows. */
export interface LogClock {
  /** Seconds since 1970 UTC of a row; NaN where its cells hold no time. */
  read: (cells: string[]) => number
  /** The columns that it reads, as the file calls them. */
  names: string[]
  /** Whether the times are local ones of a zone that nobody names. */
  zoneless: boolean
  notes: Problem[]
}

type Settled = LogClock | Omit<Problem, 'severity'>

/** What a log says of its begin and its zone in the lines before its header. */
export interface LogComments {
  startSeconds: number
  /** The start names no zone. */
  isStartZoneless: boolean
  isUtc: boolean
  /** IANA name of the zone of bare times; null where none is named. */
  zone: string | null
}

/** In 1989, before there were recorders to log by. */
const EARLIEST_EPOCH_S = 6e8

/** Seconds since 1970 of a number that counts seconds, milli-, micro- or nanoseconds from there; NaN where it is too small. */
export function epochSeconds(value: number): number {
  if (!(value >= EARLIEST_EPOCH_S)) return Number.NaN
  if (value < 1e11) return value
  if (value < 1e14) return value / 1e3
  return value < 1e17 ? value / 1e6 : value / 1e9
}

/** With a decimal point, or a comma as where semicolons separate the cells. */
const NUMBER = /^[+-]?\d+([.,]\d+)?$/

/**
 * Finds where the times of a log stand: counted from 1970, written with a zone, written without one, or counted from a start.
 * Times without a zone are of the one that a line before the header names.
 */
export function logClock(header: LogHeader, sample: string[][], comments: LogComments): Settled {
  const clock = writtenClockOf(header, sample, comments)
  if ('code' in clock || !clock.zoneless) return clock
  const inHeading = zoneOfHeadings(clock.names)
  const zone = inHeading ?? comments.zone
  if (zone === null) return clock
  const moment = momentReader(zone)
  const read = (cells: string[]): number => moment({ seconds: clock.read(cells), zoneless: true }).seconds
  const message = `times without a zone are read as ${zone}, by ${inHeading === null ? 'a line before the header' : `the heading "${clock.names.join(' and ')}"`}`
  const note: Problem = { code: 'time-zone-assumed', severity: 'note', message }
  return { ...clock, read, zoneless: false, notes: [...clock.notes, note] }
}

function writtenClockOf({ columns }: LogHeader, sample: string[][], comments: LogComments): Settled {
  const { epoch, date, elapsed } = columns
  // "local time" may hold the day as well.
  const isWhole = (cell: string): boolean => !Number.isNaN(parseInstant(cell).seconds)
  const hasDays = columns.clock && sample.some((cells) => isWhole(cells[columns.clock?.place ?? 0] ?? ''))
  const [time, clock] =
    columns.time === undefined && hasDays ? [columns.clock, undefined] : [columns.time, columns.clock]
  const cellsOf = (column: LogColumn | undefined): string[] =>
    column ? sample.map((cells) => cells[column.place]).filter((cell) => cell !== '') : []
  const counted =
    epoch ??
    (mostly(cellsOf(time), (cell) => !Number.isNaN(epochSeconds(numberIn(cell)))) ? time : undefined) ??
    (elapsed && mostly(cellsOf(elapsed), (cell) => isSince1970(elapsed, cell)) ? elapsed : undefined)
  if (counted && mostly(cellsOf(counted), (cell) => !Number.isNaN(epochSeconds(numberIn(cell))))) {
    return plain((cells) => epochSeconds(numberIn(cells[counted.place])), [counted.name])
  }
  const instants = cellsOf(time).map((cell) => parseInstant(cell))
  if (time && mostly(instants, ({ seconds }) => !Number.isNaN(seconds))) {
    const zoneless = !comments.isUtc && !isUtcName(time.name) && instants.some((instant) => instant.zoneless)
    return { ...plain((cells) => parseInstant(cells[time.place]).seconds, [time.name]), zoneless }
  }
  const ofDay = clock ?? time
  if (date && ofDay && mostly(cellsOf(ofDay), (cell) => writtenClock(cell) !== null))
    return dated(sample, date, ofDay, comments)
  const joined = time ?? date
  if (joined && mostly(cellsOf(joined), (cell) => !Number.isNaN(writtenDate(cell)?.secondOfDay ?? Number.NaN))) {
    return dated(sample, joined, null, comments)
  }
  return sinceStart(elapsed ?? time, cellsOf(elapsed ?? time), comments)
}

/** `Timestamp (ms)` says its unit and not from when it counts: what no log lasts is counted from 1970. */
const isSince1970 = ({ convert }: LogColumn, cell: string): boolean =>
  convert !== null && convert(numberIn(cell)) >= EARLIEST_EPOCH_S
const numberIn = (cell: string): number => (NUMBER.test(cell) ? Number(cell.replace(',', '.')) : Number.NaN)
/** UTC in a name, in whatever place, where nothing more is said of the zone. */
function isUtcName(name: string): boolean {
  const { zone } = zonedHeading(name)
  return zone === 'UTC' || (zone === null && /utc|gmt|zulu/i.test(name))
}

const plain = (read: LogClock['read'], names: string[]): LogClock => ({ read, names, zoneless: false, notes: [] })

function mostly<T>(values: T[], holds: (value: T) => boolean): boolean {
  return values.length > 0 && values.filter(holds).length > values.length / 2
}

/** Dates in the order that the first rows show, with the time of day in the same cell or in one of its own. */
function dated(sample: string[][], date: LogColumn, clock: LogColumn | null, { isUtc }: LogComments): Settled {
  const days = sample.map((cells) => cells[date.place])
  const { dates, problems } = datesOfColumn(days, { column: date.name, ...(clock && { clocks: days.map(() => '') }) })
  const unclear = problems.find(({ severity }) => severity === 'error')
  if (unclear) {
    const hint = 'Write the dates as 2025-06-29, or add a column of epoch times.'
    return { code: unclear.code, message: unclear.message, hint }
  }
  const order = DATE_ORDERS.find(
    (one) =>
      days.every((cell, i) => {
        const day = writtenDate(cell)?.days[one]
        return Number.isNaN(dates[i].seconds) || day === undefined || day === Math.floor(dates[i].seconds / DAY_S)
      }) && days.some((cell) => writtenDate(cell)?.days[one] !== undefined),
  )
  const read = (cells: string[]): number => {
    const written = writtenDate(cells[date.place])
    const day = written?.days[order ?? 'ymd'] ?? written?.days.ymd
    const time = clock ? writtenClock(cells[clock.place]) : written
    if (!written || day === undefined || !time) return Number.NaN
    return day * DAY_S + time.secondOfDay - (time.offsetS ?? written.offsetS ?? 0)
  }
  const names = clock ? [date.name, clock.name] : [date.name]
  const hasZone = isUtc || names.some(isUtcName) || (writtenDate(days[0])?.offsetS ?? null) !== null
  return { read, names, zoneless: !hasZone, notes: problems }
}

const DAY_S = 86_400

/** Times that count from the log's start, which a line before the header may name. */
function sinceStart(column: LogColumn | undefined, cells: string[], comments: LogComments): Settled {
  const { startSeconds, isStartZoneless, isUtc } = comments
  if (!column || !mostly(cells, (cell) => NUMBER.test(cell))) {
    const found = column ? `"${cells[0]?.slice(0, 40) ?? ''}" in the column "${column.name}"` : 'no column of times'
    const message = `found ${found}, expected times such as 2025-06-29T21:09:36Z, seconds since 1970, or a date and a clock`
    return { code: 'log-time-unreadable', message }
  }
  if (Number.isNaN(startSeconds)) {
    const message = `the times in the column "${column.name}" count from the start of the log, and nothing says when that was`
    const hint = 'Write a line before the header: # start: 2025-06-29T21:09:36Z'
    return { code: 'log-start-unknown', message, hint }
  }
  const perUnit =
    column.convert ?? (typicalStep(cells.map(numberIn)) >= 20 ? (ms: number) => ms / 1000 : (s: number) => s)
  const clock = plain((row) => startSeconds + perUnit(numberIn(row[column.place])), [column.name])
  return { ...clock, zoneless: isStartZoneless && !isUtc }
}

function typicalStep(values: number[]): number {
  const steps = values.slice(1).map((value, i) => value - values[i])
  return steps.sort((a, b) => a - b)[steps.length >> 1] ?? 0
}

/** @param comments the lines before the header that begin with `#`, without it */
export function logComments(comments: string[]): LogComments {
  const said = (name: RegExp): string | null => {
    for (const line of comments) {
      const found = name.exec(line)
      if (found) return line.slice(found.index + found[0].length).trim()
    }
    return null
  }
  const start = said(/\bstart(?:ed)?(?:[ _](?:time|date|at))?\s*[:=]\s*/i)
  const zone = said(/\btime[ _]?zone\s*(?:->|:|=)\s*/i)
  const instant = start === null ? null : parseInstant(start)
  const isUtc = zone !== null && /^(utc|gmt|z)$/i.test(zone)
  return {
    startSeconds: instant?.seconds ?? Number.NaN,
    isStartZoneless: instant?.zoneless ?? false,
    isUtc,
    zone: zone === null || isUtc ? null : zoneOf(zone),
  }
}
