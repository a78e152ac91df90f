import { describe, expect, it } from 'vitest'
import { readTable } from '../../src/read/table/table.ts'
import { reportSchema } from '../../src/report/contract.ts'
import { inputFile, reportOf } from '../campaign/folder.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'

/** What fuzz.mjs found, made small: each says in a line what broke. */
describe('found by spoiling the corpus', () => {
  it('a wind that drives the vehicle by itself leaves no ratio of demands, and says so', async () => {
    // Draws of the demand fell to nothing, the differences became NaN, and the report broke its own contract.
    const storm = `time,lat,lon,temperature_c,wind_speed_mps,wind_from_deg
2024-05-03T08:00Z,52.01,5,14,4,200
2024-05-03T09:00Z,52.01,5,14,95,180
2024-05-03T10:00Z,52.01,5,14,4,200
`
    const report = await reportOf(
      [
        inputFile('calm.gpx', straightTrack('2024-05-03T08:00:00Z')),
        inputFile('storm.gpx', straightTrack('2024-05-03T09:00:00Z')),
        inputFile('weather.csv', storm),
      ],
      { draws: 400 },
    )
    expect(reportSchema.safeParse(report).error).toBeUndefined()
    expect(report.pairs).toMatchObject([{ verdict: 'unknown', cause: 'missing', difference_pct: null }])
    expect(report.pairs[0].reason).toContain('the observed wind alone would drive the vehicle')
  })

  it('a table of nothing but separators is an empty one', () => {
    // Its header line is not blank and has no cell, and the first row with a cell was taken for granted.
    for (const text of [',', ';;\n', '\t\n\t\n']) {
      expect(readTable(text).problems.map(({ code }) => code)).toEqual(['table-empty'])
    }
  })

  it('1e400 is no number in any table', async () => {
    // It became Infinity, and messages spoke of "Infinity %".
    const weather = `${STEADY_WEATHER}A,2024-05-03T08:40Z,52.01,5,3,10,14,1e400,1010,4,200\n`
    const report = await reportOf(
      [inputFile('a.gpx', straightTrack('2024-05-03T08:10:00Z')), inputFile('weather.csv', weather)],
      { draws: 50 },
    )
    expect(report.problems).toContainEqual(expect.objectContaining({ code: 'weather-cell-unreadable', line: 5 }))
  })

  it('half a position off the Earth is told in words', async () => {
    // "the position 152, NaN is not on Earth"
    const weather = STEADY_WEATHER.replace('08:30Z,52.01,5', '08:30Z,152,')
    const report = await reportOf(
      [inputFile('a.gpx', straightTrack('2024-05-03T08:10:00Z')), inputFile('weather.csv', weather)],
      { draws: 50 },
    )
    const messages = report.problems.map(({ message }) => message)
    expect(messages).toContain('the position 152, not stated is not on Earth: expected degrees up to 90 and 180')
  })
})
