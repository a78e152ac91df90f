import { describe, expect, it } from 'vitest'
import { type Area, daySpans } from '../../src/fetch/cells.ts'
import { chooseStations } from '../../src/fetch/choose.ts'
import type { Candidate } from '../../src/fetch/types.ts'

const SPAN = { fromS: 1e9, toS: 1e9 + 86_400 }
const AREA: Area = { cells: [{ latitude: 50.125, longitude: 8.125, elevationM: 100 }], spans: [SPAN], hours: [SPAN] }

const station = (id: string, latitude: number, longitude: number, more: Partial<Candidate> = {}): Candidate => ({
  service: 'iem',
  id,
  name: id,
  latitude,
  longitude,
  elevationM: 100,
  alias: null,
  since: Number.NEGATIVE_INFINITY,
  until: Number.POSITIVE_INFINITY,
  ...more,
})

const chosenOf = (candidates: Candidate[], there: Candidate[] = []): string[] =>
  chooseStations(AREA, candidates, there).map(({ station: { id } }) => id)

describe('stations are chosen by what they add', () => {
  it('the nearest first, and the second where it is not beside the first', () => {
    // B is nearer to the road than C, but stands beside A; C stands on the other side of the road.
    const chosen = chosenOf([station('A', 50.3, 8.125), station('B', 50.33, 8.13), station('C', 49.9, 8.125)])
    expect(chosen.slice(0, 2)).toEqual(['A', 'C'])
  })

  it('one on a mountain is worth less than one farther off at the height of the road', () => {
    const chosen = chosenOf([station('M', 50.2, 8.125, { elevationM: 1100 }), station('V', 50.4, 8.125)])
    expect(chosen[0]).toBe('V')
  })

  it('one report seen through two services is one station, the better service counting', () => {
    const seen = [
      station('GMI0000EDDF', 50.2, 8.1, { service: 'ghcnh', alias: 'EDDF' }),
      station('EDDF', 50.24, 8.14, { alias: 'EDDF' }),
    ]
    expect(chosenOf(seen)).toEqual(['EDDF'])
    const masts = [station('EDDX', 50.2, 8.1), station('01420', 50.201, 8.101, { service: 'dwd' })]
    expect(chosenOf(masts)).toEqual(['01420'])
  })

  it('what is there already counts, and is not asked for again', () => {
    const A = station('A', 50.13, 8.13)
    expect(chosenOf([A, station('B', 50.7, 8.1)], [A])).toEqual([])
  })

  it('from beyond 100 km only where none is nearer, none from beyond 300 km, none that did not observe in those days', () => {
    const far = station('far', 51.2, 8.125)
    const old = station('old', 50.2, 8.125, { until: 9e8 })
    expect(chosenOf([far, station('near', 50.2, 8.125)])).toEqual(['near'])
    expect(chosenOf([far, old])).toEqual(['far'])
    expect(chosenOf([station('too far', 53.2, 8.125), old])).toEqual([])
  })

  it('each tells what it does to the doubt about the wind, which never grows', () => {
    const chosen = chooseStations(
      AREA,
      [station('A', 50.3, 8.125), station('C', 49.7, 8.6), station('D', 50.1, 7.3)],
      [],
    )
    for (const { beforeMps, withMps } of chosen.slice(1)) expect(withMps).toBeLessThan(beforeMps)
    // One station: the wind's variance between it and the road, as air/blend.ts has it, at the distance of 19.5 km.
    expect(chosen[0].withMps).toBeCloseTo(Math.sqrt(0.09 + 4e-5 * chosen[0].distanceM), 6)
    expect(chosen[0].distanceM / 1000).toBeCloseTo(19.5, 0)
  })
})

it('days near each other are asked for in one go, and never the same day twice', () => {
  const at = (from: string, to: string) => ({ fromS: Date.parse(from) / 1000, toS: Date.parse(to) / 1000 })
  const spans = daySpans([
    at('2026-05-03T08:00Z', '2026-05-03T10:00Z'),
    at('2026-05-04T23:00Z', '2026-05-05T01:00Z'),
    at('2026-06-20T08:00Z', '2026-06-20T09:00Z'),
  ])
  const days = spans.map(({ fromS, toS }) => [fromS, toS].map((s) => new Date(1000 * s).toISOString().slice(0, 10)))
  expect(days).toEqual([
    ['2026-05-03', '2026-05-06'],
    ['2026-06-20', '2026-06-21'],
  ])
})
