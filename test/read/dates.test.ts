import { describe, expect, test } from 'vitest'
import { type DateContext, datesOfColumn, daysOfSpans } from '../../src/read/table/dates.ts'

const DAY_MS = 86_400_000
const context: DateContext = { column: 'date' }
/** Date.UTC of ECMAScript is the outside authority for which day and second is meant. */
const iso = (seconds: number): string => new Date(1000 * seconds).toISOString().slice(0, 16)
const readAs = (cells: string[], more: Partial<DateContext> = {}): string[] =>
  datesOfColumn(cells, { ...context, ...more }).dates.map(({ seconds }) => (Number.isNaN(seconds) ? '-' : iso(seconds)))
const daysIn = (...written: string[]): number[] => written.map((day) => Date.parse(`${day}T00:00Z`) / DAY_MS)

describe('a column as Intl.DateTimeFormat writes it, whose forms come from Unicode CLDR', () => {
  // Twenty days in a row hold some beyond the twelfth, which tell the order.
  const moments = Array.from({ length: 20 }, (_, i) => Date.UTC(2026, 4, 1 + i, 9 + (i % 9), 14))
  const styles: [what: string, options: Intl.DateTimeFormatOptions][] = [
    ['short', { dateStyle: 'short', timeStyle: 'short' }],
    ['numeric', { day: 'numeric', month: 'numeric', year: 'numeric', hour: '2-digit', minute: '2-digit' }],
    ['medium', { dateStyle: 'medium', timeStyle: 'medium' }],
    ['long', { dateStyle: 'long', timeStyle: 'short' }],
  ]
  const numeric =
    'en-US en-GB en-CA en-AU en-IN en-NZ en-ZA de-DE de-AT de-CH fr-FR fr-CA es-ES es-MX it-IT nl-NL pt-BR pt-PT sv-SE nb-NO da-DK fi-FI pl-PL cs-CZ hu-HU tr-TR ru-RU'.split(
      ' ',
    )
  const named = 'en-US en-GB en-CA en-AU de-DE de-AT fr-FR es-ES es-MX it-IT nl-NL pt-BR'.split(' ')
  const cases = styles.flatMap(([style, options]) =>
    (style === 'short' || style === 'numeric' ? numeric : named).map((locale) => ({ locale, style, options })),
  )
  test.each(cases)('$locale, $style', ({ locale, options }) => {
    const format = new Intl.DateTimeFormat(locale, { timeZone: 'UTC', ...options })
    const cells = moments.map((moment) => format.format(moment))
    expect(readAs(cells)).toEqual(moments.map((moment) => iso(moment / 1000)))
  })
})

describe('one form at a time', () => {
  // The expected values are the dates themselves; forms from ISO 8601, RFC 5322 and what spreadsheets write.
  test.each([
    ['2026-05-04T09:14Z', '2026-05-04T09:14'],
    ['2026-05-04 09:14 +02:00', '2026-05-04T07:14'],
    ['20260504T091405Z', '2026-05-04T09:14'],
    ['20260504', '2026-05-04T00:00'],
    ['202605040914', '2026-05-04T09:14'],
    ['2026/5/4 9:14', '2026-05-04T09:14'],
    ['2026.05.04', '2026-05-04T00:00'],
    ['Mon, 4 May 2026 09:14:00 +0200', '2026-05-04T07:14'],
    ['4-May-26', '2026-05-04T00:00'],
    ['May 4th, 2026 at 9:14 pm', '2026-05-04T21:14'],
    ['4. Mai 2026, 9:14 Uhr', '2026-05-04T09:14'],
    ['4 de mayo de 2026', '2026-05-04T00:00'],
    ['1er août 2026', '2026-08-01T00:00'],
    ['24.05.2026 12:05 AM', '2026-05-24T00:05'],
    ['24/05/2026 12:05 p.m.', '2026-05-24T12:05'],
    ['05/24/2026 9 AM', '2026-05-24T09:00'],
    ['24.5.2026 9.14', '2026-05-24T09:14'],
    // ISO/IEC 29500-1, 18.17.4.1: serial 39 448 is 2008-01-01, of the standard's own example.
    ['39448', '2008-01-01T00:00'],
    ['39448.5', '2008-01-01T12:00'],
    ['39448,25', '2008-01-01T06:00'],
    // POSIX seconds: 1e9 is 2001-09-09T01:46:40Z (IEEE 1003.1, from memory).
    ['1000000000', '2001-09-09T01:46'],
    ['1000000000000', '2001-09-09T01:46'],
  ])('%s', (cell, want) => {
    expect(readAs([cell])).toEqual([want])
  })

  test.each([
    '31/02/2026',
    '2026-13-01',
    'yesterday',
    '12',
    '24/05/2026 25:00',
    '1/2/3',
    '05/24/2026 14:00 AM',
    'Mayor 4, 2026',
  ])('%s is no date', (cell) => {
    expect(readAs([cell])).toEqual(['-'])
  })

  test('a date alone is marked, a moment is not; a zone is told from none', () => {
    const { dates } = datesOfColumn(['2026-05-04', '2026-05-04 09:14', '24.05.2026 09:14 UTC'], context)
    expect(dates.map(({ dateOnly, zoneless }) => [dateOnly, zoneless])).toEqual([
      [true, true],
      [false, true],
      [false, false],
    ])
  })

  test('a time of day in a column of its own', () => {
    const clocks = ['9:14', '9:14 PM', '0914', '0.5', '1899-12-30T09:14:00', '', 'early']
    const cells = clocks.map(() => '24.05.2026')
    expect(readAs(cells, { clocks })).toEqual([
      '2026-05-24T09:14',
      '2026-05-24T21:14',
      '2026-05-24T09:14',
      '2026-05-24T12:00',
      '2026-05-24T09:14',
      '2026-05-24T00:00',
      '-',
    ])
  })
})

describe('which order', () => {
  const unclear = ['04/05/2026', '05/05/2026']

  test('one cell beyond the twelfth tells it for the column, and a note says which', () => {
    const { dates, problems } = datesOfColumn(['04/05/2026', '13/05/2026'], context)
    expect(dates.map(({ seconds }) => iso(seconds).slice(0, 10))).toEqual(['2026-05-04', '2026-05-13'])
    expect(problems).toEqual([
      {
        code: 'date-order-assumed',
        severity: 'note',
        message:
          'the dates of the column "date" are read as day, month, year ("04/05/2026" is 2026-05-04), as "13/05/2026" can only be',
      },
    ])
  })

  test('the days of the tracks tell it', () => {
    expect(readAs(unclear, { days: daysIn('2026-05-04') })[0]).toBe('2026-05-04T00:00')
    expect(readAs(unclear, { days: daysIn('2026-04-05') })[0]).toBe('2026-04-05T00:00')
    expect(readAs(['26-05-04', '26-05-06'], { days: daysIn('2026-05-04') })[0]).toBe('2026-05-04T00:00')
    // 20 577 days after 1970, 24 107 of them counted from 1904.
    expect(readAs(['44684'], { days: daysIn('2026-05-04') })).toEqual(['2026-05-04T00:00'])
  })

  test('the name of the column tells it', () => {
    expect(readAs(unclear, { column: 'Date (MM/DD/YYYY)' })[0]).toBe('2026-04-05T00:00')
    expect(readAs(unclear, { column: 'date_(dd/mm/yy)' })[0]).toBe('2026-05-04T00:00')
    expect(readAs(unclear, { column: 'Datum (TT.MM.JJJJ)' })[0]).toBe('2026-05-04T00:00')
  })

  test('dots mean day first; rows that follow one another tell it', () => {
    expect(readAs(['04.05.2026'])).toEqual(['2026-05-04T00:00'])
    // Day first these go back and forth.
    expect(readAs(['04/12/2026', '05/01/2026', '05/11/2026'])[0]).toBe('2026-04-12T00:00')
  })

  test('where nothing tells it, nothing is read and both readings are shown', () => {
    const { dates, problems } = datesOfColumn(unclear.slice(0, 1), { ...context, days: daysIn('2026-07-01') })
    expect(dates[0].seconds).toBeNaN()
    expect(problems).toMatchObject([
      { code: 'date-order-unclear', severity: 'error', hint: expect.stringContaining('"date (dd/mm/yyyy)"') },
    ])
    expect(problems[0].message).toContain('may be 2026-05-04 (day, month, year) or 2026-04-05 (month, day, year)')
  })

  test('a cell that is no date costs itself alone', () => {
    expect(readAs(['13/05/2026', '13.13.2026', '', '15/05/2026'])).toEqual([
      '2026-05-13T00:00',
      '-',
      '-',
      '2026-05-15T00:00',
    ])
    expect(datesOfColumn(['13/05/2026'], context).expected).toBe('a date such as 24.05.2026 09:14')
  })

  test('a month whose days are the same in both orders needs no note', () => {
    expect(datesOfColumn(['05/05/2026', '06/06/2026'], context).problems).toEqual([])
  })
})

test('days of spans', () => {
  const at = (text: string): number => Date.parse(text) / 1000
  const spans = [{ from: at('2026-05-04T23:00Z'), to: at('2026-05-05T01:00Z') }]
  expect(daysOfSpans(spans)).toEqual(daysIn('2026-05-04', '2026-05-05'))
})
