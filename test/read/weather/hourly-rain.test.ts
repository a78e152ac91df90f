import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { Observations } from '../../../src/read/types.ts'
import { readObservationTable } from '../../../src/read/weather/csv.ts'
import { readMetarText } from '../../../src/read/weather/metar/metar.ts'

const NO_TRACKS = { coverFrom: null, coverTo: null }

/** The reports as they were sent, in front of each the date of the archive's record that carries it. */
function sentReports(station: string): { date: string; report: string }[] {
  const text = readFileSync(new URL(`../../data/weather/isd-fixed-width/${station}.txt`, import.meta.url), 'utf8')
  return text.split('\n').flatMap((line) => {
    const report = /(?:METAR|SPECI) [^=]*/
      .exec(line.slice(105))?.[0]
      .replace(/EQD[A-Z]\d\d.*| \([A-Z]{2,3}\).*/, '')
      .replace(/\s+/g, ' ')
      .trim()
    const [year, month, day, hour, minute] = [15, 19, 21, 23, 25].map((at, i) => line.slice(at, at + (i === 0 ? 4 : 2)))
    return report ? [{ date: `${year}-${month}-${day} ${hour}:${minute}`, report }] : []
  })
}

function fallen({ time, precipitationMm }: Observations, afterS: number, untilS: number): number {
  return [...precipitationMm].reduce(
    (sum, mm, i) => sum + (time[i] > afterS && time[i] <= untilS && mm > 0 ? mm : 0),
    0,
  )
}

describe('running hourly totals', () => {
  // The group 6RRRR of the same reports: rain of the last 6 hours (at the hours of 00, 06, 12, 18 UTC) or 3 hours,
  // hundredths of an inch; an independent sum by the station itself. US Federal Meteorological Handbook No. 1, 12.7.3
  // (from memory). Specials repeat the hour's total: plainly added, 32 of these 46 sums were wrong, by up to 18.8 mm.
  it('of real hourly and special reports add up to the 3- and 6-hour totals that the station sent', () => {
    const sums = ['725300', '726430'].flatMap((station) => {
      const sent = sentReports(station)
      const { value } = readMetarText(sent.map(({ date, report }) => `${date} ${report}`).join('\n'), NO_TRACKS)
      return sent.flatMap(({ date, report }) => {
        const total = / 6(\d{4})(?: |$)/.exec(report.slice(report.indexOf('RMK')))
        if (!report.startsWith('METAR') || total === null) return []
        const end = Date.parse(`${date.replace(' ', 'T')}Z`) / 1000
        const hours = [5, 11, 17, 23].includes(new Date(end * 1000).getUTCHours()) ? 6 : 3
        const wantMm = Number(total[1]) * 0.254
        return [{ date, unlike: Math.abs(fallen(value!, end - hours * 3600, end) - wantMm) > 0.001 }]
      })
    })
    expect(sums).toHaveLength(46)
    // Here the station's own hourly totals of snow add up to 10 hundredths, and its 6-hour total says 9.
    expect(sums.filter(({ unlike }) => unlike).map(({ date }) => date)).toEqual(['2014-01-01 17:51'])
  })

  // Invented, in the form of the Iowa Environmental Mesonet's answers with 5-minute reports: 0.02 in fall from 08:10 to
  // 08:20 and 0.01 in at 09:05; the routine report of the hour is that of minute 52.
  it('of 5-minute reports are not added up', () => {
    const minutes = Array.from({ length: 24 }, (_, i) => 480 + 5 * i).concat(8 * 60 + 52, 9 * 60 + 52)
    const total = (minute: number): number => {
      if (minute > 9 * 60 + 52) return 0
      if (minute > 8 * 60 + 52) return minute >= 545 ? 0.01 : 0
      return minute >= 500 ? 0.02 : minute >= 490 ? 0.01 : 0
    }
    const rows = minutes
      .sort((a, b) => a - b)
      .map(
        (m) =>
          `KXYZ\t2024-05-03 ${String(Math.floor(m / 60)).padStart(2, '0')}:${String(m % 60).padStart(2, '0')}\t59.00\t${total(m).toFixed(2)}`,
      )
    const text = `station\tvalid(UTC)\ttmpf\tp01i\n${rows.join('\n')}\n`
    const { value } = readObservationTable(text, { timeZone: null, fileName: 'x' })
    expect(fallen(value!, 0, Number.POSITIVE_INFINITY)).toBeCloseTo(0.03 * 25.4, 9)
  })

  it('of one report an hour count whole, as does rain that is not such a total', () => {
    const table = (column: string) =>
      `time,station,temperature_c,${column}\n2024-05-03T08:20Z,A,14,2\n2024-05-03T09:20Z,A,14,2\n2024-05-03T09:20Z,B,14,2\n`
    const sum = (column: string) =>
      fallen(readObservationTable(table(column), { timeZone: null, fileName: 'x' }).value!, 0, Number.POSITIVE_INFINITY)
    expect(sum('p01m')).toBe(6)
    expect(sum('precipitation_mm')).toBe(6)
    const often = 'time,temperature_c,precipitation_mm\n2024-05-03T08:20Z,14,2\n2024-05-03T08:25Z,14,2\n'
    const { value } = readObservationTable(often, { timeZone: null, fileName: 'x' })
    expect([...value!.precipitationMm]).toEqual([2, 2])
  })

  it('sent again for the same minute take nothing away', () => {
    const text =
      '2024-05-03 08:20 KXYZ 030820Z 18005KT 14/09 A2990 RMK P0003\n2024-05-03 08:20 KXYZ 030820Z COR 18005KT 14/09 A2990 RMK P0003\n'
    const { value } = readMetarText(text, NO_TRACKS)
    expect(value?.precipitationMm.at(-1)).toBeCloseTo(0.762, 9)
  })
})
