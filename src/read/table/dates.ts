import type { Problem } from '../../base/problem.ts'
import { isoDay, type Span } from '../../base/time.ts'
import { type Instant, parseInstant } from '../instant.ts'
import { DATE_ORDERS, type DateOrder, type WrittenDate, writtenClock, writtenDate } from './date-text.ts'

/** A moment in a cell; `seconds` is NaN for an empty cell and for one that cannot be read. */
export interface DateCell extends Instant {
  /** No time of day is written: `seconds` is the midnight with which the day begins. */
  dateOnly: boolean
}

export interface DateContext {
  /** The column's name as written, for messages; where it says the order itself ("date (dd/mm/yyyy)"), that counts. */
  column: string
  /** Days since 1970 on which something was recorded, in any zone: of two orders that fit, the one that hits them is taken. */
  days?: readonly number[]
  /** Times of day in a column of their own, a cell for each date. */
  clocks?: readonly string[]
}

export interface DatesOfColumn {
  /** One for each cell, in their order. */
  dates: DateCell[]
  /** Of the column as a whole, without a line: add that of the header. */
  problems: Problem[]
  /** What a cell that cannot be read should have been, such as "a date such as 2026-05-04 09:14". */
  expected: string
}

/**
 * Reads a column of dates or moments as people and spreadsheets write them: ISO 8601, 04.05.2026, 5/4/26, 4 May 2026,
 * 2026/05/04, with 24 hours or AM and PM, serial numbers, seconds or milliseconds since 1970. The order of day and month
 * is that in which the most cells are dates; where two do equally, the column's name decides, then the days of the
 * tracks, then dots between the numbers (day first), then which order of days runs through the rows; if nothing does,
 * no such cell is read and the error `date-order-unclear` shows both readings. What was decided is a note.
 *
 * How to use it: `const { dates, problems, expected } = datesOfColumn(cells, { column, days, clocks })`. Give `dates[i]` to
 * `momentReader(zone)` (`read/moments.ts`), which leaves those with a zone alone (`zoneless: false`). Report a cell that
 * is not empty and has `seconds` NaN with its own line and `expected`, unless an error is among `problems`.
 * @param cells trimmed or not
 */
export function datesOfColumn(cells: readonly string[], context: DateContext): DatesOfColumn {
  const iso = cells.map((cell, i) => isoCell(cell, context.clocks?.[i]))
  const others = cells.map((cell, i) => (iso[i] || cell.trim() === '' ? null : writtenDate(cell)))
  const { order, problems } = orderOf(others, cells, context)
  const dates = cells.map((_, i): DateCell => iso[i] ?? cellOf(others[i], order, context.clocks?.[i]))
  return { dates, problems, expected: `a date such as ${example(order, context.clocks === undefined)}` }
}

/** Days since 1970 that spans of time touch, each as days of UTC; for `DateContext.days`. */
export function daysOfSpans(spans: readonly Span[]): number[] {
  const days = new Set<number>()
  for (const { from, to } of spans) {
    for (let day = Math.floor(from / DAY_S); day <= Math.min(Math.floor(to / DAY_S), from / DAY_S + 3); day++)
      days.add(day)
  }
  return [...days].sort((a, b) => a - b)
}

const DAY_S = 86_400
const NOTHING: DateCell = { seconds: Number.NaN, zoneless: true, dateOnly: false }

/** The usual form, which leaves no choice; null for any other. */
function isoCell(cell: string, clock: string | undefined): DateCell | null {
  if (clock !== undefined) return null
  const instant = parseInstant(cell)
  return Number.isNaN(instant.seconds) ? null : { ...instant, dateOnly: false }
}

function cellOf(date: WrittenDate | null, order: DateOrder | null, clockCell: string | undefined): DateCell {
  const day = date === null ? undefined : (date.days[order ?? 'ymd'] ?? soleDay(date))
  if (date === null || day === undefined) return NOTHING
  const written = clockCell === undefined || clockCell.trim() === '' ? null : clockOf(clockCell)
  if (written === 'unreadable') return NOTHING
  const secondOfDay = written?.secondOfDay ?? date.secondOfDay
  const offsetS = written?.offsetS ?? date.offsetS
  const dateOnly = Number.isNaN(secondOfDay)
  const seconds = day * DAY_S + (dateOnly ? 0 : secondOfDay) - (offsetS ?? 0)
  return { seconds, zoneless: offsetS === null, dateOnly }
}

/** A spreadsheet's cell for a time of day may carry a day of its own. */
function clockOf(cell: string): { secondOfDay: number; offsetS: number | null } | 'unreadable' {
  const clock = writtenClock(cell)
  if (clock) return clock
  const date = writtenDate(cell)
  return date && !Number.isNaN(date.secondOfDay) ? date : 'unreadable'
}

/** The day of a cell that leaves no choice: the year first, a month by its name, or a count of seconds or days. */
const soleDay = ({ days }: WrittenDate): number | undefined => days.ymd ?? days.epoch ?? days.serial1900

interface Decided {
  order: DateOrder | null
  problems: Problem[]
}

function orderOf(dates: (WrittenDate | null)[], cells: readonly string[], context: DateContext): Decided {
  const open = dates.flatMap((date, i) => (date && isOpen(date) ? [{ date, cell: cells[i].trim() }] : []))
  if (open.length === 0) return { order: null, problems: [] }
  const counted = DATE_ORDERS.map((order) => ({
    order,
    fits: open.filter(({ date }) => date.days[order] !== undefined).length,
    hits: hitsOf(open, order, context.days ?? []),
  })).filter(({ fits }) => fits > 0)
  const most = Math.max(...counted.map(({ fits }) => fits))
  const best = counted.filter(({ fits }) => fits === most)
  const hits = Math.max(...best.map((one) => one.hits))
  const onTracks = best.filter((one) => one.hits === hits && hits > 0)
  const shown = open.find(({ date }) => best.every(({ order }) => date.days[order] !== undefined)) ?? open[0]
  const take = (order: DateOrder, reason: string): Decided => ({
    order,
    problems: [noteOf(order, reason, shown, context.column)],
  })
  if (best.length === 1) return take(best[0].order, onlyFit(open, best[0].order))
  const said = best.find(({ order }) => SAYS[order]?.test(context.column))
  if (said) return take(said.order, "by the column's name")
  if (onTracks.length === 1) return take(onTracks[0].order, 'which are days of the tracks')
  // Serial numbers count from 1904 in very few files, two digits for a year come first in very few countries.
  const usual = best.filter(({ order }) => order !== 'serial1904' && order !== 'yymmdd')
  if (usual.length === 1) {
    return take(usual[0].order, usual[0].order === 'serial1900' ? 'as most spreadsheets count' : 'the usual order')
  }
  if (
    sameDays(
      open,
      usual.map(({ order }) => order),
    )
  )
    return { order: usual[0].order, problems: [] }
  if (open.every(({ cell }) => /^\d+\.\s*\d+\./.test(cell))) return take('dmy', 'as dots between the numbers mean')
  const running = usual.filter(({ order }) => runs(open.map(({ date }) => date.days[order] ?? Number.NaN)))
  if (running.length === 1) return take(running[0].order, 'in which the rows follow one another')
  return {
    order: null,
    problems: [
      unclear(
        shown,
        usual.map(({ order }) => order),
        context,
      ),
    ],
  }
}

/** Where it hangs on the column which day a cell means. */
const isOpen = ({ days }: WrittenDate): boolean => days.ymd === undefined && days.epoch === undefined

/** A day of the tracks in UTC may be the one before or after on a clock elsewhere. */
function hitsOf(open: { date: WrittenDate }[], order: DateOrder, days: readonly number[]): number {
  if (days.length === 0) return 0
  const near = new Set(days.flatMap((day) => [day - 1, day, day + 1]))
  return open.filter(({ date }) => near.has(date.days[order] ?? Number.NaN)).length
}

const sameDays = (open: { date: WrittenDate }[], orders: DateOrder[]): boolean =>
  open.every(({ date }) => new Set(orders.map((order) => date.days[order])).size === 1)

/** Rows that are kept as things happen: three days or more that never go back, or never forward. */
function runs(days: number[]): boolean {
  if (new Set(days).size < 3) return false
  return days.every((day, i) => i === 0 || day >= days[i - 1]) || days.every((day, i) => i === 0 || day <= days[i - 1])
}

function onlyFit(open: { date: WrittenDate; cell: string }[], order: DateOrder): string {
  const telling = open.find(({ date }) => Object.keys(date.days).every((one) => one === order))
  return telling ? `as "${telling.cell.slice(0, 30)}" can only be` : 'in which the most of them are dates'
}

/** How a column's name says the order of its dates. */
const SAYS: Partial<Record<DateOrder, RegExp>> = {
  dmy: /\bd{1,2}\W?_?m{1,2}\W?_?y{2,4}|\bt{1,2}\W?m{1,2}\W?j{2,4}/i,
  mdy: /\bm{1,2}\W?_?d{1,2}\W?_?y{2,4}/i,
  yymmdd: /\by{2}\W?_?m{1,2}\W?_?d{1,2}/i,
}

const WORDS: Record<DateOrder, string> = {
  dmy: 'day, month, year',
  mdy: 'month, day, year',
  ymd: 'year, month, day',
  yymmdd: 'year, month, day',
  serial1900: 'days counted from 1899-12-30',
  serial1904: 'days counted from 1904-01-01',
  epoch: 'seconds since 1970',
}

const dayText = (day: number | undefined): string => isoDay((day ?? 0) * DAY_S)

function noteOf(order: DateOrder, reason: string, shown: { date: WrittenDate; cell: string }, column: string): Problem {
  const read = `"${shown.cell.slice(0, 30)}" is ${dayText(shown.date.days[order])}`
  const message = `the dates of the column "${column}" are read as ${WORDS[order]} (${read}), ${reason}`
  return { code: 'date-order-assumed', severity: 'note', message }
}

function unclear(
  shown: { date: WrittenDate; cell: string },
  orders: DateOrder[],
  { column, days = [] }: DateContext,
): Problem {
  const readings = orders.map((order) => `${dayText(shown.date.days[order])} (${WORDS[order]})`).join(' or ')
  const why =
    days.length === 0
      ? 'there are no tracks to tell by'
      : 'no track tells which: none, or as many, were recorded on the days of either'
  return {
    code: 'date-order-unclear',
    severity: 'error',
    message: `the dates of the column "${column}" can be read in two ways: "${shown.cell.slice(0, 30)}" may be ${readings}, and ${why}`,
    hint: 'Name the column "date (dd/mm/yyyy)" or "date (mm/dd/yyyy)", or write dates as 2026-05-04.',
  }
}

function example(order: DateOrder | null, withClock: boolean): string {
  const day: Partial<Record<DateOrder, string>> = { dmy: '24.05.2026', mdy: '05/24/2026', yymmdd: '26-05-24' }
  return `${day[order ?? 'ymd'] ?? '2026-05-24'}${withClock ? ' 09:14' : ''}`
}
