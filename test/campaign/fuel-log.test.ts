import { describe, expect, it } from 'vitest'
import { present } from '../../src/base/present.ts'
import type { ReportClaim } from '../../src/report/contract.ts'
import { markdownReport } from '../../src/report/markdown.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { exampleDay, WHOLE_DAY } from '../simulator/example-days.ts'
import { inputFile, reportOf } from './folder.ts'
import { fillsCsv, runsCsv, simulatedLog } from './simulated-log.ts'

/** Fuel logs of simulated drives, whose true consumption is known, held against the same fuel given row by row. */
const draws = { draws: 200 }
const reportWith = (files: Parameters<typeof reportOf>[0], csv: string) =>
  reportOf([...files, inputFile('fills.csv', csv)], draws)
const changeOf = (claim: ReportClaim) => present(claim.adjusted_consumption_change_pct)

describe('a fuel log beside tracks', () => {
  const log = simulatedLog({ seed: 'plain', each: 3, dragPct: -15 })

  it('gives the claim that a row a drive gives', async () => {
    const byLog = await reportWith(log.files, fillsCsv(log.fills))
    const byRows = await reportOf([...log.files, inputFile('runs.csv', runsCsv(log))], draws)
    expect(byLog.problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(byLog.consumption.map(({ share }) => present(share).toFixed(3))).toEqual(new Array(6).fill('1.000'))
    const [claim, other] = [byLog.claims[0], byRows.claims[0]]
    expect(claim.runs).toEqual(other.runs)
    expect(claim.baseline_runs).toEqual(other.baseline_runs)
    // The amounts are the same; what the odometer leaves open at the log's two ends moves the weights of the drives.
    expect(Math.abs(changeOf(claim).estimate - changeOf(other).estimate)).toBeLessThan(0.5)
    expect(changeOf(claim).low95).toBeLessThan(log.truePct)
    expect(changeOf(claim).high95).toBeGreaterThan(log.truePct)
    const width = ({ low95, high95 }: ReturnType<typeof changeOf>): number => high95 - low95
    expect(width(changeOf(claim))).toBeGreaterThan(0.9 * width(changeOf(other)))
  })
})

describe('a table of drives that could be a fuel log', () => {
  it('gives the claims that names of tracks give, where a drive starts at the time of each row', async () => {
    const log = simulatedLog({ seed: 'either', each: 2, dragPct: -15 })
    // Without `fill_group`, which only drives have.
    const named = runsCsv(log).replace(/,[^,\n]+$/gm, '')
    const byNames = await reportOf([...log.files, inputFile('runs.csv', named)], draws)
    const starts = new Map(byNames.runs.map(({ track, start_time }) => [track, start_time]))
    const [header, ...rows] = named.trim().split('\n')
    const dated = rows.map((row) => {
      const [track, ...cells] = row.split(',')
      return [starts.get(byNames.runs.find((run) => run.track.endsWith(track))?.track ?? ''), ...cells].join(',')
    })
    const csv = [header.replace('track', 'time'), ...dated].join('\n')
    const byTimes = await reportOf([...log.files, inputFile('table.csv', csv)], draws)
    expect(byTimes.problems.map(({ code }) => code)).toContain('fills-or-drives')
    expect(byTimes.claims).toEqual(byNames.claims)
  })
})

describe('simulated logs, whose true change is known', () => {
  const holdsTheTruth = (claim: ReportClaim, truePct: number): void => {
    expect(changeOf(claim).low95).toBeLessThan(truePct)
    expect(changeOf(claim).high95).toBeGreaterThan(truePct)
  }

  it('carry partial fills to the next full one', async () => {
    const log = simulatedLog({ seed: 'partial', each: 3, dragPct: -20, partial: true, lengthM: 15_000 })
    const { claims, consumption } = await reportWith(log.files, fillsCsv(log.fills))
    expect(consumption.map(({ runs }) => runs.length)).toEqual([1, 2, 1, 2, 1, 2])
    holdsTheTruth(claims[0], log.truePct)
  })

  it('take recorded other driving off by its demand', async () => {
    const log = simulatedLog({ seed: 'other', each: 3, dragPct: -20, other: 'recorded', lengthM: 18_000 })
    const { claims, consumption, problems } = await reportWith(log.files, fillsCsv(log.fills))
    expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(claims.map(({ route, runs }) => [route, runs])).toEqual([['route-1', ['run-1', 'run-3', 'run-5']]])
    for (const { share } of consumption) {
      expect(present(share)).toBeGreaterThan(0.6)
      expect(present(share)).toBeLessThan(0.85)
    }
    holdsTheTruth(claims[0], log.truePct)
  })

  it('are not used where other driving was not recorded, and say how much it was', async () => {
    const log = simulatedLog({ seed: 'hidden', each: 2, dragPct: -20, other: 'not recorded', lengthM: 15_000 })
    const { claims, consumption, problems } = await reportWith(log.files, fillsCsv(log.fills))
    expect(claims.map(({ verdict }) => verdict)).toEqual(['not testable'])
    expect(consumption.map(({ reason_code }) => reason_code)).toEqual(new Array(4).fill('other-driving-not-recorded'))
    expect(
      problems.filter(({ code }) => code === 'fill-span-not-used').map(({ line, message }) => [line, message]),
    ).toEqual(
      [3, 4, 5, 6].map((line) => [
        line,
        expect.stringContaining('5.0 km were driven that were not recorded, beside 15.0 km that were'),
      ]),
    )
  })
})

describe('a fuel log without tracks', () => {
  const log = `time,odometer_km,fuel_l,full,setup
2026-03-02T08:00Z,40000,40.1,yes,bare
2026-03-14T08:00Z,40612,41.2,yes,bare
2026-03-25T08:00Z,41230,40.0,yes,bare
2026-04-03T08:00Z,41500,15.0,no,bare
2026-04-09T08:00Z,41900,29.8,yes,bare
2026-04-20T08:00Z,42540,39.5,yes,skirts
2026-05-02T08:00Z,43190,40.3,yes,skirts
2026-05-14T08:00Z,43800,37.0,yes,skirts
`
  const weather = `time,station,lat,lon,elevation_m,temperature_c,wind_speed_mps,precipitation_mm
2026-03-10T12:00Z,W,48.3,16.5,200,8,3,0.5
2026-03-12T12:00Z,W,48.3,16.5,200,12,5,1
`
  const files = [
    inputFile('fills.csv', log),
    inputFile('w.csv', weather),
    inputFile('campaign.yaml', 'baseline: bare\nsetups: {bare: [], skirts: [skirts]}\n'),
  ]

  it('gives the consumption with the weather, and a claim that is not testable with its reason', async () => {
    const report = await reportOf(files, draws)
    expect(report.runs).toEqual([])
    // By hand: 41.2 l over 612 km, and 15 + 29.8 l over 670 km.
    expect(report.consumption.map(({ per_100_km }) => present(per_100_km).toFixed(2))).toEqual([
      '6.73',
      '6.47',
      '6.69',
      '6.17',
      '6.20',
      '6.07',
    ])
    expect(report.consumption[0].weather).toEqual({
      station: 'W',
      observations: 2,
      temperature_c: 10,
      wind_speed_mps: 4,
      precipitation_mm: 1.5,
    })
    expect(report.consumption[1].weather).toBeNull()
    const [claim] = report.claims
    expect(claim).toMatchObject({
      verdict: 'not testable',
      missing: { code: 'no-tracks' },
      adjusted_consumption_change_pct: null,
    })
    // By hand: (6.172 + 6.2 + 6.066) / (6.732 + 6.472 + 6.687) - 1, in means of logarithms -7.3 %.
    expect(present(claim.raw_consumption_change_pct).estimate).toBeCloseTo(-7.3, 1)
    expect(claim.statement).toContain('3 tankfuls with skirts and 3 tankfuls with bare')
    for (const text of [
      htmlPage(report),
      markdownReport(report),
      terminalSummary(report, { width: 100, color: false }),
    ]) {
      expect(text).toContain('Fuel log')
      expect(text).not.toContain('undefined')
    }
  })
})

describe('a day in one recording', () => {
  it('shares its fuel with the way there and back', async () => {
    const day = exampleDay(WHOLE_DAY)
    const steady =
      'time,temperature_c,wind_speed_mps,wind_from_deg\n2026-05-12T06:30Z,12,2,200\n2026-05-12T10:30Z,14,2,210\n'
    const csv = 'time,odometer_km,fuel_l,setup\n2026-05-12T06:50Z,1000,30,\n2026-05-12T23:00Z,1059,4.5,bare\n'
    const files = [inputFile('day.gpx', day.gpx), inputFile('air.csv', steady)]
    const { consumption, recordings } = await reportWith(files, csv)
    const [span] = consumption
    const pieces = recordings.flatMap((recording) => recording.pieces)
    const lengthOf = (kind: string): number =>
      pieces.filter((piece) => piece.kind === kind).reduce((sum, piece) => sum + piece.distance_m, 0)
    expect(span.other_m).toBeCloseTo(lengthOf('other'), 3)
    // By distance, give or take what the roads' speeds and slopes make: no more than a fifth.
    const byDistance = lengthOf('drive') / (lengthOf('drive') + lengthOf('other'))
    expect(byDistance).toBeLessThan(0.95)
    expect(Math.abs(present(span.share) / byDistance - 1)).toBeLessThan(0.2)
  })
})

describe('what goes wrong with logs', () => {
  const log = simulatedLog({ seed: 'wrong', each: 3, dragPct: -15, lengthM: 12_000 })

  it('miles are read as miles', async () => {
    const { claims, problems } = await reportWith(log.files, fillsCsv(log.fills, { miles: true }))
    expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
    expect(changeOf(claims[0]).low95).toBeLessThan(log.truePct)
    expect(changeOf(claims[0]).high95).toBeGreaterThan(log.truePct)
  })

  it('a fill that is not in the log costs its span, where the log says so', async () => {
    const rows = fillsCsv(log.fills).trim().split('\n')
    const missed = [`${rows[0]},missed`, ...rows.slice(1).map((row, i) => `${row},${i === 3 ? 'yes' : ''}`)]
    const csv = `${missed.toSpliced(3, 1).join('\n')}\n`
    const { claims, consumption, problems } = await reportWith(log.files, csv)
    expect(consumption.map(({ reason_code }) => reason_code)).toEqual([null, 'fill-missed', null, null, null])
    expect(problems.find(({ code }) => code === 'fill-span-not-used')).toMatchObject({ line: 4 })
    expect([...claims[0].runs, ...claims[0].baseline_runs].sort()).toEqual(['run-0', 'run-3', 'run-4', 'run-5'])
    expect(changeOf(claims[0]).low95).toBeLessThan(log.truePct)
    expect(changeOf(claims[0]).high95).toBeGreaterThan(log.truePct)
  })

  it('a fill that is not in the log and nobody says so is told: two setups have one amount', async () => {
    const rows = fillsCsv(log.fills).trim().split('\n')
    const { problems } = await reportWith(log.files, `${rows.toSpliced(3, 1).join('\n')}\n`)
    expect(problems.filter(({ code }) => code.startsWith('fuel-level')).map(({ message }) => message)).toEqual([
      expect.stringMatching(/0\.5 times what the other drives used for the same demand/),
    ])
  })

  it('rows and log may be mixed: a drive with fuel in its row keeps it, the others have the log', async () => {
    const rows = 'track,setup,fuel_l\nrun-0.gpx,bare,0.9\n'
    const files = [...log.files, inputFile('runs.csv', rows)]
    const { runs, consumption, problems } = await reportWith(files, fillsCsv(log.fills))
    expect(consumption.map(({ reason_code }) => reason_code)).toEqual(['own-fuel', null, null, null, null, null])
    expect(problems.filter(({ code }) => code === 'fuel-by-row-and-log')).toHaveLength(1)
    const [own] = runs
    expect(((own.consumption?.per_100_km ?? 0) * own.distance_m) / 1e5).toBeCloseTo(0.9, 6)
  })
})
