import { describe, expect, it } from 'vitest'
import type { Report } from '../../src/report/contract.ts'
import { type Doing, simulateDay } from '../simulator/day.ts'
import { gpxText } from '../simulator/device.ts'
import { type Road, simulateRoad } from '../simulator/road.ts'
import { inputFile, reportOf } from './folder.ts'

/** Stands and ferries within a drive: suggested with the cell to write, and cut out where it is written. */
const START_S = Date.UTC(2026, 4, 12, 7) / 1000
const road = (seed: string, from: Road | null, settings: Partial<Parameters<typeof simulateRoad>[0]> = {}): Road => {
  const [latitudeDeg, longitudeDeg] = from
    ? [from.latitude[from.count - 1], from.longitude[from.count - 1]]
    : [47.3, 8.1]
  return simulateRoad({ seed, shape: 'one-way', lengthM: 12_000, latitudeDeg, longitudeDeg, ...settings })
}
const there = road('stops', null)
const on = road('stops on', there)
const stand = (restS: number): Doing => ({ restS, logger: 'on' })
const withStand = (restS: number): Doing[] => [{ roads: [{ road: there }] }, stand(restS), { roads: [{ road: on }] }]
const WITHOUT_STAND: Doing[] = [{ roads: [{ road: there }, { road: on }] }]

const weather = inputFile(
  'weather.csv',
  `time,station,lat,lon,elevation_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${Array.from(
    { length: 60 },
    (_, i) => `${new Date((START_S + 3600 * i - 3600) * 1000).toISOString()},S,47.3,8.1,400,15,60,960,2,270`,
  ).join('\n')}\n`,
)

/** Of two days on one road, the first of which is asked about. */
async function firstOf(
  days: Doing[][],
  yaml: string,
  row: Record<string, string> = {},
): Promise<Report['runs'][number]> {
  const tracks = days.map((day, i) => {
    const { fixes } = simulateDay(day, { seed: `stops ${i}`, startS: START_S + 86_400 * i })
    return inputFile(`d${i}.gpx`, gpxText(fixes, 'd'))
  })
  const columns = Object.keys(row)
  const table = `${['track', ...columns].join()}\n${['d0.gpx', ...columns.map((column) => row[column])].join()}\n`
  const files = [...tracks, weather, inputFile('campaign.yaml', yaml), inputFile('runs.csv', table)]
  const { runs } = await reportOf(files, { draws: 100 })
  const run = runs.find(({ track }) => track === 'd0.gpx')
  if (!run) throw new Error(runs.map(({ track }) => track).join())
  return run
}

const flagOf = (run: Report['runs'][number], code: string) => run.flags.find((flag) => flag.code === code)
const windowIn = (message: string | undefined): string =>
  /\d\d:\d\d:\d\dZ-\d\d:\d\d:\d\dZ/.exec(message ?? '')?.[0] ?? ''

describe('an electric car that charges for 25 minutes on the way', () => {
  const days = [withStand(1500), WITHOUT_STAND]
  const yaml = 'vehicle: { powertrain: electric }\n'

  it('is told the window to cut out, and cut out it takes no time and no energy', async () => {
    const whole = await firstOf(days, yaml)
    const flag = flagOf(whole, 'may-be-charging')
    const without = windowIn(flag?.message)
    const cut = await firstOf(days, yaml, { without })
    expect(flagOf(cut, 'may-be-charging')).toBeUndefined()
    // The drivers stand up to 40 s before they set off and 30 s at the end (simulator), which belongs to the stand.
    expect(whole.duration_s - cut.duration_s).toBeGreaterThan(1490)
    expect(whole.duration_s - cut.duration_s).toBeLessThan(1580)
    expect(Math.abs(cut.distance_m - whole.distance_m)).toBeLessThan(40)
    // The electronics may have been on in the stand: that energy is gone.
    expect(cut.demand.mean_j_per_m).toBeLessThan(whole.demand.mean_j_per_m ?? 0)
  })

  it('a wait of 5 minutes is no charging', async () => {
    const run = await firstOf([withStand(300), WITHOUT_STAND], yaml)
    expect(flagOf(run, 'may-be-charging')).toBeUndefined()
    expect(flagOf(run, 'long-stand-electric')?.message).toMatch(/taken to be switched off/)
  })
})

describe('a petrol car that stands for 10 minutes', () => {
  const days = [withStand(600), WITHOUT_STAND]
  const yaml = 'vehicle: { powertrain: petrol }\n'

  it('is told what idling would cost, which is in the interval until runs.csv says', async () => {
    const silent = await firstOf(days, yaml)
    const flag = flagOf(silent, 'long-stand')
    const off = await firstOf(days, yaml, { engine_off: windowIn(flag?.message) })
    const idled = await firstOf(days, yaml, { engine_off: 'no' })
    expect(flagOf(off, 'long-stand')).toBeUndefined()
    const more = (idled.demand.mean_j_per_m ?? 0) / (off.demand.mean_j_per_m ?? 0) - 1
    expect(flag?.figures?.share).toBeGreaterThan(0)
    expect(Math.abs((flag?.figures?.share ?? 0) - more)).toBeLessThan(0.1 * more)
    expect(silent.demand.sd_pct).toBeGreaterThan(off.demand.sd_pct ?? 0)
  })

  it('and at a light of 2 minutes it idles, without a word', async () => {
    const run = await firstOf([withStand(120), WITHOUT_STAND], yaml)
    expect(run.flags.filter(({ code }) => /stand$/.test(code))).toEqual([])
  })
})

describe('a ferry on the way, in a recording that is kept whole', () => {
  const ferry = road('ferry', there, {
    lengthM: 3000,
    straightCourseDeg: 90,
    limitMps: 5,
    gradeSd: 0,
    interruptions: false,
  })
  const beyond = road('beyond', ferry)
  const days: Doing[][] = [
    [{ roads: [{ road: there }] }, stand(400), { ferry }, stand(200), { roads: [{ road: beyond }] }],
  ]

  it('is suggested, and cut out it is no distance', async () => {
    const whole = await firstOf(days, 'title: ferry\n', { split: 'no' })
    const cut = await firstOf(days, 'title: ferry\n', {
      split: 'no',
      without: windowIn(flagOf(whole, 'may-be-ferry')?.message),
    })
    expect(flagOf(cut, 'may-be-ferry')).toBeUndefined()
    expect(Math.abs(whole.distance_m - cut.distance_m - 3000)).toBeLessThan(60)
  })
})
