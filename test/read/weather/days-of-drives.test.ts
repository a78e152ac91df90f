import { describe, expect, it } from 'vitest'
import { daysOfDrives, hasDatedRows } from '../../../src/read/weather/days-of-drives.ts'
import { readWeather } from '../../../src/read/weather/read.ts'
import { inputFile, reportOf } from '../../campaign/folder.ts'
import { straightTrack } from '../../cli/command.ts'

const at = (iso: string) => Date.parse(iso) / 1000
const SPANS = [{ from: at('2024-05-03T08:00:00Z'), to: at('2024-05-03T09:00:00Z') }]
const CONTEXT = { timeZone: null, fileName: 'x', coverFrom: null, coverTo: null }
/** A row every ten minutes for years, in the form of the German weather service. */
function tenMinutes(days: number, from = at('2014-12-31T00:00:00Z')): string {
  const rows = Array.from({ length: days * 144 }, (_, i) => {
    const stamp = new Date((from + i * 600) * 1000).toISOString().replace(/\D/g, '').slice(0, 12)
    return `        691;${stamp};    3;   ${(2 + (i % 60) / 10).toFixed(1)}; ${i % 360};eor`
  })
  return `STATIONS_ID;MESS_DATUM;  QN;FF_10;DD_10;eor\n${rows.join('\n')}\n`
}

describe('tables of many years', () => {
  const lines: [string, string, string][] = [
    ['GHCNh by year', 'STATION|Station_name|DATE|temperature', 'GMI0000EDDF|FRANKFURT MAIN|%-@-#T08:00:00|14'],
    [
      'GHCNh by station',
      'Station_ID|Station_name|Year|Month|Day|Hour|Minute|temperature',
      'GMI0000EDDF|FRANKFURT MAIN|%|@|#|08|00|14',
    ],
    ['SMHI', 'Datum;Tid (UTC);Lufttemperatur;Kvalitet', '%-@-#;08:00:00;14.0;G'],
    ['IEM', 'station,valid,tmpf', 'CVG,%-@-# 08:52,57'],
    ['Global Hourly', '"STATION","DATE","TMP"', '"72421093814","%-@-#T08:52:00","+0140,1"'],
    ['MeteoSwiss', 'station_abbr;reference_timestamp;tre200s0', 'BER;#.@.% 08:00;14.2'],
  ]
  it.each(lines)('%s: the days about a drive stay, at their lines', (_, header, row) => {
    const days = Array.from({ length: 60 }, (_, i) =>
      new Date(Date.UTC(2024, 3, 5 + i)).toISOString().slice(0, 10).split('-'),
    )
    const text = [
      header,
      ...days.map(([year, month, day]) => row.replace('%', year).replace('@', month).replace('#', day)),
    ].join('\n')
    expect(hasDatedRows(text)).toBe(true)
    const kept = daysOfDrives(text, SPANS).split('\n')
    expect(kept).toHaveLength(61)
    expect(kept[0]).toBe(header)
    // 3 May is the 29th row; two days before and after it stay.
    expect(kept.flatMap((line, i) => (line === '' || i === 0 ? [] : [i]))).toEqual([27, 28, 29, 30, 31])
  })

  it('give the same observations of those days as the whole table', () => {
    const text = tenMinutes(30, at('2024-04-20T00:00:00Z'))
    const whole = readWeather('observation-table', text, CONTEXT).value!
    const near = readWeather('observation-table', daysOfDrives(text, SPANS), CONTEXT).value!
    expect(near.count).toBe(5 * 144)
    const first = whole.time.indexOf(near.time[0])
    expect([...near.windSpeedMps]).toEqual([...whole.windSpeedMps.slice(first, first + near.count)])
  })

  it('are left whole where nobody drove, and where rows begin otherwise', () => {
    const text = tenMinutes(2)
    expect(daysOfDrives(text, [])).toBe(text)
    expect(daysOfDrives('a,b\n1,2\n3,4\n5,6\n', SPANS)).toBe('a,b\n1,2\n3,4\n5,6\n')
  })

  it('of ten years of ten minutes are used in a report', async () => {
    const list = 'station,lat,lon,elevation_m\n691,52.01,5.0,3\n'
    const air = 'time,station,lat,lon,temperature_c\n2024-05-03T08:00Z,A,52,5,14\n2024-05-03T09:00Z,A,52,5,14\n'
    const report = await reportOf(
      [
        inputFile('a.gpx', straightTrack('2024-05-03T08:10:00Z')),
        inputFile('wind.txt', tenMinutes(3650)),
        inputFile('stations.csv', list),
        inputFile('air.csv', air),
      ],
      { draws: 50 },
    )
    expect(report.problems.filter(({ severity }) => severity === 'error')).toEqual([])
    expect(report.runs[0].air.stations.map(({ id }) => id)).toContain('691')
  })
})
