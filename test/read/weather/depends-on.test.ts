import { describe, expect, it } from 'vitest'
import { dependenciesOf, WEATHER_KINDS, type WeatherKind } from '../../../src/read/weather/read.ts'
import { weatherReader } from '../../../src/read/weather/reader.ts'
import { WEATHER_READERS } from '../../../src/read/weather/readers.ts'

describe('what a reading depends on', () => {
  const context = { timeZone: 'UTC', fileName: 'a.txt', coverFrom: 1, coverTo: 2, coverSpans: [{ from: 1, to: 2 }] }

  it('is said by each reader: the drives for reports without a month, the clock for tables', () => {
    const of = (kind: WeatherKind) => Object.keys(dependenciesOf(kind, context))
    expect(of('isd')).toEqual([])
    expect(of('isd-lite')).toEqual(['fileName'])
    expect(of('observation-table')).toEqual(['timeZone', 'fileName', 'days'])
    expect(of('metar')).toEqual(['coverFrom', 'coverTo', 'coverSpans'])
  })

  it('is all that a reader is given: more does not compile', () => {
    const common = { kind: 'x', recognises: () => false, format: { name: 'x', holds: 'x' } }
    const value = { value: null, problems: [] }
    weatherReader({ ...common, dependsOn: ['fileName'], read: (_text, { fileName }) => (fileName ? value : value) })
    // @ts-expect-error: the drives are not among what it says it depends on
    weatherReader({ ...common, dependsOn: ['fileName'], read: (_text, { coverFrom }) => (coverFrom ? value : value) })
    // @ts-expect-error: nor is anything where it says that it depends on nothing
    weatherReader({ ...common, dependsOn: [], read: (_text, { timeZone }) => (timeZone ? value : value) })
    expect(WEATHER_READERS.length).toBe(WEATHER_KINDS.length)
  })
})
