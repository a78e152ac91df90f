import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { drawingOf } from '../../src/base/draws.ts'
import { mean, standardDeviation } from '../../src/base/statistics.ts'
import { chanceOfWet, WET_EXTRA, wetDraws, wetSpell } from '../../src/demand/wet-road.ts'

const PLACE = { latitude: 48.2, longitude: 9.1 }
const HOUR_S = 3600

const dataOf = (name: string): string => readFileSync(new URL(`../data/weather/${name}`, import.meta.url), 'utf8')

interface Hour {
  timeS: number
  temperatureC: number
  humidity: number
  rain: boolean
}

/** Bolton 1980, eq. 10: its constant cancels in a ratio. */
const humidityOf = (temperatureC: number, dewPointC: number): number =>
  Math.exp((17.67 * dewPointC) / (dewPointC + 243.5) - (17.67 * temperatureC) / (temperatureC + 243.5))

const OHARE: Hour[] = dataOf('isd-hours/725300.csv')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => {
    const [time, temperature, dewPoint, rain] = line.split(',')
    const temperatureC = Number(temperature)
    return {
      timeS: Date.parse(time) / 1000,
      temperatureC,
      humidity: humidityOf(temperatureC, Number(dewPoint)),
      rain: rain === '1',
    }
  })

/** Rain now or in the two hours before. */
const wasWet = OHARE.map(({ timeS }) =>
  OHARE.some((hour) => hour.rain && hour.timeS <= timeS && timeS - hour.timeS < 2.5 * HOUR_S),
)

const shareOf = (list: boolean[]): number => list.filter(Boolean).length / list.length

describe('the chance that a road is wet of which nobody says', () => {
  const number = (group: string): number => Number(group.replace('M', '-'))
  const reports = dataOf('metar-raw/metars_mixed_airports.txt')
    .split('\n')
    .flatMap((line) => {
      const [, temperature, dewPoint] = / (M?\d\d)\/(M?\d\d) /.exec(line) ?? []
      if (temperature === undefined || !(number(temperature) > 0)) return []
      const rain = / [-+]?(RE)?(SH|TS)?(RA|DZ)/.test(line.split(' RMK')[0])
      return [{ humidity: humidityOf(number(temperature), number(dewPoint)), rain }]
    })
  const among = <T extends { humidity: number }>(list: T[], low: number, high: number): T[] =>
    list.filter(({ humidity }) => low <= humidity && humidity < high)
  const hours = OHARE.map((hour, i) => ({ ...hour, rain: wasWet[i] })).filter(({ temperatureC }) => temperatureC > 0)

  it.each([
    [0, 0.5],
    [0.5, 0.6],
    [0.6, 0.7],
    [0.7, 0.75],
    [0.75, 0.8],
    [0.8, 0.9],
  ])('lies between what two records say at a humidity of %s to %s', (low, high) => {
    const [atOhare, elsewhere] = [among(hours, low, high), among(reports, low, high)].map((list) => ({
      share: shareOf(list.map(({ rain }) => rain)),
      count: list.length,
    }))
    const middle = chanceOfWet((Math.max(low, 0.3) + high) / 2)
    /** Two standard errors of a count. */
    const luck = ({ share, count }: { share: number; count: number }): number =>
      2 * Math.sqrt(Math.max(share * (1 - share), 1 / count) / count)
    expect(middle).toBeLessThan(Math.max(atOhare.share, elsewhere.share) + Math.max(luck(atOhare), luck(elsewhere)))
    expect(middle).toBeGreaterThan(Math.min(atOhare.share, elsewhere.share) - luck(elsewhere))
  })

  it('is about the share of all hours where nobody tells the humidity', () => {
    expect(chanceOfWet(Number.NaN)).toBeCloseTo(shareOf(hours.map(({ rain }) => rain)), 1)
  })
})

describe('a road that may be wet', () => {
  const draw = drawingOf({ draws: 4000, seed: 3 })
  /** Of the share of the land, the part of a record of one place has none. */
  const ofOneLand = (name: string): Float64Array => (name === 'road/wet/48,9' ? new Float64Array(4000) : draw(name))

  it('adds all or nothing, with the mean and spread of a Bernoulli trial times an extra', () => {
    const drawn = wetDraws(0.3, PLACE, 0, draw)
    const { value, sd } = WET_EXTRA
    // E = p·m, E² + Var = p·(m² + s²), of the log-normal extra: its mean is value·exp((sd/value)²/2).
    const m = value * Math.exp((sd / value) ** 2 / 2)
    const second = value * value * Math.exp(2 * (sd / value) ** 2)
    expect(mean(drawn) / (0.3 * m)).toBeCloseTo(1, 1)
    expect(standardDeviation(drawn) / Math.sqrt(0.3 * second - (0.3 * m) ** 2)).toBeCloseTo(1, 1)
    expect(drawn.filter((extra) => extra > 0).length / 4000).toBeCloseTo(0.3, 1)
  })

  it.each([3, 6, 12, 24])('stays wet or dry as long as the hourly record: after %s hours', (lagHours) => {
    const later = new Map(OHARE.map(({ timeS }, i) => [Math.round(timeS / HOUR_S), wasWet[i]]))
    const observed = OHARE.flatMap(({ timeS }, i) => {
      const then = later.get(Math.round(timeS / HOUR_S) + lagHours)
      return wasWet[i] && then !== undefined ? [then] : []
    })
    const drawn = [0, 3, 6, 9].flatMap((startHours) => {
      const at = (hours: number): Float64Array => wetDraws(0.2, PLACE, hours * HOUR_S, ofOneLand)
      const [now, then] = [at(startHours), at(startHours + lagHours)]
      return [...now].flatMap((extra, k) => (extra > 0 ? [then[k] > 0] : []))
    })
    // Some 30 spells of rain: their own share is known to about 0.1.
    expect(Math.abs(shareOf(drawn) - shareOf(observed))).toBeLessThan(0.2)
  })

  it('is one spell for drives of some hours, and another on another day', () => {
    expect(wetSpell(PLACE, 7200)).toBe(wetSpell({ latitude: 48.3, longitude: 9.4 }, 10_800))
    expect(wetSpell(PLACE, 7200)).not.toBe(wetSpell(PLACE, 7200 + 86_400))
  })
})
