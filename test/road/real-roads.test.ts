import { describe, expect, it } from 'vitest'
import { folderFiles, inputFile, pairOf, reportOf } from '../campaign/folder.ts'

/** Weather made up for the test, the same all day: what is left is what two devices make of one drive. */
const SAME_WEATHER = [
  'time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg',
  ...Array.from({ length: 24 }, (_, hour) => {
    return `2019-07-28T${String(hour).padStart(2, '0')}:30Z,MADE-UP,37.39,-122.08,20,22,50,1012,2,300`
  }),
].join('\n')

// Data: rsk-twizy (see its SOURCE.md). The verdicts expected are those of its list of ready-made cases.
describe('an electric car in Rabat: fixes every 12 s, wind without direction', async () => {
  const files = folderFiles('test/data/rsk-twizy', (p) => /\/gpx\/T[13]_0[4-7]|weather/.test(p))
  const report = await reportOf(files)
  const routeOf = (id: string): string | null => report.runs.find((r) => r.id === id)?.route ?? null

  it('outbound and return are different routes, each other’s opposite', () => {
    expect(routeOf('t3-04-22-2021-1')).toBe(routeOf('t3-04-26-2021-1'))
    expect(routeOf('t3-04-22-2021-2')).toBe(routeOf('t3-04-26-2021-2'))
    expect(routeOf('t3-04-22-2021-1')).not.toBe(routeOf('t3-04-22-2021-2'))
    const back = report.routes.find((r) => r.id === routeOf('t3-04-22-2021-2'))
    expect(back?.opposite_of).toBe(routeOf('t3-04-22-2021-1'))
    expect(pairOf(report, 't3-04-22-2021-1', 't3-04-22-2021-2').verdict).toBe('not-comparable')
  })

  it.each([
    ['t3-04-22-2021-1', 't3-04-26-2021-1'],
    ['t3-04-22-2021-2', 't3-04-26-2021-2'],
  ])('%s with 0.3 m/s of wind and %s with 6.2 m/s from nobody knows where cannot be used', (a, b) => {
    // The list of cases asks for no verdict that lets them be compared; which way the wind blew would decide it.
    expect(pairOf(report, a, b).verdict).toBe('undecided')
    const flags = report.runs.find((r) => r.id === b)?.flags.map((f) => f.code)
    expect(flags).toEqual(expect.arrayContaining(['wind-direction-unknown', 'pressure-assumed']))
  })

  it('a loop that was cut short is said to be so, and the two whole ones are the same road', () => {
    expect(routeOf('t1-06-30-2021-1')).toBe(routeOf('t1-06-30-2021-2'))
    expect(report.runs.find((r) => r.id === 't1-07-01-2021')?.flags.map((f) => f.code)).toContain('part-of-route')
    expect(pairOf(report, 't1-06-30-2021-1', 't1-07-01-2021').reason).toMatch(/share only 8\d % of the road/)
  })
})

// Data: mobilitynet (see its SOURCE.md): one car, several telephones, two drives of one afternoon.
describe('one drive recorded by several telephones', async () => {
  const files = folderFiles('test/data/mobilitynet', (p) => /gpx\/suburb_city_driving_weekend_[12]__/.test(p))
  const report = await reportOf([...files, inputFile('weather.csv', SAME_WEATHER)])
  const difference = (a: string, b: string) =>
    report.recorders.find((pair) => pair.a.includes(a) && pair.b.includes(b))!.difference_pct

  it('is one drive, and both drives of the afternoon are on one road', () => {
    expect(report.runs.map(({ id }) => id.slice(-15))).toEqual(['weekend-1-ios-1', 'weekend-2-ios-1'])
    expect(new Set(report.runs.map(({ route }) => route)).size).toBe(1)
  })

  it('two that cover the road differ by no more than their noise', () => {
    const { low90, high90 } = difference('weekend_1__ios-1', 'weekend_1__android-2')
    expect(low90).toBeLessThan(0)
    expect(high90).toBeGreaterThan(0)
  })

  it('drives of one road share its profile: gains agree within 25 %, where raw ones differ threefold', () => {
    const gains = report.runs.map((r) => r.elevation_gain_m!)
    expect(Math.max(...gains) / Math.min(...gains)).toBeLessThan(1.25)
  })

  it.each(['weekend_1__ios-2', 'weekend_2__ios-2', 'weekend_1__android-3', 'weekend_1__ios-3'])(
    '%s started late and is no drive of its own',
    (id) => {
      expect(report.runs.some(({ track }) => track.includes(id))).toBe(false)
      expect(report.recordings.find(({ track }) => track.includes(id))?.pieces.map(({ kind }) => kind)).toContain(
        'drive',
      )
    },
  )

  it('the one that took its place from cell towers says little: its interval is wide', () => {
    const { low90, high90 } = difference('weekend_2__ios-1', 'weekend_2__ios-3')
    expect(high90 - low90).toBeGreaterThan(20)
  })
})
