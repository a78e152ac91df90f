import { describe, expect, it } from 'vitest'
import { seriesOf } from '../../src/air/series.ts'
import { readObservationTable } from '../../src/read/weather/csv.ts'

const file = (name: string, text: string) => ({
  file: name,
  observations: readObservationTable(text, { timeZone: null, fileName: name }).value!,
})
const seriesFrom = (...files: ReturnType<typeof file>[]) => {
  const { series, problems } = seriesOf(files, [], { find: () => null })
  expect(problems).toEqual([])
  expect(series).toHaveLength(1)
  return series[0]
}

describe('reports of one station and moment', () => {
  it('in several files each say what the others leave out', () => {
    const air = file('air.csv', 'time,station,lat,lon,temperature_c\n2024-05-03T08:00Z,A,52,5,14\n')
    const wind = file('wind.csv', 'time,station,lat,lon,wind_speed_mps,wind_from_deg\n2024-05-03T08:00Z,A,52,5,4,200\n')
    for (const order of [
      [air, wind],
      [wind, air],
    ]) {
      const series = seriesFrom(...order)
      expect(series.time).toHaveLength(1)
      expect(series.temperatureK[0]).toBeCloseTo(287.15, 9)
      expect([series.windSpeedMps[0], series.windFromDeg[0]]).toEqual([4, 200])
      expect(series.files).toEqual(['air.csv', 'wind.csv'])
    }
  })

  it('in one file: the last one stands, as a correction does, with all that it leaves out', () => {
    const header = 'time,station,lat,lon,temperature_c,wind_speed_mps,wind_from_deg\n'
    const series = seriesFrom(
      file('a.csv', `${header}2024-05-03T08:00Z,A,52,5,14,4,200\n2024-05-03T08:00Z,A,52,5,15,,\n`),
    )
    expect(series.temperatureK[0]).toBeCloseTo(288.15, 9)
    expect(series.windSpeedMps[0]).toBeNaN()
  })

  it('never lend their direction to the speed of another', () => {
    const header = 'time,station,lat,lon,wind_speed_mps,wind_from_deg\n'
    const files = [
      file('a.csv', `${header}2024-05-03T08:00Z,A,52,5,4,200\n`),
      file('b.csv', `${header}2024-05-03T08:00Z,A,52,5,2,\n`),
    ]
    const [series] = seriesOf(files, [], { find: () => null }).series
    expect(series.windSpeedMps[0]).toBe(2)
    expect(series.windFromDeg[0]).toBeNaN()
  })

  const header = 'time,station,lat,lon,elevation_m,temperature_c,wind_speed_mps,wind_from_deg\n'
  const problemsOf = (...rows: [string, string]) =>
    seriesOf(
      rows.map((row, i) => file(`${'ab'[i]}.csv`, `${header}2024-05-03T08:00Z,A,52,5,10,${row}\n`)),
      [],
      { find: () => null },
    ).problems

  it('that contradict each other in two files are told, with the file that counts', () => {
    const [problem, ...others] = problemsOf('14,4,200', '57.2,4,200')
    expect(others).toEqual([])
    expect([problem.code, problem.severity, problem.file]).toEqual(['station-contradicted', 'warning', 'b.csv'])
    expect(problem.message).toContain('a.csv')
    expect(problem.message).toContain('57.2 °C, 4.0 m/s, from 200° and 14.0 °C')
  })

  it.each([
    // WMO-No. 306, FM 15: a METAR gives whole degrees, knots, and tens of degrees.
    ['rounding', '14,4.12,200', '14.4,4.3,204'],
    ['a direction across north', '14,4,359', '14,4,1'],
    ['what one does not tell', '14,,', '14,4,200'],
  ])('do not contradict each other by %s', (_, a, b) => {
    expect(problemsOf(a, b)).toEqual([])
  })
})
