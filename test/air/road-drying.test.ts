import { describe, expect, it } from 'vitest'
import { airAlong, prepareField } from '../../src/air/field.ts'
import { dryingTimeS } from '../../src/air/road-drying.ts'
import { seriesOf } from '../../src/air/series.ts'
import { wetness } from '../../src/compare/remarks.ts'
import { readMetarText } from '../../src/read/weather/metar/metar.ts'

const HOUR_S = 3600
const START_S = Date.parse('2025-10-06T08:00:00Z') / 1000

/** Frankfurt's reports each hour, from so many hours before 8 o'clock to 10; `rainAt`: hours of light rain. */
function wetAt(hoursBefore: number, damp: boolean, rainAt: readonly number[] = []): boolean | null {
  const reports = Array.from({ length: hoursBefore + 3 }, (_, i) => {
    const hour = 8 - hoursBefore + i
    const rain = rainAt.includes(hour) ? '-RA ' : ''
    return `2025-10-06 METAR EDDF 06${String(hour).padStart(2, '0')}00Z 24004KT 9999 ${rain}BKN020 ${damp ? '12/11' : '18/06'} Q1012=`
  })
  const observations = readMetarText(reports.join('\n'), { coverFrom: START_S, coverTo: START_S + HOUR_S }).value!
  const find = () => ({ latitude: 50.03, longitude: 8.57, elevationM: 111 })
  const { series } = seriesOf([{ file: 'a.txt', observations }], [], { find } as never)
  const time = Float64Array.of(START_S, START_S + HOUR_S)
  const at = (value: number) => Float64Array.of(value, value)
  const path = { time, latitude: at(50), longitude: at(8.6), elevationM: at(110) }
  const air = airAlong(prepareField(series), 'run', path)
  return wetness(air.roadWet, air.precipitationMm, air.presentWeather, air.weatherObserved)
}

// Penman (1948): E = 0.26·(1 + 0.54·u)·(e_s − e) mm a day, hPa and m/s (from memory). At 12 °C and 2 m/s, e_s 14.0 hPa: 7.6
// mm a day into dry air, 0.03 mm an hour at 90 %; a film of 0.15 mm takes five hours then and one at 50 %.
describe('how long a wet road takes to dry', () => {
  it.each([
    { humidity: 0.5, hours: 0.95 },
    { humidity: 0.75, hours: 1.9 },
    { humidity: 0.9, hours: 4.75 },
  ])('$hours h at a humidity of $humidity', ({ humidity, hours }) =>
    expect(dryingTimeS(humidity) / HOUR_S).toBeCloseTo(hours, 1),
  )
  it('is half a day at most, in saturated air and where nobody tells', () => {
    for (const humidity of [1, 0.99, Number.NaN]) expect(dryingTimeS(humidity) / HOUR_S).toBe(12)
  })
})

describe('reports without rain', () => {
  it('show a dry road in dry air', () => expect(wetAt(1, false)).toBe(false))
  it('show nothing in damp air when they begin with the drive', () => expect(wetAt(1, true)).toBeNull())
  it('show a dry road in damp air when they reach back for long', () => expect(wetAt(8, true)).toBe(false))
  it('show nothing in damp air when it rained three hours before', () => expect(wetAt(8, true, [5])).toBeNull())
  it('show a dry road in dry air when it rained three hours before', () => expect(wetAt(8, false, [5])).toBe(false))
  it('rain on the way makes a wet road', () => expect(wetAt(8, false, [8])).toBe(true))
})
