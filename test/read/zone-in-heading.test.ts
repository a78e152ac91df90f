import { describe, expect, it } from 'vitest'
import { readFillsTable } from '../../src/read/runs/fills-table.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { readCsvLog } from '../../src/read/tracks/csv-log/read.ts'
import { readObservationTable } from '../../src/read/weather/csv.ts'
import { zonedHeading } from '../../src/read/zone-in-heading.ts'

/** Offsets of abbreviations: common practice, no source; of Vienna in May by the IANA time zone database. */
const HEADINGS: [heading: string, base: string, zone: string | null][] = [
  ['time (UTC)', 'time', 'UTC'],
  ['Time [CET]', 'Time', 'UTC+1'],
  ['Zeit (MESZ)', 'Zeit', 'UTC+2'],
  ['time (Europe/Vienna)', 'time', 'Europe/Vienna'],
  ['time (UTC+5:30)', 'time', 'UTC+5:30'],
  ['UTC time', 'time', 'UTC'],
  ['Time UTC-7', 'Time', 'UTC-7'],
  ['time_pdt', 'time', 'UTC-7'],
  ['local time', 'time', 'local'],
  ['datetime_local', 'datetime', 'local'],
  ['Ortszeit', 'zeit', 'local'],
  ['time', 'time', null],
  ['date (dd/mm/yyyy)', 'date (dd/mm/yyyy)', null],
  ['time (start)', 'time (start)', null],
]

it.each(HEADINGS)('the heading "%s" is of "%s" in the zone %s', (heading, base, zone) => {
  expect(zonedHeading(heading)).toEqual({ base, zone })
})

/** 10:00 on 4 May 2026, read by a heading, with Vienna (two hours ahead of UTC) as the campaign's zone. */
const READ: [heading: string, hourUtc: number][] = [
  ['time (UTC)', 10],
  ['Time [CET]', 9],
  ['Time UTC-7', 17],
  ['time (Europe/Athens)', 7],
  ['local time', 8],
  ['time', 8],
]
const at = (hour: number): number => Date.UTC(2026, 4, 4, hour) / 1000

describe.each(READ)('a column "%s"', (heading, hour) => {
  const context = { days: [], timeZone: 'Europe/Vienna' }

  it('of drives', () => {
    const csv = `date,${heading},setup,fuel_l\n2026-05-04,10:00,bare,5\n`
    expect(readRunsTable(csv, context).value?.rows[0].when?.fromTime).toBe(at(hour))
  })

  it('of fills', () => {
    const csv = `date,${heading},odometer_km,fuel_l,full\n2026-05-04,10:00,100,5,yes\n`
    expect(readFillsTable(csv, 'Europe/Vienna').value?.rows[0].fromTime).toBe(at(hour))
  })

  it('of weather', () => {
    const csv = `${heading},temperature_c,wind_speed_mps\n2026-05-04 10:00,12,3\n`
    expect(readObservationTable(csv, { timeZone: 'Europe/Vienna', fileName: 'w.csv' }).value?.time[0]).toBe(at(hour))
  })

  it('of a log, with the day in the same column or in one of its own', () => {
    const places = [0, 1, 2].map((i) => `10:00:0${i},48.${i},16.${i}`)
    const own = `date,${heading},lat,lon\n${places.map((row) => `2026-05-04,${row}`).join('\n')}\n`
    const joined = `${heading},lat,lon\n${places.map((row) => `2026-05-04 ${row}`).join('\n')}\n`
    for (const csv of [own, joined]) {
      const { value } = readCsvLog(csv)
      // A log knows nothing of the campaign: bare and local times are read as UTC first, and marked.
      const isBare = !/UTC|CET|Athens/.test(heading)
      expect([value?.tracks[0].time[0], value?.tracks[0].zonelessTimes]).toEqual(isBare ? [at(10), 3] : [at(hour), 0])
    }
  })
})

it('a start before the header without a zone is a local one', () => {
  const csv = '# start: 2026-05-04T10:00:00\nelapsed (s),lat,lon\n0,48.1,16.1\n1,48.2,16.2\n2,48.3,16.3\n'
  expect(readCsvLog(csv).value?.tracks[0].zonelessTimes).toBe(3)
  expect(readCsvLog(csv.replace(':00\n', ':00Z\n')).value?.tracks[0].zonelessTimes).toBe(0)
})
