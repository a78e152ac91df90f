import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { present } from '../../src/base/present.ts'
import type { Problem } from '../../src/base/problem.ts'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { claimedBy } from '../../src/campaign/load/rows/claimed-rows.ts'
import { readCampaign } from '../../src/read/campaign/campaign.ts'
import { readFillsTable } from '../../src/read/runs/fills-table.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { isWeatherKind, readWeather } from '../../src/read/weather/read.ts'
import { textCell, xlsxOf, zipOf } from './zip.ts'

/**
 * Slips of form, each with the message that its author should get: what was found, where, and what to write. Collected from
 * what practitioners' tables did to the program; common practice, no source. Slips of values and units are those of
 * test/campaign/plausible.
 */
interface Slip {
  what: string
  content: string | Uint8Array
  /** Part of the message or of its hint. */
  says: string[]
  code: string
  line?: number
}

const TRACKS = ['tracks/2026-05-04 morning.gpx', 'tracks/2026-05-04 noon.gpx', 'run2.gpx', 'run3.gpx']
const at = (text: string): number => Date.parse(text) / 1000
const STARTS = ['2026-05-04T07:14Z', '2026-05-04T10:02Z', '2026-05-06T07:00Z', '2026-05-08T07:00Z'].map(at)
const recordings = TRACKS.map((track, i) => ({ track, sessions: [i], startTime: STARTS[i], endTime: STARTS[i] + 3600 }))
const days = STARTS.map((time) => Math.floor(time / 86_400))
const timeZone = 'Europe/Vienna'

async function problemsOf(content: string | Uint8Array): Promise<Problem[]> {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content
  const parts = await mapParts({ path: 'table.xlsx', bytes, sha256: 'x' })
  return parts.flatMap(({ kind, text, problems }) => [...problems, ...problemsIn(kind, text)])
}

function problemsIn(kind: string, text: string | null): Problem[] {
  if (text === null) return []
  if (kind === 'runs-table') {
    const { value, problems } = readRunsTable(text, { days, timeZone })
    return [...problems, ...claimedBy(value?.rows ?? [], recordings, timeZone).problems]
  }
  if (kind === 'fills-table') return readFillsTable(text, timeZone, days).problems
  if (kind === 'campaign') return readCampaign(text).problems
  if (!isWeatherKind(kind)) return []
  const context = { timeZone: null, fileName: 'w.csv', coverFrom: null, coverTo: null, days: [] }
  return readWeather(kind, present(text), context).problems
}

const runs = (header: string, ...rows: string[]): string => `${[header, ...rows].join('\n')}\n`
const weather = (header: string, ...rows: string[]): string => `${[header, ...rows].join('\n')}\n`

const SLIPS: Slip[] = [
  // Dates and times
  {
    what: 'day and month that may be exchanged',
    content: weather('time,temperature_c', '04/05/2026 09:00Z,12'),
    code: 'date-order-unclear',
    says: ['2026-05-04 (day, month, year) or 2026-04-05 (month, day, year)', '"date (dd/mm/yyyy)"'],
    line: 1,
  },
  {
    what: 'a date that the calendar lacks',
    content: runs('track,date,fuel_l', 'run2,31.04.2026,7', 'run3,08.05.2026,7'),
    code: 'runs-not-a-time',
    says: ['"31.04.2026"', 'a date such as'],
    line: 2,
  },
  {
    what: 'AM and PM on a 24-hour clock',
    content: runs('track,date,time,fuel_l', 'run2,06.05.2026,14:00 AM,7'),
    code: 'runs-not-a-time',
    says: ['14:00 AM'],
    line: 2,
  },
  {
    what: 'a weather time without zone',
    content: weather('time,temperature_c', '2026-05-04 09:00,12'),
    code: 'time-zone-missing',
    says: ['no zone', 'set time_zone in campaign.yaml'],
    line: 2,
  },
  {
    what: 'a weather table with days alone',
    content: weather('date,temperature_c', '2026-05-04,12'),
    code: 'weather-time-unreadable',
    says: ['a date such as 2026-05-24 09:14'],
    line: 2,
  },
  {
    what: 'a row without a track on a day of two recordings',
    content: runs('date,from,to,track,setup,fuel_l', '04.05.2026,,,,bare,7'),
    code: 'row-ambiguous',
    says: ['2026-05-04 morning.gpx (09:14)', 'column "time"'],
    line: 2,
  },
  {
    what: 'a row without a track at a time of no recording',
    content: runs('track,date,time,fuel_l', ',06.05.2026,13:00,7'),
    code: 'row-without-track',
    says: ['nothing was recorded at 2026-05-06 13:00', 'run2.gpx', 'time zone'],
    line: 2,
  },
  {
    what: 'a row with neither track nor date',
    content: runs('track,setup,fuel_l', ',bare,7'),
    code: 'runs-no-track',
    says: ['neither a track nor a date'],
    line: 2,
  },
  // Names of tracks
  {
    what: 'a misspelt track',
    content: runs('track,fuel_l', 'runn2,7'),
    code: 'row-without-track',
    says: ['Did you mean run2.gpx?'],
    line: 2,
  },
  {
    what: 'a track of another folder',
    content: runs('track,fuel_l', 'old/other.gpx,7'),
    code: 'row-without-track',
    says: ['names no track'],
    line: 2,
  },
  {
    what: 'a track in two rows',
    content: runs('track,fuel_l', 'run2,7', 'run2,8'),
    code: 'runs-track-twice',
    says: ['has a row already, on line 2'],
    line: 3,
  },
  // Columns
  {
    what: 'gallons that may be US or imperial',
    content: runs('track,setup,gallons', 'run2,bare,2'),
    code: 'column-unit-unclear',
    says: ['3.785', '4.546', 'fuel_gal_us or fuel_gal_imp'],
    line: 1,
  },
  {
    what: 'mpg that may be US or imperial',
    content: runs('track,setup,mpg', 'run2,bare,30'),
    code: 'column-unit-unclear',
    says: ['consumption_mpg_us or consumption_mpg_imp'],
    line: 1,
  },
  {
    what: 'an odometer without a unit',
    content: runs('track,fuel_l,odo', 'run2,7,105'),
    code: 'column-unit-missing',
    says: ['taken for odometer', 'odometer_km or'],
    line: 1,
  },
  {
    what: 'fuel in ounces',
    content: runs('track,fuel_oz', 'run2,7'),
    code: 'runs-unknown-unit',
    says: ['expected one of l, gal_us, gal_imp'],
    line: 1,
  },
  {
    what: 'a misspelt column',
    content: runs('track,fuel_l,setupp', 'run2,7,bare'),
    code: 'runs-unknown-column',
    says: ['Did you mean setup?'],
    line: 1,
  },
  {
    what: 'a pressure that does not say which',
    content: weather('time,pressure_hpa,temperature_c', '2026-05-04T09:00Z,1013,12'),
    code: 'weather-unit-unknown',
    says: ['station_pressure_hpa'],
    line: 1,
  },
  {
    what: 'a temperature without a unit',
    content: weather('time,temperature,wind_speed_mps', '2026-05-04T09:00Z,12,3'),
    code: 'weather-unit-unknown',
    says: ['_c, _f'],
    line: 1,
  },
  {
    what: 'a column twice',
    content: runs('track,fuel_l,fuel_l', 'run2,7,8'),
    code: 'table-column-twice',
    says: ['the first is used'],
    line: 1,
  },
  {
    what: 'one quantity in two units',
    content: runs('track,fuel_l,fuel_gal_us', 'run2,7,1.8'),
    code: 'runs-quantity-twice',
    says: ['say the same'],
    line: 1,
  },
  {
    what: 'no column of times in a weather table',
    content: weather('station,temperature_c,date_made_up', 'a,12,x'),
    code: 'weather-time-column-missing',
    says: ['one named "time" was expected', 'station, temperature_c, date_made_up'],
    line: 1,
  },
  {
    what: 'a table that is none of ours',
    content: 'name,price\nbolt,1\n',
    code: 'unrecognised',
    says: ['none of its rows is used', 'docs/files.md'],
  },
  // Rows and cells
  {
    what: 'an unquoted comma in the note',
    content: runs('track,fuel_l,note', 'run2,7,wet, cold'),
    code: 'table-row-joined',
    says: ['read as one text, "wet, cold"', 'quotation marks'],
    line: 2,
  },
  {
    what: 'an unquoted decimal comma',
    content: runs('track,fuel_l,odometer_km', 'run2,7,34,105'),
    code: 'table-row-too-long',
    says: ['4 cells and the header has 3', 'A decimal comma'],
    line: 2,
  },
  {
    what: 'a row cut short',
    content: runs('track,fuel_l,note', 'run2,7', 'run3,7,dry'),
    code: 'table-row-too-short',
    says: ['taken as empty'],
    line: 2,
  },
  {
    what: 'a quotation mark that is not closed',
    content: runs('track,fuel_l,note', 'run2,7,"wet', 'run3,7,dry'),
    code: 'table-quote-open',
    says: ['never closed', 'Close the quotation mark'],
    line: 2,
  },
  {
    what: 'a word for a number',
    content: runs('track,fuel_l', 'run2,full'),
    code: 'runs-not-a-number',
    says: ['fuel_l: found "full", expected a number'],
    line: 2,
  },
  {
    what: 'another unit behind a number',
    content: runs('track,fuel_l', 'run2,2 gal'),
    code: 'runs-not-a-number',
    says: ['"2 gal"'],
    line: 2,
  },
  {
    what: 'comma and point mixed in one column',
    content: runs('track,fuel_l', 'run2,"7,34"', 'run3,7.29'),
    code: 'runs-not-a-number',
    says: ['Write 7.34'],
    line: 2,
  },
  {
    what: 'a decimal point slipped',
    content: runs('track,fuel_l', 'run2,0.0000734'),
    code: 'runs-impossible-value',
    says: ['0.0001 to 2000 litres'],
    line: 2,
  },
  {
    what: 'an error of a spreadsheet',
    content: runs('track,fuel_l', 'run2,#REF!'),
    code: 'runs-not-a-number',
    says: ['"#REF!"'],
    line: 2,
  },
  { what: 'a header and no rows', content: 'track,fuel_l\n', code: 'table-no-rows', says: ['no rows'] },
  // Files
  {
    what: 'an older workbook',
    content: new Uint8Array(readFileSync('test/data/spreadsheets/forms.xls')),
    code: 'workbook-other-kind',
    says: ['.xls', 'save it as .xlsx, .ods or CSV'],
  },
  {
    what: 'a workbook of another program',
    content: zipOf([{ name: 'Index/Document.iwa', content: 'x' }]),
    code: 'workbook-other-kind',
    says: ['Numbers', 'save it as'],
  },
  {
    what: 'a workbook with a password',
    content: xlsxOf('', [], { isEncrypted: true }),
    code: 'workbook-password',
    says: ['save it without a password'],
  },
  {
    what: 'a workbook cut off',
    content: new Uint8Array(readFileSync('test/data/spreadsheets/forms.xlsx')).subarray(0, 3000),
    code: 'workbook-damaged',
    says: ['Copy it again'],
  },
  {
    what: 'a formula without its value',
    content: xlsxOf(
      `<row>${textCell('track')}${textCell('fuel_l')}</row><row>${textCell('run2')}<c><f>2*3</f></c></row>`,
    ),
    code: 'formula-without-value',
    says: ['the first in B2', 'save it'],
    line: 2,
  },
  // Settings and the fuel log
  {
    what: 'a zone by its German name',
    content: 'time_zone: Europe/Wien\n',
    code: 'campaign-time-zone',
    says: ['Did you mean Europe/Vienna?'],
    line: 1,
  },
  {
    what: 'a zone by an abbreviation',
    content: 'title: x\ntime_zone: PT\n',
    code: 'campaign-time-zone',
    says: ['America/Los_Angeles'],
    line: 2,
  },
  {
    what: 'an offset beyond any zone',
    content: 'time_zone: UTC-15\n',
    code: 'campaign-time-zone',
    says: ['UTC-8'],
    line: 1,
  },
  {
    what: 'a fill with a date that is none',
    content: runs('date,odometer_km,liters,price', 'yesterday,1000,40,60'),
    code: 'fills-no-time',
    says: ['"yesterday"', 'a date such as'],
    line: 2,
  },
]

test('there are as many as the task asks for', () => {
  expect(SLIPS.length).toBeGreaterThanOrEqual(35)
})

describe('each slip is told in plain words, with its place and what to write', () => {
  test.each(SLIPS)('$what', async ({ content, code, says, line }) => {
    const problems = await problemsOf(content)
    const found = problems.find((problem) => problem.code === code)
    expect(found, JSON.stringify(problems)).toBeDefined()
    const told = `${found?.message} ${found?.hint ?? ''}`
    for (const part of says) expect(told).toContain(part)
    if (line !== undefined) expect(found?.line).toBe(line)
    // Of two columns that say the same nothing is lost.
    if (code !== 'runs-quantity-twice') expect(found?.severity).not.toBe('note')
  })
})
