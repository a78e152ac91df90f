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
    const series = seriesFrom(
      file('a.csv', `${header}2024-05-03T08:00Z,A,52,5,4,200\n`),
      file('b.csv', `${header}2024-05-03T08:00Z,A,52,5,2,\n`),
    )
    expect(series.windSpeedMps[0]).toBe(2)
    expect(series.windFromDeg[0]).toBeNaN()
  })
})
