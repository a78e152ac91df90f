import { describe, expect, it } from 'vitest'
import { zoneDoubts } from '../../../src/campaign/load/rows/zone-of-rows.ts'
import { momentReader } from '../../../src/read/moments.ts'
import { type RunRow, rowKey } from '../../../src/read/runs/rows.ts'
import { emptyRow } from '../../../src/read/runs/runs-table.ts'

/** Whose clock the rows of a table show. Offsets of zones: IANA time zone database (Vienna is UTC+2 in May, UTC+1 in March). */
const HOUR = 3600
const at = (day: string, clock: string): number => Date.parse(`${day}T${clock}:00Z`) / 1000
const drive = (day: string, clock: string, hours = 0.5) => ({
  track: `${day}-${clock}.gpx`,
  fromTime: at(day, clock),
  toTime: at(day, clock) + hours * HOUR,
})
/** Rows with clock times, read in the campaign's zone as the reader of tables does. */
const rowsOf = (
  clocks: [day: string, clock: string][],
  timeZone: string | null,
  more: Partial<RunRow> = {},
): RunRow[] =>
  clocks.map(([day, clock], i) => {
    const time = momentReader(timeZone ?? 'UTC')({ seconds: at(day, clock), zoneless: true }).seconds
    return { ...emptyRow(i + 2), when: { fromTime: time, toTime: time }, ...more }
  })
const told = (rows: RunRow[], drives: ReturnType<typeof drive>[], timeZone: string | null) => {
  const { held, problems } = zoneDoubts(rows, drives, timeZone)
  return {
    held: rows.filter((row) => held.has(rowKey(row))).map(({ line }) => line),
    said: problems.map(({ code, line }) => `${code} ${line}`),
    message: problems.map(({ message }) => message).join('\n'),
  }
}

/** Three drives of a day, two hours apart, as UTC; a driver in Vienna notes 08:00, 10:00 and 12:00. */
const MAY = '2026-05-04'
const drives = ['06:00', '08:00', '10:00'].map((clock) => drive(MAY, clock))
const noted: [string, string][] = [
  [MAY, '08:00'],
  [MAY, '10:00'],
  [MAY, '12:00'],
]

describe('rows that are found by time alone', () => {
  it('are given to no drive where another zone gives them to others and fits better', () => {
    const { held, said, message } = told(rowsOf(noted, null), drives, null)
    // Read as UTC, 08:00 and 10:00 are other drives than those that were meant, and 12:00 is none.
    expect(held).toEqual([2, 3])
    expect(said).toEqual(['rows-in-another-zone 2', 'row-zone-unsure 2', 'row-zone-unsure 3'])
    expect(message).toContain(
      '2 fit a drive (2 within 10 minutes of its begin) by their times read as UTC, because campaign.yaml names no time_zone, and 3 (3) in UTC+2 or Europe/Berlin',
    )
    expect(message).toContain('that of "2026-05-04-08:00.gpx" (from 2026-05-04 08:00 UTC)')
    expect(message).toContain('that of "2026-05-04-06:00.gpx" (from 2026-05-04 06:00 UTC)')
  })

  it('likewise where campaign.yaml names a wrong zone', () => {
    const { held, message } = told(rowsOf(noted, 'Europe/London'), [...drives, drive(MAY, '07:00')], 'Europe/London')
    expect(held).toEqual([2])
    expect(message).toContain(
      '(1 within 10 minutes of its begin) by their times read in Europe/London and 3 (3) in UTC+2',
    )
  })

  it('are as they are where the zone is stated and all of them fit', () => {
    expect(told(rowsOf(noted, 'Europe/Vienna'), drives, 'Europe/Vienna')).toEqual({ held: [], said: [], message: '' })
  })

  it('are as they are where one of them was not recorded, and no other zone fits more', () => {
    const rows = rowsOf([...noted, [MAY, '17:20']], 'Europe/Vienna')
    expect(told(rows, drives, 'Europe/Vienna').said).toEqual([])
  })

  it('none of which fits are told in which zone all would, in summer and in winter', () => {
    const MARCH = '2026-03-04'
    const both: [string, string][] = [
      [MAY, '08:00'],
      [MAY, '11:00'],
      [MARCH, '20:10'],
    ]
    const driven = [drive(MAY, '06:00'), drive(MAY, '09:00'), drive(MARCH, '19:10', 0.3)]
    const { held, said, message } = told(rowsOf(both, null), driven, null)
    expect(said).toEqual(['rows-in-another-zone 2'])
    expect(held).toEqual([])
    // The offset of one season fits fewer of them than the zone with its summer time.
    expect(message).toContain('0 fit a drive (0 within 10 minutes of its begin) by their times read as UTC')
    expect(message).toContain('and 3 (3) in Europe/Berlin')
  })

  it('may be of several zones where none is named: what fits as well is enough to hold them back', () => {
    const two = [drive(MAY, '08:00'), drive(MAY, '09:00')]
    expect(told(rowsOf([[MAY, '09:00']], null), two, null).held).toEqual([2])
    expect(told(rowsOf([[MAY, '09:00']], 'UTC'), two, 'UTC').held).toEqual([])
  })

  it('are sure where the table says its zone, or names the track', () => {
    const zoned = rowsOf(noted, null).map((row) => ({ ...row, when: { ...row.when!, isZoned: true } }))
    expect(told(zoned, drives, null).said).toEqual([])
    expect(told(rowsOf(noted, null, { track: 'a.gpx' }), drives, null).said).toEqual([])
  })
})
