import type { Problem } from '../../base/problem.ts'
import { isoClock } from '../../base/time.ts'
import { parseInstant } from '../instant.ts'
import { momentReader } from '../moments.ts'
import { writtenClock, writtenDate } from '../table/date-text.ts'
import { type DateCell, datesOfColumn } from '../table/dates.ts'
import type { Table } from '../table/table.ts'
import { zoneOfHeadings } from '../zone-in-heading.ts'
import type { RunRow } from './rows.ts'

export interface RunsContext {
  /** Days since 1970 on which something was recorded. */
  days: readonly number[]
  /** As `zoneOf` gives it; null: times without a zone are UTC. */
  timeZone: string | null
}

/** What the rows of a table of drives say of times. */
export interface TimesOfRows {
  when: RunRow['when'][]
  /** `from` and `to` in a form that leaves no choice, for those rows whose cells are dates or times of day. */
  from: (string | null)[]
  to: (string | null)[]
  problems: Problem[]
}

const DAY_S = 86_400

/**
 * Reads the columns `date`, `time`, `from` and `to` of a table of drives: dates in any order, times of day with AM and PM; a
 * time of day alone gets the row's date. Distances and what else cannot be read are left as they are written.
 */
export function timesOfRows(
  { header, written, headerLine, rows }: Table,
  { days, timeZone }: RunsContext,
): TimesOfRows {
  const problems: Problem[] = []
  const at = (name: string): number => header.indexOf(name)
  const cells = (column: number): string[] => rows.map((row) => (column < 0 ? '' : row.cells[column]))
  const read = (column: number, wanted: string[], clocks?: string[]): DateCell[] => {
    const outcome = datesOfColumn(wanted, { column: written[column] ?? '', days, ...(clocks ? { clocks } : {}) })
    problems.push(...outcome.problems.map((problem) => ({ ...problem, line: headerLine })))
    const isUnclear = outcome.problems.some(({ severity }) => severity === 'error')
    for (const [i, { seconds }] of outcome.dates.entries()) {
      if (wanted[i] === '' || !Number.isNaN(seconds) || isUnclear) continue
      const found = clocks?.[i] ? `${wanted[i]} ${clocks[i]}` : wanted[i]
      const message = `${header[column]}: found "${found.slice(0, 40)}", expected ${outcome.expected}; the cell is taken as empty`
      problems.push({ code: 'runs-not-a-time', severity: 'error', message, line: rows[i].line })
    }
    return outcome.dates
  }
  const [date, time] = [at('date'), Math.max(at('time'), at('time_utc'))]
  const main = date >= 0 ? date : time
  const moments = main < 0 ? [] : read(main, cells(main), date >= 0 && time >= 0 ? cells(time) : undefined)
  const dayTexts = moments.map((moment) => dayText(moment))
  const end = (name: 'from' | 'to'): (string | null)[] => {
    const own = cells(at(name))
    if (at(name) < 0) return own.map(() => null)
    const isDate = own.map((cell) => writtenClock(cell) === null && writtenDate(cell) !== null)
    const dates = read(
      at(name),
      own.map((cell, i) => (isDate[i] ? cell : '')),
    )
    return own.map((cell, i) => (isDate[i] ? momentText(dates[i]) : clockText(cell, dayTexts[i] ?? '')))
  }
  const own = zoneOfHeadings([written[time], written[date]])
  const reader = momentReader(timeZone ?? 'UTC')
  const ofMoments = own === null ? reader : momentReader(own)
  const from = end('from')
  return {
    when: rows.map(
      (_, i) => momentIn(from[i], reader) ?? (moments[i] ? spanOf(moments[i], ofMoments, own !== null) : null),
    ),
    from,
    to: end('to'),
    problems,
  }
}

function spanOf(cell: DateCell, reader: ReturnType<typeof momentReader>, hasZone: boolean): RunRow['when'] {
  if (Number.isNaN(cell.seconds)) return null
  const { seconds } = reader(cell)
  const isZoned = hasZone || !cell.zoneless
  return { fromTime: seconds, toTime: cell.dateOnly ? seconds + DAY_S : seconds, ...(isZoned && { isZoned }) }
}

/** A beginning with its date says when the drive was. */
function momentIn(from: string | null, reader: ReturnType<typeof momentReader>): RunRow['when'] {
  if (from === null || from.length < 19) return null
  const { seconds } = reader(parseInstant(from))
  return { fromTime: seconds, toTime: seconds }
}

const isoText = (seconds: number): string => new Date(1000 * seconds).toISOString().slice(0, 19)
const dayText = ({ seconds, zoneless }: DateCell): string =>
  Number.isNaN(seconds) || !zoneless ? '' : isoText(seconds).slice(0, 10)

function momentText({ seconds, zoneless, dateOnly }: DateCell): string | null {
  return Number.isNaN(seconds) || dateOnly ? null : `${isoText(seconds)}${zoneless ? '' : 'Z'}`
}

/** A time of day with the row's date before it, where it has one; null where the cell is none. */
function clockText(cell: string, day: string): string | null {
  const clock = writtenClock(cell)
  // A bare number is a distance without its unit, and no fraction of a day.
  if (clock === null || /^[\d.,]+$/.test(cell)) return null
  const text = isoClock(clock.secondOfDay)
  if (clock.offsetS === null) return day === '' ? text : `${day}T${text}`
  return clock.offsetS === 0 && day === '' ? `${text}Z` : null
}
