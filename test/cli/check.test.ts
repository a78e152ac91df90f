import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ceteris, folderWith, ROOT, STEADY_WEATHER, smallCampaign, straightTrack } from './command.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-check-'))
  smallCampaign(path('small'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))
const path = (name: string): string => join(top, name)

interface Finding {
  code: string
  severity: string
  cost_points: number | null
  rough: boolean
  blocks: boolean
  runs_without_answer: string[]
  message: string
  fix: string
  path: string | null
}
interface Checked {
  runs: number
  measure: { of: string; count: number; mean_width_points: number; assumed: boolean } | null
  findings: Finding[]
}

/** Quick, and the same draws for the report and the list. */
const FEW_DRAWS = ['--draws', '80']
const checked = (folder: string): Checked =>
  JSON.parse(ceteris('check', folder, '--json', ...FEW_DRAWS).stdout) as Checked

/** A copy of the small campaign with some texts changed. */
function variant(name: string, edits: Record<string, (text: string) => string>): string {
  cpSync(path('small'), path(name), { recursive: true })
  for (const [file, edit] of Object.entries(edits)) {
    const at = join(path(name), file)
    writeFileSync(at, edit(readFileSync(at, 'utf8')))
  }
  return path(name)
}

/** The table without the columns of these names. */
const withoutColumns =
  (unwanted: RegExp) =>
  (table: string): string => {
    const rows = table
      .trimEnd()
      .split('\n')
      .map((line) => line.split(/,(?=(?:[^"]*"[^"]*")*[^"]*$)/))
    const kept = rows[0].map((name, i) => (unwanted.test(name) ? -1 : i)).filter((i) => i >= 0)
    return `${rows.map((row) => kept.map((i) => row[i]).join(',')).join('\n')}\n`
  }

/** Width of the claim's 95 % interval in the report of a folder, percentage points. */
interface ToldClaim {
  adjusted_consumption_change_pct: { low95: number; high95: number } | null
  uncertainty_shares: Record<string, number>
}

/** The report's only claim: the width of its interval, and the share that the fills have in its variance. */
function claimIn(folder: string): { width: number; ofFills: number } {
  const { status, stdout } = ceteris('report', folder, '--json', '--cards', 'none', ...FEW_DRAWS)
  expect(status).toBe(0)
  const { claims } = JSON.parse(stdout) as { claims: ToldClaim[] }
  const told = claims.filter((claim) => claim.adjusted_consumption_change_pct)
  expect(told).toHaveLength(1)
  const [{ adjusted_consumption_change_pct: interval, uncertainty_shares }] = told
  return { width: (interval?.high95 ?? 0) - (interval?.low95 ?? 0), ofFills: uncertainty_shares.fills }
}

describe('what a weakness costs', () => {
  it('is measured in the width that the report gives, and is what the report gains when the weakness is mended', () => {
    const folder = variant('unstated', {
      'campaign.yaml': (text) => text.replace(/^ {2}(frontal_area_m2|drag_coefficient).*\n/gm, ''),
    })
    const { width: before, ofFills } = claimIn(folder)
    const { measure, findings } = checked(folder)
    expect(measure).toMatchObject({ of: 'claims', count: 1, assumed: false })
    // The report states its figures to six digits, the list its own to three decimals.
    expect(measure?.mean_width_points).toBeCloseTo(before, 2)
    const cost = (code: string): number => findings.find((f) => f.code === code)?.cost_points ?? Number.NaN

    // The class's value (van: 1.5 m²) stated without any doubt.
    const known = variant('known-drag', {
      'campaign.yaml': (text) =>
        text
          .replace(/^ {2}(frontal_area_m2|drag_coefficient).*\n/gm, '')
          .replace('  class: van\n', '  class: van\n  drag_area_m2: 1.5\n  drag_area_m2_uncertainty: 0\n'),
    })
    // Chance in the draws may make an interval a little wider where a doubt is gone: that is told as no cost.
    expect(cost('drag-area-unstated')).toBeCloseTo(Math.max(0, before - claimIn(known).width), 2)

    // With the same fuel and fills said to be exact, their scatter would be taken for the van's: their share counts.
    expect(cost('fills')).toBeCloseTo(before * (1 - Math.sqrt(1 - ofFills)), 2)
    expect(cost('fills')).toBeGreaterThan(0.1)

    // Without errors and with every run in the answer, the list is sorted by points, and what has none comes last.
    const points = findings.map((f) => f.cost_points).filter((points) => points !== null)
    expect(points.length).toBeGreaterThan(4)
    expect(findings.slice(0, points.length).map((f) => f.cost_points)).toEqual(points.toSorted((a, b) => b - a))
  })

  it('is larger for a missing wind than for a missing fuel temperature, and that is said first', () => {
    const folder = variant('windless', {
      'weather/silo-mast.csv': withoutColumns(/^wind/),
      'weather/aerodrome-april-2026.txt': (text) => text.replace(/ (\d{3}|VRB)\d\d(G\d\d)?KT/g, ' /////KT'),
      'runs.csv': withoutColumns(/^fuel_temperature/),
    })
    const { measure, findings } = checked(folder)
    expect(measure?.assumed).toBe(true)
    const wind = findings.findIndex((f) => f.code === 'no-wind')
    const fuel = findings.findIndex((f) => f.code === 'fuel-temperature-unread')
    expect(findings[wind]).toMatchObject({ rough: true, blocks: true })
    expect(findings[wind].runs_without_answer).toHaveLength(4)
    expect(wind).toBeGreaterThanOrEqual(0)
    expect(wind).toBeLessThan(fuel)
    expect(findings[wind].cost_points).toBeGreaterThan(10 * (findings[fuel].cost_points ?? Number.NaN))
  })
})

describe('ceteris check', () => {
  it('names every defect of the rough sample once, each with a fix, leaves with 1 and writes nothing', () => {
    const folder = path('rough')
    cpSync(join(ROOT, 'samples/ladder-van-rough'), folder, { recursive: true })
    const files = readdirSync(folder)
    const { status, stdout, stderr } = ceteris('check', folder, '--json', ...FEW_DRAWS)
    expect({ status, stderr }).toEqual({ status: 1, stderr: '' })
    const { findings } = JSON.parse(stdout) as Checked
    const errors = findings.filter((f) => f.severity === 'error').map((f) => `${f.path} ${f.code}`)
    // samples/README.md lists them.
    expect(errors.sort()).toEqual([
      'campaign.yaml campaign-unknown-key',
      'empty.gpx empty-file',
      'login-page.gpx html-page',
      'no-times.gpx track-without-times',
      'runs.csv row-without-track',
      'runs.csv runs-not-a-number',
    ])
    expect(findings.slice(0, errors.length).every((f) => f.severity === 'error')).toBe(true)
    const codes = findings.map((f) => `${f.path} ${f.code}`)
    for (const code of [
      'one-nan.gpx position-unreadable',
      'weather-another-continent.csv weather-out-of-reach',
      'null part-of-route',
    ]) {
      expect(codes.filter((c) => c === code)).toHaveLength(1)
    }
    expect(findings.filter((f) => f.fix.length < 10)).toEqual([])
    expect(readdirSync(folder)).toEqual(files)
    const text = ceteris('check', folder, ...FEW_DRAWS).stdout
    expect(text).toMatch(/^ {2}error {2}empty\.gpx: the file is empty/m)
    expect(text).toMatch(/^ +\d\.\d {2}The vehicle’s /m)
  })

  it('speaks of pairs where nothing is claimed, and of no fill', () => {
    const drives = {
      'a.gpx': straightTrack('2024-05-03T08:05:00Z'),
      'b.gpx': straightTrack('2024-05-03T08:35:00Z'),
      'weather.csv': STEADY_WEATHER,
    }
    const folder = folderWith(path('pairs'), drives)
    const done = ceteris('check', folder, '--json', ...FEW_DRAWS)
    expect(done).toMatchObject({ status: 0, stderr: '' })
    const { measure, findings } = JSON.parse(done.stdout) as Checked
    const report = JSON.parse(ceteris('report', folder, '--json', '--cards', 'none', ...FEW_DRAWS).stdout) as {
      pairs: { difference_pct: { low90: number; high90: number } }[]
    }
    const { low90, high90 } = report.pairs[0].difference_pct
    expect(measure).toMatchObject({ of: 'pairs', count: 1 })
    expect(measure?.mean_width_points).toBeCloseTo(high90 - low90, 2)
    const codes = findings.map((f) => f.code)
    expect(codes).toContain('no-fuel')
    expect(codes).toContain('wind-from-afar')
    expect(codes).not.toContain('fills')
  })

  it('has no figures for a single drive, but says that it is alone', () => {
    const folder = folderWith(path('single'), { 'a.gpx': straightTrack('2024-05-03T08:05:00Z') })
    const { measure, findings } = checked(folder)
    expect(measure).toBeNull()
    expect(findings.map((f) => f.code)).toEqual(expect.arrayContaining(['alone-on-its-road', 'no-weather', 'no-fuel']))
    expect(findings.every((f) => f.cost_points === null)).toBe(true)
  })

  it('leaves with 2 where nothing can be checked, and still lists what is wrong', () => {
    expect(ceteris('check', path('nowhere'))).toMatchObject({ status: 2, stdout: '' })
    expect(ceteris('check', folderWith(path('empty'), {}))).toMatchObject({ status: 2, stdout: '' })
    const broken = ceteris('check', folderWith(path('broken'), { 'a.gpx': '<gpx' }))
    expect(broken.status).toBe(2)
    expect(broken.stdout).toContain('a.gpx')
    expect(broken.stderr).toContain('no file in the folder holds a track')
  })
})
