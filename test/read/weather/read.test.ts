import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Observations } from '../../../src/read/types.ts'
import { isWeatherKind, readWeather, WEATHER_KINDS, type WeatherKind } from '../../../src/read/weather/read.ts'

const file = (name: string) => readFileSync(new URL(`../../data/weather/${name}`, import.meta.url), 'latin1')
const CONTEXT = { timeZone: 'Europe/Berlin', fileName: 'weather', coverFrom: 1619424000, coverTo: 1619430000 }

const EXAMPLES: Partial<Record<WeatherKind, string>> = {
  'observation-table': file('iem-asos/measures.txt').slice(0, 2000),
  metar: file('metar-bulletins/collective.txt'),
  isd: file('isd-fixed-width/726430.txt').slice(0, 2000),
  'isd-lite': '2015 01 01 00   -83  -156 10227   260    46     0     0 -9999\n',
  'hourly-csv': 'STATION,DATE,WND,TMP\nA,2020-01-01T00:00:00,"260,5,N,0046,5","-0083,5"\n',
}
const KINDS = Object.keys(EXAMPLES) as WeatherKind[]

function expectSound(observations: Observations): void {
  const { stations, count, station, ...columns } = observations
  for (const column of Object.values(columns)) expect(column).toHaveLength(count)
  expect(station).toHaveLength(count)
  expect(new Set(stations.map(({ id }) => id)).size).toBe(stations.length)
  expect([...station].every((index) => index >= 0 && index < stations.length)).toBe(true)
  expect([...observations.time].every(Number.isFinite)).toBe(true)
}

describe('readWeather', () => {
  it.each(KINDS)('reads an example of %s into columns of one length', (kind) => {
    const { value } = readWeather(kind, EXAMPLES[kind]!, CONTEXT)
    expect(value!.count).toBeGreaterThan(0)
    expectSound(value!)
  })

  it.each(WEATHER_KINDS)('fails without throwing on text that is not %s', (kind) => {
    for (const text of ['', '\n\n', '<html><body>404</body></html>', '\0\0\0', '{"a": 1}', 'a\tb\n1\t2']) {
      const { value, problems } = readWeather(kind, text, CONTEXT)
      expect(value).toBeNull()
      expect(problems.some(({ severity }) => severity === 'error')).toBe(true)
    }
  })

  it.each(KINDS)('never throws on a %s file that is cut, doubled or scribbled over', (kind) => {
    const text = EXAMPLES[kind]!
    const place = fc.integer({ min: 0, max: text.length })
    fc.assert(
      fc.property(place, place, fc.string({ unit: 'binary', maxLength: 8 }), (from, to, scribble) => {
        const { value, problems } = readWeather(kind, text.slice(0, from) + scribble + text.slice(to), CONTEXT)
        if (value) expectSound(value)
        else expect(problems.some(({ severity }) => severity === 'error')).toBe(true)
      }),
      { numRuns: 60, seed: 1 },
    )
  })

  it('knows its kinds', () => {
    expect(KINDS.every(isWeatherKind)).toBe(true)
    expect(isWeatherKind('gpx')).toBe(false)
  })
})
