import { beforeAll, describe, expect, it } from 'vitest'
import { plainText } from '../../src/base/sentence.ts'
import type { Report } from '../../src/report/contract.ts'
import { recorderSentences } from '../../src/report/words/drives/recorders.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'

// Data: mobilitynet (see its SOURCE.md): six trips of one car, each recorded by two to five telephones. What they differ
// by in truth is 0: they were in one car.
describe('telephones in one car, without any weather', () => {
  const tracks = folderFiles('test/data/mobilitynet', (p) => /\/gpx\/.*gpx\.gz$/.test(p))
  let report: Report
  beforeAll(async () => {
    report = await reportOf(tracks)
  })

  it('are compared with each other where they lead, and named where they do not', () => {
    const leads = report.runs.map(({ track }) => track)
    const others = new Set(report.recorders.map(({ b }) => b).filter((track) => !leads.includes(track)))
    expect(others.size + leads.length).toBe(tracks.length)
    // Six trips on two roads: six drives.
    expect(leads.length).toBe(6)
    expect(report.routes.length).toBe(2)
    for (const { run } of report.recorders) expect(report.runs.map(({ id }) => id)).toContain(run)
  })

  it('their differences have 0 in the 90 % interval in 85 to 97 % of the pairs', () => {
    const holding = report.recorders.filter(({ difference_pct: d }) => d.low90 <= 0 && d.high90 >= 0)
    expect(report.recorders.length).toBeGreaterThan(20)
    expect(holding.length / report.recorders.length).toBeGreaterThanOrEqual(0.85)
    expect(holding.length / report.recorders.length).toBeLessThanOrEqual(0.97)
  })

  it.runIf(process.env.CETERIS_TABLE)('the table of all pairs', () => {
    const rows = report.recorders.map(({ a, b, difference_pct: { mean, low90, high90 } }) => {
      const figures = [mean, low90, high90].map((pct) => pct.toFixed(1).padStart(7)).join('')
      return `${low90 <= 0 && high90 >= 0 ? 'holds 0 ' : 'does not'} ${figures}  ${a} ${b}`
    })
    console.log(['          mean   low90 high90, %', ...rows].join('\n'))
    expect(rows.length).toBeGreaterThan(20)
  })

  it('a pair that differs by more is a warning', () => {
    const apart = report.recorders.filter(({ difference_pct: d }) => d.low90 > 0 || d.high90 < 0)
    expect(report.problems.filter(({ code }) => code === 'recorders-differ').length).toBe(apart.length)
  })

  it('every recording says which drive it became', () => {
    const ids = new Set(report.runs.map(({ id }) => id))
    for (const { pieces } of report.recordings)
      for (const { kind, run } of pieces) if (kind === 'drive') expect(ids).toContain(run)
  })

  it('a sentence for each drive names its other recorders', () => {
    const texts = recorderSentences(report).map((sentence) => plainText(sentence))
    expect(texts.length).toBe(new Set(report.recorders.map(({ run }) => run)).size)
    expect(texts.join('\n')).toMatch(/was also recorded by .*ios-3\.gpx\.gz \(it differs by .* %, 90 % interval .* %\)/)
  })
})

describe('rows of runs.csv', () => {
  const trip = folderFiles('test/data/mobilitynet', (p) => /weekend_1__(ios-1|ios-2)/.test(p))
  const [first, second] = trip.map(({ path }) => path)

  it.each([first, second])('may name either recording: %s', async (named) => {
    const report = await reportOf([...trip, inputFile('runs.csv', `track,setup\n${named},bare\n`)])
    expect(report.runs.map(({ setup }) => setup)).toEqual(['bare'])
  })

  it('the second of two is told with its line', async () => {
    const report = await reportOf([...trip, inputFile('runs.csv', `track,setup\n${first},bare\n${second},bare\n`)])
    expect(report.runs.length).toBe(1)
    const problem = report.problems.find(({ code }) => code === 'row-of-second-recorder')
    expect(problem?.path).toBe('runs.csv')
    expect([2, 3]).toContain(problem?.line)
  })

  it('that give two amounts of fuel are of two vehicles', async () => {
    const rows = `track,setup,fuel_l\n${first},bare,0.4\n${second},bare,0.5\n`
    const report = await reportOf([...trip, inputFile('runs.csv', rows)])
    expect(report.runs.length).toBe(2)
    expect(report.recorders).toEqual([])
  })
})
