import { describe, expect, it } from 'vitest'
import { type Report, reportSchema } from '../../src/report/contract.ts'
import { randomOf } from '../simulator/random.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'

const START = Date.parse('2026-05-04T06:00:00Z') / 1000
/** UN GTR 15's default road load: 1500 kg, 1.8 m by 1.45 m; N and N/(m/s)² at 20 °C and 100 kPa. */
const F0 = 0.14 * 1500
const F2 = 2.8e-6 * 1500 * 1.8 * 1.45 * 3.6 ** 2
const HEADINGS = [70, 250, 70, 250, 70, 250, 70, 250]

/** A log of one coast-down by the textbook's equation, on a road with a slope of 0.15 % and in a wind of 2 m/s at the vehicle from the west. */
function log(i: number, hz: number): string {
  const random = randomOf(`coast/${i}`)
  const heading = (HEADINGS[i] * Math.PI) / 180
  const slope = HEADINGS[i] < 180 ? 0.0015 : -0.0015
  const rows = ['time_utc,lat,lon,speed_kmh']
  const stepS = 0.02
  let [v, east, north, gust] = [32, 0, 0, 0]
  for (let step = 0; v > 6; step++) {
    gust = 0.996 * gust + 0.5 * Math.sqrt(1 - 0.996 ** 2) * random.normal()
    if (step % Math.round(1 / hz / stepS) === 0) {
      const time = new Date(1000 * (START + 600 * i + step * stepS)).toISOString()
      const [lat, lon] = [48 + north / 111_200, 9 + east / (111_320 * Math.cos((48 * Math.PI) / 180))]
      rows.push(`${time},${lat.toFixed(7)},${lon.toFixed(7)},${(3.6 * (v + 0.03 * random.normal())).toFixed(1)}`)
    }
    const air = v - 2 * Math.sin(heading) - gust
    v -= ((F0 + F2 * air * Math.abs(air) + 1500 * 9.81 * slope) / (1500 * 1.03)) * stepS
    east += v * Math.sin(heading) * stepS
    north += v * Math.cos(heading) * stepS
  }
  return `${rows.join('\n')}\n`
}

// 2 m/s at 0.75 m over roughly open land are about 4.5 m/s at a station's 10 m.
const WEATHER = inputFile(
  'weather.csv',
  `station,latitude,longitude,elevation_m,time_utc,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${[0, 1, 2, 3].map((hour) => `S,48.01,9.01,110,2026-05-04T0${5 + hour}:50:00Z,20,10,1000,4.5,270`).join('\n')}\n`,
)
const VEHICLE = 'vehicle:\n  mass_kg: 1500\n  mass_kg_uncertainty: 5\n'
const clock = (i: number, s: number): string => new Date(1000 * (START + 600 * i + s)).toISOString().slice(11, 19)
const NAMED = HEADINGS.map((_, i) => `  c${i}: {track: coast-${i}.csv, windows: "${clock(i, 1)}-${clock(i, 70)}"}\n`)
const campaign = (vehicle: string, named: string[]): string => `${vehicle}coast_downs:\n${named.join('')}`

const logs = HEADINGS.map((_, i) => inputFile(`coast-${i}.csv`, log(i, 10)))
const withLogs = (yaml: string): Promise<Report> => reportOf([inputFile('campaign.yaml', yaml), WEATHER, ...logs])

describe('coast-downs of logs with places at 10 Hz', async () => {
  const report = await withLogs(campaign(VEHICLE, NAMED))
  const coast = report.coast_down!

  it('give the published road load within their 95 % intervals', () => {
    expect(reportSchema.safeParse(report).error?.issues ?? []).toEqual([])
    expect(coast.windows).toHaveLength(8)
    expect(coast.both_directions).toBe(true)
    // The published one is for 1.189 kg/m³, the density of 20 °C and 100 kPa.
    expect(coast.reference_density_kgm3).toBeCloseTo(1.188, 2)
    for (const [interval, truth] of [
      [coast.f0_n, F0],
      [coast.f2_n_per_mps2, F2],
    ] as const) {
      expect(interval.low95).toBeLessThan(truth)
      expect(interval.high95).toBeGreaterThan(truth)
      expect(interval.high95 - interval.low95).toBeLessThan(0.4 * truth)
    }
  })

  it('take the heading from the positions', () => {
    for (const [i, { heading_deg }] of coast.windows.entries()) expect(heading_deg).toBeCloseTo(HEADINGS[i], 0)
  })

  it('change no figure unless campaign.yaml says so, with the lines that are offered', async () => {
    const massAlone = await withLogs(VEHICLE)
    expect(report.runs.map(({ demand }) => demand)).toEqual(massAlone.runs.map(({ demand }) => demand))
    const [, ...lines] = coast.campaign_lines!
    const pasted = await withLogs(campaign(`${VEHICLE}${lines.join('\n')}\n`, NAMED))
    expect(pasted.problems.filter(({ path }) => path === 'campaign.yaml')).toEqual([])
    const dragArea = pasted.assumptions.find(({ name }) => /drag area/i.test(name))!.figures!
    expect(dragArea.value).toBeCloseTo((2 * coast.f2_n_per_mps2.estimate) / coast.reference_density_kgm3, 3)
  })

  it('of one direction alone are told, and not offered', async () => {
    const oneWay = await withLogs(campaign(VEHICLE, [NAMED[0], NAMED[2], NAMED[4], NAMED[6]]))
    expect(oneWay.coast_down?.campaign_lines).toBeNull()
    expect(oneWay.coast_down?.sentence).toContain('in each direction')
  })
})

describe('what is no coast-down', () => {
  const told = async (named: string, extra = [inputFile('coast-0.csv', log(0, 10))]): Promise<Report['problems']> =>
    (await reportOf([inputFile('campaign.yaml', campaign(VEHICLE, [named])), WEATHER, ...extra])).problems

  it('a speed once a second is refused with the reason and the line', async () => {
    const problems = await told(NAMED[0], [inputFile('coast-0.csv', log(0, 1))])
    const refused = problems.find(({ code }) => code === 'coast-down-rate')
    expect(refused).toMatchObject({ severity: 'error', path: 'campaign.yaml', line: 5 })
    expect(refused?.message).toContain('found a speed every 1 s')
    expect(refused?.message).toContain('too noisy')
  })

  it('a log that is not there, no windows without power, and a window without loss of speed are errors', async () => {
    const codes = async (named: string): Promise<string[]> => (await told(named)).map(({ code }) => code)
    expect(await codes('  a: {track: other.csv}\n')).toContain('coast-down-log')
    expect(await codes('  a: {track: coast-0.csv}\n')).toContain('coast-down-windows')
    expect(await codes(`  a: {track: coast-0.csv, windows: "${clock(0, 1)}-${clock(0, 2)}"}\n`)).toContain(
      'coast-down-too-short',
    )
    expect(await codes(NAMED[0])).toContain('coast-downs-too-few')
  })
})

describe('coast-downs of a solar car on an oval, without places', async () => {
  // test/data/badger-solarcar/SOURCE.md. Windows where the pedal was at rest, and mean decelerations between first and last
  // speed, found by another program from the whole log.
  const WINDOWS = [
    { from: '22:10:33', to: '22:10:51', mph: [26.27, 19.22], mps2: 0.1788 },
    { from: '22:10:51', to: '22:11:15', mph: [19.22, 10.09], mps2: 0.1674 },
    { from: '22:11:38', to: '22:12:15', mph: [26.41, 16.8], mps2: 0.1161 },
    { from: '22:13:06', to: '22:13:27', mph: [27.93, 22.74], mps2: 0.1126 },
    { from: '22:13:29', to: '22:13:59', mph: [22.12, 12.79], mps2: 0.139 },
  ]
  const windows = WINDOWS.map(({ from, to }) => `${from}-${to}`).join('; ')
  const yaml = (more: string): string =>
    `vehicle: {mass_kg: 283, drag_area_m2: 0.2, powertrain: electric}\nplace: {lat: 42.906, lon: -89.326}\ncoast_downs:\n  oval: {track: coasts.csv, heading_deg: all${more}}\n`
  const files = folderFiles('test/data/badger-solarcar', (name) => name.endsWith('.csv'))
  const of = (more: string): Promise<Report> => reportOf([inputFile('campaign.yaml', yaml(more)), ...files])
  const { coast_down: coast } = await of(`, windows: "${windows}"`)

  it('agree with the mean decelerations', () => {
    const massKg = 283 * 1.03
    const force = (v: number): number => coast!.f0_n.estimate + coast!.f2_n_per_mps2.estimate * v * v
    const mean = (values: number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length
    const fitted = mean(WINDOWS.map(({ mph }) => force(0.44704 * mean(mph))))
    const measured = mean(WINDOWS.map(({ mps2 }) => massKg * mps2))
    // The logger holds a speed for up to 9 s, which moves the ends of a window by a tenth of it and more.
    expect(fitted / measured).toBeGreaterThan(0.8)
    expect(fitted / measured).toBeLessThan(1.2)
  })

  it('say honestly that laps with a held speed are no measurement of the road load', () => {
    expect(coast!.campaign_lines).toBeNull()
    const { low95, high95 } = coast!.f2_n_per_mps2
    // A solar car's drag area: 1.262 m² with a drag coefficient of 0.1 to 0.2. Common practice, no source.
    expect(low95).toBeLessThan(0.5 * 1.14 * 1.262 * 0.1)
    expect(high95).toBeGreaterThan(0.5 * 1.14 * 1.262 * 0.2)
  })

  it('are found where the log shows no power', async () => {
    const found = (await of('')).coast_down!.windows
    for (const { from, to } of WINDOWS) {
      const middle = (Date.parse(`2024-04-14T${from}Z`) + Date.parse(`2024-04-14T${to}Z`)) / 2
      expect(found.some((window) => Date.parse(window.from) <= middle && middle <= Date.parse(window.to))).toBe(true)
    }
  })
})
