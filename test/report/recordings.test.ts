import { beforeAll, describe, expect, it } from 'vitest'
import { plainText } from '../../src/base/sentence.ts'
import type { Report } from '../../src/report/contract.ts'
import { stintsCsv } from '../../src/report/fuel/stints.ts'
import { markdownReport } from '../../src/report/markdown.ts'
import { driveAnchor, linkTo } from '../../src/report/page/anchors.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { driveList, recordingWords, stripText } from '../../src/report/words/drives/recordings.ts'
import { inputFile, reportOf } from '../campaign/folder.ts'
import { exampleDay, HOME, WHOLE_DAY } from '../simulator/example-days.ts'

let report: Report
beforeAll(async () => {
  const rows = 'track,setup,fuel_l\nday.gpx@1022.1-3,base,0.9\n'
  report = await reportOf([
    inputFile('day.gpx', exampleDay(WHOLE_DAY).gpx),
    inputFile('runs.csv', rows),
    inputFile('campaign.yaml', 'time_zone: Europe/Vienna\n'),
  ])
})

describe('a divided recording', () => {
  it('is told in a line: how many drives and laps, what else was driven, how long it stood', () => {
    const words = plainText(recordingWords(report.recordings[0], report))
    // From the doings of the day: seven drives, 6 km to the road and 6 km home; Vienna is two hours ahead of UTC.
    expect(words).toMatch(/^day\.gpx, 2026-05-12 09:00 to 10:37: 7 drives, 3 of them laps; 12\.0 km of other driving, /)
    // Rests of 300, 360, 240, 300 and 1800 s, and the seconds before the car moves.
    const [, minutes] = /(\d+) min of stops$/.exec(words) ?? []
    expect(Number(minutes)).toBeGreaterThanOrEqual(50)
    expect(Number(minutes)).toBeLessThan(55)
  })

  it('is a strip in which every drive can be counted', () => {
    const strip = stripText(report.recordings[0], 96)
    expect(strip).toHaveLength(98)
    expect(strip.split('|')).toHaveLength(8)
    expect(strip).toMatch(/^\[-+\.+\|=+\.+\|.*-+\]$/)
  })

  it('has its laps as one in the list of its drives', () => {
    expect(plainText(driveList(report.recordings[0], report))).toMatch(
      /^(@\d{4} [78]\.\d km, ){4}@1022\.1-3 1[45]\.\d km$/,
    )
  })

  it('stands in the terminal, in Markdown and on the page, with links from its drives', () => {
    const terminal = terminalSummary(report, { width: 100, color: false })
    expect(terminal).toContain('\nRecordings\nday.gpx, 2026-05-12 09:00 to 10:37')
    expect(markdownReport(report)).toContain('## Recordings\n\n- day.gpx, 2026-05-12')
    const page = htmlPage(report)
    for (const { id } of report.runs) {
      expect(page).toContain(`<a href="${linkTo(driveAnchor(id))}"`)
      expect(page.split(`id="${driveAnchor(id)}"`)).toHaveLength(2)
    }
    expect(page).toContain('09:00 to 09:04 other driving; ')
    expect(page).toContain('ends of a recording outside its drives are not shown')
  })

  it('shows no place of other driving', () => {
    const near = (lat: number, lon: number): boolean =>
      Math.hypot((lat - HOME.lat) * 111_200, (lon - HOME.lon) * 111_200 * Math.cos((lat * Math.PI) / 180)) < 3000
    expect(report.routes.flatMap(({ outline }) => outline).filter(([lon, lat]) => near(lat, lon))).toEqual([])
  })
})

describe('stints', () => {
  it('have their fuel per 100 km in terminal, Markdown, page and table', () => {
    const [stint] = report.stints
    // 0.9 l over three laps of 5 km are 6 l/100 km; the laps are found within 50 m at either end.
    expect(Math.abs((stint.consumption?.per_100_km ?? 0) - 6)).toBeLessThan(0.06)
    const shown = `${stint.consumption?.per_100_km.toFixed(2)} l/100 km`
    expect(terminalSummary(report, { width: 100, color: false })).toContain(shown)
    expect(markdownReport(report)).toContain('## Stints')
    expect(htmlPage(report)).toContain('<h2 id="stints">')
    expect(stintsCsv(report).split('\r\n')[1]).toMatch(/^day-1022-1 to day-1022-3,base,3,1[45]\d{3}/)
  })
})
