import { beforeAll, describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { lapRows } from '../../src/report/fuel/lap-stints.ts'
import { markdownReport } from '../../src/report/markdown.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { inputFile, reportOf } from '../campaign/folder.ts'
import { DAY_START, exampleDay, LAPS, WHOLE_DAY } from '../simulator/example-days.ts'

const weather = inputFile(
  'weather.csv',
  `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${Array.from(
    { length: 60 },
    (_, i) => `${new Date((DAY_START + 3600 * i - 3600) * 1000).toISOString()},S,47.3,8.1,400,15,60,960,2,270`,
  ).join('\n')}\n`,
)

describe('two stints of laps, of three and of five', () => {
  let report: Report
  beforeAll(async () => {
    report = await reportOf([
      inputFile('day.gpx', exampleDay(WHOLE_DAY).gpx),
      inputFile('five.gpx', exampleDay(LAPS(5), { seed: 'five', startS: DAY_START + 86_400 }).gpx),
      weather,
    ])
  })

  it('are stints with their laps, each lap once', () => {
    expect(report.lap_stints.map(({ runs }) => runs.length)).toEqual([3, 5])
    const laps = report.lap_stints.flatMap(({ runs }) => runs)
    expect(new Set(laps).size).toBe(8)
    expect(lapRows(report).filter(({ lap }) => lap !== null).length).toBe(8)
  })

  it('have the demand of their laps over their length, and one pair', () => {
    const [pair] = report.stint_pairs
    expect(report.stint_pairs.length).toBe(1)
    const meanOf = (stint: string): number => {
      const { runs } = report.lap_stints.find(({ id }) => id === stint)!
      const laps = report.runs.filter(({ id }) => runs.includes(id))
      const work = laps.reduce((sum, lap) => sum + lap.distance_m * (lap.demand.mean_j_per_m ?? Number.NaN), 0)
      return work / laps.reduce((sum, lap) => sum + lap.distance_m, 0)
    }
    // The pair judges how much of the recorded motion is noise: a few tenths of a percent.
    const plain = 100 * (meanOf(pair.b) / meanOf(pair.a) - 1)
    expect(Math.abs((pair.difference_pct?.mean ?? Number.NaN) - plain)).toBeLessThan(1)
  })

  it('are known better than a pair of their laps', () => {
    const width = ({ difference_pct: d }: { difference_pct: { low90: number; high90: number } | null }): number =>
      d ? d.high90 - d.low90 : Number.NaN
    const [a, b] = report.lap_stints.map(({ runs }) => new Set(runs))
    const between = report.pairs.filter((pair) => (a.has(pair.a) && b.has(pair.b)) || (b.has(pair.a) && a.has(pair.b)))
    expect(between.length).toBe(15)
    const widths = between.map(width).sort((x, y) => x - y)
    expect(width(report.stint_pairs[0])).toBeLessThan(widths[7])
  })

  it('stand in terminal, page and report.md', () => {
    const texts = [terminalSummary(report, { width: 100, color: false }), htmlPage(report), markdownReport(report)]
    for (const text of texts) {
      expect(text).toContain('Laps by stint')
      for (const { id } of report.lap_stints) expect(text).toContain(id)
    }
  })

  it('pairs on different roads are told on the page in a sentence, not in the table', () => {
    const page = htmlPage(report)
    expect(report.pairs.some(({ cause }) => cause === 'other-road')).toBe(true)
    expect(page).toMatch(
      /Never compared, since they are on different roads or in opposite directions: route-1 and route-2/,
    )
    expect(page).not.toContain('Different roads')
    const anchors = [...page.matchAll(/href="#(pair-[^"]+)"/g)].map(([, anchor]) => anchor)
    for (const anchor of anchors) expect(page).toContain(`id="${anchor}"`)
  })
})
