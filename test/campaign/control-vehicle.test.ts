import { describe, expect, it } from 'vitest'
import { type Report, reportSchema } from '../../src/report/contract.ts'
import { terminalResult } from '../../src/report/terminal/terminal.ts'
import { exampleDay, LAPS } from '../simulator/example-days.ts'
import { delivery, simulateRoad, simulateRun, simulateWeather, stationReports } from '../simulator/index.ts'
import { randomOf } from '../simulator/random.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'
import { type PublishedCase, publishedCases } from './published-cases.ts'

const CAMPAIGN = inputFile('campaign.yaml', 'baseline: alone\n')

/** runs.csv of a published case. The days of its pairs are not published: one a day. */
function rowsOf({ baseline, test }: PublishedCase): string[] {
  const pairs = [...baseline.map((pair) => ['alone', pair] as const), ...test.map((pair) => ['in line', pair] as const)]
  return pairs.flatMap(([setup, [fuel, control]], i) => {
    const date = `2019-06-${10 + i}`
    return [`${date},truck,,${setup},${fuel}`, `${date},control truck,yes,,${control}`]
  })
}
const HEADER = 'date,vehicle,control,setup,fuel_kg'
const weighed = (rows: string[], header = HEADER): Promise<Report> =>
  reportOf([CAMPAIGN, inputFile('runs.csv', `${[header, ...rows].join('\n')}\n`)])

describe('weighed fuel of a test and a control vehicle, without tracks', () => {
  // test/data/control-vehicle/SOURCE.md: worked out by the testers after SAE J1321. Student’s t is right to 1e-7 of itself.
  it.each(publishedCases())('gives the published result of $name', async (published) => {
    const report = await weighed(rowsOf(published))
    expect(reportSchema.safeParse(report).error?.issues ?? []).toEqual([])
    const [claim] = report.claims
    const { estimate, low95, high95 } = claim.adjusted_consumption_change_pct!
    expect(-estimate).toBeCloseTo(100 * published.saved, 7)
    expect((high95 - low95) / 2).toBeCloseTo(100 * published.halfWidth, 7)
    expect(report.problems).toEqual([])
    expect(claim.statement).toContain(
      'Measured as the ratio of truck to the control vehicle control truck, which was not changed and driven at the same time: 3 pairs against',
    )
  })

  it('shows no saving where 0.5 ± 1.6 % was published', async () => {
    const [claim] = (await weighed(rowsOf(publishedCases().find(({ name }) => name === 'AL-S150-T1')!))).claims
    expect(claim.verdict).toBe('unresolved')
    expect(claim.reason).toContain('contains zero')
  })

  it('tells both test vehicles of one table apart, with the pairs of each in the order of the rows', async () => {
    // All weighed runs of test/data/control-vehicle/fuel.csv, of which only dates are known; test truck 2 stayed at home on
    // four runs of 12 June. Truck 1 with a flat bed took more on each of them than on any other run.
    const [csv] = folderFiles('test/data/control-vehicle', (name) => name.endsWith('fuel.csv'))
    const lines = new TextDecoder().decode(csv.bytes).trim().split('\n').slice(1)
    const rows = lines.flatMap((line) => {
      const [run, date, control, one, two] = line.split(',')
      const setup = run.replace(/-\d+$/, '').replace('DV-RF', 'alone')
      const tests = [`${date},one,,${setup},${one}`, ...(Number(two) > 0 ? [`${date},two,,${setup},${two}`] : [])]
      return [...tests, `${date},control,yes,,${control}`]
    })
    const { claims, problems } = await weighed(rows)
    expect(problems).toEqual([])
    const told = claims.map(({ setup, control }) => [control?.test_vehicle, setup, control?.pairs.length])
    expect(told.toSorted()).toEqual(
      [
        ['one', 'AL-S150', 3],
        ['one', 'AL-S30', 3],
        ['one', 'AL-S50', 3],
        ['one', 'FT1-RF', 4],
        ['two', 'AL-S150', 3],
        ['two', 'AL-S30', 3],
        ['two', 'AL-S50', 3],
      ].toSorted(),
    )
    const flatBed = claims.find(({ setup }) => setup === 'FT1-RF')!
    expect(flatBed.verdict).toBe('supported')
    expect(flatBed.control?.pairs.map(({ fuel, control_fuel }) => [fuel, control_fuel])).toEqual([
      [24.7, 21.44],
      [24.9, 21.4],
      [24.32, 21.08],
      [23.86, 20.8],
    ])
  })
})

describe('what is wrong with rows of a control vehicle', () => {
  const told = async (rows: string[]): Promise<[string, string, number | null][]> =>
    (await weighed(rows)).problems.map(({ code, severity, line }) => [code, severity, line])
  const good = rowsOf(publishedCases()[0])

  it('an unpaired control row is an error with its line', async () => {
    expect(await told([...good, '2019-07-30,control truck,yes,,21.3'])).toContainEqual([
      'control-without-test',
      'error',
      good.length + 2,
    ])
  })

  it('an unpaired test row is told', async () => {
    expect(await told([...good, '2019-07-30,truck,,alone,21.3'])).toContainEqual([
      'test-without-control',
      'warning',
      good.length + 2,
    ])
  })

  it('a row without a track needs its vehicle', async () => {
    expect(await told([...good, '2019-07-30,,,alone,21.3'])).toContainEqual([
      'row-without-track-incomplete',
      'error',
      good.length + 2,
    ])
  })

  it('fuel, yes or no, and one control vehicle are expected', async () => {
    const at = good.length + 2
    expect(await told([...good, '2019-07-30,control truck,yes,,'])).toContainEqual(['ratio-without-fuel', 'error', at])
    expect(await told([...good, '2019-07-30,truck,perhaps,alone,21'])).toContainEqual([
      'control-not-yes-or-no',
      'error',
      at,
    ])
    expect(await told([...good, '2019-06-10,another,yes,,21'])).toContainEqual(['two-control-vehicles', 'error', at])
  })

  it('a row of several laps without fuel is told once', async () => {
    const laps = ['a', 'b'].map((name) => inputFile(`${name}.gpx`, exampleDay(LAPS(3), { seed: name }).gpx))
    const rows = 'track,vehicle,control,setup,fuel_kg\na.gpx,truck,,bare,0.7\nb.gpx,other,yes,,\n'
    const { problems } = await reportOf([...laps, inputFile('runs.csv', rows)], { draws: 100 })
    expect(problems.filter(({ code }) => code === 'ratio-without-fuel').map(({ line }) => line)).toEqual([3])
  })
})

describe('a control vehicle with tracks', async () => {
  const seed = 'control'
  const place = { latitudeDeg: 48.2, longitudeDeg: 9.1 }
  const start = Date.parse('2025-05-02T00:00:00Z') / 1000
  const road = simulateRoad({ seed, shape: 'loop', lengthM: 30_000, ...place })
  const weather = simulateWeather({ seed, ...place, startTimeS: start, days: 25, windScale: 1.5 })
  const random = randomOf(seed)
  const changed = { ...delivery, dragAreaM2: 0.8 * delivery.dragAreaM2 }
  const rows = ['track,vehicle,control,setup,fuel_kg']
  const files = [inputFile('campaign.yaml', 'baseline: bare\nvehicle:\n  class: van\n  mass_kg: 2400\n')]
  const trueLogs: number[] = []
  for (let i = 0; i < 8; i++) {
    const setup = i % 4 === 1 || i % 4 === 2 ? 'skirts' : 'bare'
    const startS = start + i * 3 * 86_400 + (6 + 10 * random.between(0, 1)) * 3600
    const vehicles = [
      { name: 'test', vehicle: setup === 'bare' ? delivery : changed, at: startS },
      { name: 'control', vehicle: delivery, at: startS + 25 },
    ]
    for (const { name, vehicle, at } of vehicles) {
      const run = simulateRun({ road, weather, vehicle, startS: at, seed: `${seed}/${name}/${i}` })
      const file = `${name}-${i}.gpx`
      files.push(inputFile(file, run.gpx))
      // 43 MJ/kg, and a repeatability of 0.5 %.
      const fuel = (run.truth.fuelEnergyJ / 43e6) * Math.exp(0.005 * random.normal())
      rows.push(`${file},${name},${name === 'control' ? 'yes' : ''},${name === 'control' ? '' : setup},${fuel}`)
    }
    const [bare, fitted] = [delivery, changed].map((vehicle) =>
      simulateRun({ road, weather, vehicle, startS, seed: `${seed}/test/${i}` }),
    )
    trueLogs.push(Math.log(fitted.truth.demandJPerM / bare.truth.demandJPerM))
  }
  const station = { id: 'S1', latitudeDeg: 48.3, longitudeDeg: 9.2, elevationM: 320, intervalMin: 60 }
  files.push(inputFile('station.csv', stationReports(weather, station, start, start + 25 * 86_400).csv()))
  files.push(inputFile('runs.csv', `${rows.join('\n')}\n`))
  const report = await reportOf(files)
  const truePct = 100 * Math.expm1(trueLogs.reduce((sum, log) => sum + log, 0) / trueLogs.length)

  it('is a drive of its own, compared with none', () => {
    expect(reportSchema.safeParse(report).error?.issues ?? []).toEqual([])
    expect(report.runs).toHaveLength(16)
    const ofControl = report.runs.filter(({ flags }) => flags.some(({ code }) => code === 'control-vehicle'))
    expect(ofControl.map(({ id }) => id).toSorted()).toEqual(Array.from({ length: 8 }, (_, i) => `control-${i}`))
    expect(report.pairs.some(({ a, b }) => /control/.test(a + b))).toBe(false)
  })

  it('gives the change by the ratio, with the model and by the model alone, and each interval holds the truth', () => {
    expect(report.claims).toHaveLength(1)
    const [{ control, adjusted_consumption_change_pct: adjusted }] = report.claims
    expect(control?.pairs).toHaveLength(4)
    for (const change of [
      control!.ratio_consumption_change_pct,
      control!.with_model_consumption_change_pct,
      control!.model_consumption_change_pct,
    ]) {
      expect(change!.low95).toBeLessThan(truePct)
      expect(change!.high95).toBeGreaterThan(truePct)
    }
    expect(adjusted).toEqual(control!.with_model_consumption_change_pct)
    expect(control?.agree).toBe(true)
  })

  it('tells of evidence apart where control vehicle and model disagree', async () => {
    // The control vehicle takes a tenth more in all drives with the skirts: something that the model does not know.
    const doubtful = rows.map((row, i) => {
      const cells = row.split(',')
      const isOfSkirts = i > 0 && cells[1] === 'control' && rows[i - 1].includes('skirts')
      return isOfSkirts ? [...cells.slice(0, 4), 1.1 * Number(cells[4])].join(',') : row
    })
    const changedFiles = files.map((file) =>
      file.path === 'runs.csv' ? inputFile('runs.csv', `${doubtful.join('\n')}\n`) : file,
    )
    const apart = await reportOf(changedFiles)
    expect(apart.claims[0].control?.agree).toBe(false)
    const words = terminalResult(apart, { width: 100, color: false })
    expect(words.replace(/\s+/g, ' ')).toContain('The control vehicle and the model disagree on what conditions did')
  })
})
