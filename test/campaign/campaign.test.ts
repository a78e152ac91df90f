import { beforeAll, describe, expect, it } from 'vitest'
import { reportSchema } from '../../src/report/contract.ts'
import { reportJson } from '../../src/report/json.ts'
import { sharesOf } from '../../src/report/words.ts'
import { smallCar } from '../simulator/index.ts'
import { folderFiles, inputFile, pairOf, reportOf } from './folder.ts'
import { simulatedFiles } from './simulated-campaign.ts'

const car = 'vehicle:\n  class: small_car\n'
const { files } = simulatedFiles({
  seed: 'campaign',
  shape: 'loop',
  lengthM: 12_000,
  runs: 3,
  vehicle: smallCar,
  campaign: car,
})

describe('a campaign', () => {
  it('gives a report that keeps the contract', async () => {
    const report = await reportOf(files)
    expect(reportSchema.safeParse(report).error?.issues ?? []).toEqual([])
    expect(report.runs).toHaveLength(3)
    expect(report.pairs).toHaveLength(3)
  })

  it('gives the same bytes whatever the order of the files', async () => {
    const [forward, backward] = [await reportOf(files), await reportOf([...files].reverse())]
    expect(reportJson(backward)).toBe(reportJson(forward))
  })

  it('gives the same bytes again, and other figures for another seed', async () => {
    const [once, again, other] = [await reportOf(files), await reportOf(files), await reportOf(files, { seed: 2 })]
    expect(reportJson(again)).toBe(reportJson(once))
    expect(other.pairs[0].difference_pct).not.toEqual(once.pairs[0].difference_pct)
  })

  it('contributions add up to the difference', async () => {
    for (const { difference_pct, contributions_pct } of (await reportOf(files)).pairs) {
      const sum = Object.values(contributions_pct!).reduce((total, share) => total + share, 0)
      expect(sum).toBeCloseTo(difference_pct!.mean, 9)
    }
  })

  it('each contribution has an interval about it, and none is surer than all together can be', async () => {
    for (const pair of (await reportOf(files)).pairs) {
      const { difference_pct } = pair
      const shares = Object.values(sharesOf(pair)!)
      for (const { mean, low90, high90 } of shares) {
        expect(low90).toBeLessThanOrEqual(mean)
        expect(high90).toBeGreaterThanOrEqual(mean)
      }
      // A sum's interval is at most as wide as those of its terms together; a tenth for 100 draws in place of 400.
      const widths = shares.reduce((sum, { low90, high90 }) => sum + high90 - low90, 0)
      expect(difference_pct!.high90 - difference_pct!.low90).toBeLessThan(1.1 * widths)
    }
  })

  it('the tightest margin is never below the size of the difference', async () => {
    for (const pair of (await reportOf(files)).pairs) {
      expect(pair.tightest_margin_pct).toBeGreaterThanOrEqual(Math.abs(pair.difference_pct!.mean))
    }
  })

  it('a wider margin never makes a pair worse', async () => {
    const rank = { comparable: 0, adjustable: 1, undecided: 2, 'not-comparable': 3, unknown: 4 }
    const [narrow, wide] = [await reportOf(files, { marginPct: 1 }), await reportOf(files, { marginPct: 8 })]
    narrow.pairs.forEach((pair, i) => {
      expect(rank[wide.pairs[i].verdict]).toBeLessThanOrEqual(rank[pair.verdict])
      expect(wide.pairs[i].score!).toBeGreaterThanOrEqual(pair.score!)
    })
  })

  it('without weather invents nothing: no demand, and every pair unknown', async () => {
    const report = await reportOf(files.filter((f) => !f.path.startsWith('weather/')))
    for (const run of report.runs) {
      expect(run.air.density_kgm3).toBeNull()
      expect(run.wind.headwind_mps).toBeNull()
      expect(run.demand.mean_j_per_m).toBeNull()
      expect(run.flags.map((f) => f.code)).toContain('no-weather')
    }
    expect(report.pairs.map((p) => p.verdict)).toEqual(['unknown', 'unknown', 'unknown'])
  })

  it('holds runs against a published procedure when asked, and names an unknown one', async () => {
    const report = await reportOf(files, { limits: ['sae-j1263-2010', 'no-such'] })
    expect(new Set(report.runs.flatMap((r) => r.limits.map((l) => l.procedure)))).toEqual(new Set(['sae-j1263-2010']))
    expect(report.problems.map((p) => p.code)).toContain('unknown-procedure')
  })
})

describe('the invented sample campaign', async () => {
  const report = await reportOf(folderFiles('samples/ladder-van'))

  it('holds a pair of each verdict but unknown', () => {
    expect(new Set(report.pairs.map((p) => p.verdict))).toEqual(
      new Set(['comparable', 'adjustable', 'not-comparable', 'undecided']),
    )
  })

  it('takes setups from runs.csv, and one road for all', () => {
    expect(new Set(report.runs.map((r) => r.setup))).toEqual(new Set(['ladders', 'bare', 'bars']))
    expect(report.routes.map((r) => r.shape)).toEqual(['loop'])
  })

  it('names rain as the reason where one road was wet', () => {
    const pair = pairOf(report, '2026-04-14-a', '2026-04-23')
    expect(pair.reason).toMatch(/wet/)
    expect(pair.score).toBeNull()
  })

  it('is free of errors and warnings', () => {
    expect(report.problems.filter((p) => p.severity !== 'note')).toEqual([])
  })
})

describe('a folder with all that goes wrong', () => {
  let codes: Map<string, string[]>
  let runs: string[]

  beforeAll(async () => {
    const report = await reportOf(folderFiles('samples/ladder-van-rough'))
    codes = new Map()
    for (const { path, code } of report.problems) codes.set(path ?? '', [...(codes.get(path ?? '') ?? []), code])
    runs = report.runs.map((r) => r.id)
  })

  it.each([
    ['empty.gpx', 'empty-file'],
    ['login-page.gpx', 'html-page'],
    ['no-times.gpx', 'track-without-times'],
    ['one-nan.gpx', 'position-unreadable'],
    ['cut-off.gpx', 'xml-not-well-formed'],
    ['weather-another-continent.csv', 'weather-out-of-reach'],
    ['campaign.yaml', 'campaign-unknown-key'],
    ['runs.csv', 'row-without-track'],
  ])('%s is named with %s', (path, code) => {
    expect(codes.get(path)).toContain(code)
  })

  it('and the others go on', () => {
    expect(runs).toEqual(expect.arrayContaining(['good', 'one-nan', 'cut-off']))
  })

  it('the same recording under two names counts once', async () => {
    const good = folderFiles('samples/ladder-van-rough').find((f) => f.path === 'good.gpx')!
    const report = await reportOf([good, { ...good, path: 'copy.gpx' }])
    expect(report.runs.map((r) => r.track)).toEqual(['copy.gpx'])
    expect(report.problems.find((p) => p.code === 'duplicate-run')?.path).toBe('good.gpx')
  })
})

describe('other ways to know the weather', () => {
  const tracks = files.filter((f) => f.path.startsWith('tracks/'))

  it('the driver’s own note in runs.csv speaks for its run alone, with a wide doubt', async () => {
    const notes =
      'track,temperature_c,relative_humidity_pct,wind_speed_mps,wind_from_deg\nrun-0.gpx,15,60,3,270\nrun-1.gpx,16,55,2,270\n'
    const report = await reportOf([inputFile('campaign.yaml', car), ...tracks, inputFile('runs.csv', notes)])
    const run = (id: string) => report.runs.find((r) => r.id === id)!
    expect(run('run-0').air.temperature_c).toBeCloseTo(15, 6)
    expect(run('run-1').wind.from_deg).toBeCloseTo(270, 6)
    expect(run('run-2').flags.map((f) => f.code)).toContain('no-weather')
    // 2 K of a note are 0.7 % of the density, 0.5 K of an instrument 0.2 %.
    const measured = (await reportOf(files)).runs.find((r) => r.id === 'run-0')!
    expect(run('run-0').air.density_kgm3_sd).toBeGreaterThan(2 * measured.air.density_kgm3_sd!)
    expect(pairOf(report, 'run-0', 'run-2').verdict).toBe('unknown')
  })

  it('a logger in the car needs no position', async () => {
    const hours = report0.runs.flatMap((r) => [r.start_time, r.end_time])
    const rows = hours.map((time) => `${time},14,70,960,3,90`).join('\n')
    const logger = `time,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg\n${rows}\n`
    const report = await reportOf([...tracks, inputFile('logger.csv', logger)])
    for (const run of report.runs) {
      expect(run.air.stations.map((s) => s.distance_km)).toEqual([0])
      expect(run.air.temperature_c).toBeCloseTo(14, 6)
    }
    expect(report.pairs.every((p) => p.difference_pct !== null)).toBe(true)
  })
})

const report0 = await reportOf(files)
