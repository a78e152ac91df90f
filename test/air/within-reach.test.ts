import { describe, expect, it } from 'vitest'
import { airAlong, prepareField } from '../../src/air/field.ts'
import { reportsAbout } from '../../src/air/reports-about.ts'
import { seriesOf } from '../../src/air/series.ts'
import { withinTimeReach } from '../../src/air/within-reach.ts'
import type { Observations } from '../../src/read/types.ts'
import { readObservationTable } from '../../src/read/weather/csv.ts'

const DAY = Date.UTC(2024, 4, 3) / 1000
const DRIVES = [
  { from: DAY + 8 * 3600, to: DAY + 8.5 * 3600 },
  { from: DAY + 86_400 + 17 * 3600, to: DAY + 86_400 + 18 * 3600 },
]

/** Ten days of two stations and a logger in the car, each with reports at intervals and with gaps of its own. */
function tenDays(): Observations[] {
  const at = (minute: number) => new Date((DAY - 4 * 86_400 + minute * 60) * 1000).toISOString()
  const value = (minute: number, step: number) => (12 + 6 * Math.sin(minute / 220) + (minute % 7) / 10).toFixed(step)
  const rows = (every: number, row: (minute: number) => string) =>
    Array.from({ length: Math.floor(14_400 / every) }, (_, i) => row(i * every)).join('\n')
  const placed = (id: string, latitude: number, every: number) =>
    `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,wind_speed_mps,wind_from_deg,metar\n${rows(
      every,
      // Wind, temperature and the report itself are missing now and then, each at its own interval.
      (m) =>
        `${at(m)},${id},${latitude},5,3,${m % 11 === 0 ? '' : value(m, 1)},${m % 5 === 0 ? '' : 70},${m % 13 === 0 ? '' : 4 + (m % 9) / 10},${m % 360},${m % 3 === 0 ? 'KXYZ 010000Z 18005KT 14/09 RMK T01400090' : ''}`,
    )}`
  const logger = `time,temperature_c\n${rows(7, (m) => `${at(m)},${value(m, 2)}`)}`
  return [placed('A', 52.1, 29), placed('B', 52.4, 97), placed('C', 52.6, 173), logger].map(
    (text, i) => readObservationTable(text, { timeZone: null, fileName: `${i}.csv` }).value!,
  )
}

const fieldOf = (files: Observations[]) => {
  const { series } = seriesOf(
    files.map((observations, i) => ({ file: `${i}.csv`, observations })),
    [],
    { find: () => null },
  )
  return prepareField(series)
}

describe('observations beyond the reach of every drive', () => {
  it('change nothing: the air of each drive is the same without them', () => {
    const files = tenDays()
    const near = files.map((observations) => withinTimeReach(observations, DRIVES))
    expect(near.every(({ leftAside, observations }) => leftAside > observations.count)).toBe(true)
    for (const { from, to } of DRIVES) {
      const time = Float64Array.from({ length: 30 }, (_, i) => from + (i * (to - from)) / 29)
      const path = {
        time,
        latitude: time.map(() => 52),
        longitude: time.map(() => 5),
        elevationM: time.map(() => 10),
      }
      const air = (all: Observations[]) => airAlong(fieldOf(all), 'run', path)
      expect(air(near.map(({ observations }) => observations))).toEqual(air(files))
    }
  })

  it('are counted, and of each station the first stays, so that it is still known where it is', () => {
    const text = (times: string[]) =>
      `time,station,lat,lon,temperature_c\n${times.map((t) => `${t},A,52,5,14`).join('\n')}`
    const read = (times: string[]) => readObservationTable(text(times), { timeZone: null, fileName: 'a' }).value!
    const far = withinTimeReach(read(['2023-01-01T08:00Z', '2023-01-02T08:00Z', '2025-01-02T08:00Z']), DRIVES)
    expect([far.leftAside, far.observations.count]).toEqual([2, 1])
    expect(far.observations.time[0]).toBe(Date.UTC(2023, 0, 1, 8) / 1000)
    expect(far.observations.stations).toHaveLength(1)
  })

  it('are all kept where nobody drove', () => {
    const [observations] = tenDays()
    expect(withinTimeReach(observations, [])).toEqual({ observations, leftAside: 0 })
  })
})

describe('the reports that bear on a drive', () => {
  const seriesIn = (files: Observations[]) =>
    seriesOf(
      files.map((observations, i) => ({ file: `${i}.csv`, observations })),
      [],
      { find: () => null },
    ).series

  it('are the same whatever other drives a campaign holds', () => {
    const files = tenDays()
    const [{ from, to }] = DRIVES
    const near = (drives: typeof DRIVES) =>
      seriesIn(files.map((observations) => withinTimeReach(observations, drives).observations))
    const alone = reportsAbout(near(DRIVES.slice(0, 1)), from, to)
    expect(alone.length).toBeGreaterThan(20)
    expect(reportsAbout(near(DRIVES), from, to)).toEqual(alone)
    expect(reportsAbout(seriesIn(files), from, to)).toEqual(alone)
  })

  it('are another when any report changes that changes its air', () => {
    const [observations, ...others] = tenDays()
    const [{ from, to }] = DRIVES
    const time = Float64Array.from({ length: 30 }, (_, i) => from + (i * (to - from)) / 29)
    const path = { time, latitude: time.map(() => 52), longitude: time.map(() => 5), elevationM: time.map(() => 10) }
    const airOf = (files: Observations[]) => JSON.stringify(airAlong(fieldOf(files), 'run', path))
    const reportsOf = (files: Observations[]) => JSON.stringify(reportsAbout(seriesIn(files), from, to))
    const [air, reports] = [airOf([observations, ...others]), reportsOf([observations, ...others])]
    let changes = 0
    for (let row = 0; row < observations.count; row++) {
      if (Math.abs(observations.time[row] - from) > 43_200) continue
      const temperatureK = observations.temperatureK.map((k, i) => (i === row ? k + 3 : k))
      const changed = [{ ...observations, temperatureK }, ...others]
      if (airOf(changed) === air) continue
      changes++
      expect(reportsOf(changed)).not.toBe(reports)
    }
    expect(changes).toBeGreaterThan(1)
  })
})
