import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { firstCampaignYaml } from '../../src/pipeline/first-settings.ts'
import { defaultCampaign, readCampaign } from '../../src/read/campaign.ts'
import { kindOf } from '../../src/read/kind.ts'
import { readRunsTable } from '../../src/read/runs-table.ts'
import { ceteris, folderWith, STEADY_WEATHER, straightTrack } from './command.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-init-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))
const path = (name: string): string => join(top, name)
const text = (...parts: string[]): string => readFileSync(join(...parts), 'utf8')

const DRIVES = {
  'tracks/a.gpx': straightTrack('2024-05-03T08:05:00Z'),
  'tracks/b.gpx': straightTrack('2024-05-03T08:35:00Z'),
  'weather.csv': STEADY_WEATHER,
}

/** A report without the list of its inputs. */
function reportOf(folder: string): { problems: unknown[] } {
  expect(ceteris('report', folder, '--quiet', '--draws', '50', '--cards', 'none')).toEqual({
    status: 0,
    stdout: '',
    stderr: '',
  })
  const { inputs, ...rest } = JSON.parse(text(folder, 'report/report.json')) as { inputs: unknown; problems: unknown[] }
  return rest
}

describe('ceteris init', () => {
  it('writes files after which the report says the same, without a new problem', () => {
    const folder = folderWith(path('same'), DRIVES)
    const before = reportOf(folder)
    const { status, stdout, stderr } = ceteris('init', folder)
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    expect(stdout).toContain('runs.csv: written, 2 rows')
    expect(stdout).toContain('campaign.yaml: written')
    expect(reportOf(folder)).toEqual(before)
  })

  it('gives each track a row, with when, where and how far in a comment and nothing filled in', () => {
    const written = text(path('same'), 'runs.csv')
    const lines = written.split('\n')
    const at = lines.findIndex((line) => line.startsWith('tracks/a.gpx') || line.startsWith('a.gpx'))
    // 240 fixes at 25 m/s a second apart: 239 steps of 25 m.
    expect(lines[at - 1]).toMatch(/^# 2024-05-03 08:05 UTC, route-1, 6\.0 km, 4 min$/)
    expect(lines[at].replace(/^[^,]*/, '')).toMatch(/^,+$/)
    expect(kindOf(written)).toBe('runs-table')
    const table = readRunsTable(written)
    expect(table.problems).toEqual([])
    expect(table.value?.rows).toHaveLength(2)
    expect(table.value?.rows.map((row) => row.setup)).toEqual([null, null])
  })

  it('overwrites nothing and says so', () => {
    const folder = path('same')
    writeFileSync(join(folder, 'runs.csv'), 'track,setup\na.gpx,mine\n')
    rmSync(join(folder, 'campaign.yaml'))
    const { status, stdout } = ceteris('init', folder, '--json')
    expect(status).toBe(0)
    expect(JSON.parse(stdout)).toMatchObject({ written: ['campaign.yaml'], kept: ['runs.csv'] })
    expect(text(folder, 'runs.csv')).toBe('track,setup\na.gpx,mine\n')
    const again = ceteris('init', folder)
    expect(again.status).toBe(0)
    expect(again.stdout.match(/there already, left as it is/g)).toHaveLength(2)
  })

  it('knows files of the kind under other names, and keeps what is none of the kind', () => {
    const named = folderWith(path('named'), { ...DRIVES, 'fuel.txt': 'track,setup,fuel_l\na.gpx,x,5\n' })
    expect(ceteris('init', named).stdout).toContain('runs.csv: not written, fuel.txt holds that already')
    expect(readdirSync(named)).not.toContain('runs.csv')
    const other = folderWith(path('other'), { ...DRIVES, 'campaign.yaml': 'a letter to my aunt' })
    expect(ceteris('init', other).stdout).toContain('campaign.yaml: there already')
    expect(text(other, 'campaign.yaml')).toBe('a letter to my aunt')
  })

  it('writes names so that they are read back', () => {
    const names = ['a, b; c.gpx', '"quoted".gpx', '#1.gpx', '=1.gpx']
    const tracks = names.map((name, i) => [name, straightTrack(`2024-05-03T08:${10 + 8 * i}:00Z`)])
    const folder = folderWith(path('names'), { ...Object.fromEntries(tracks), 'weather.csv': STEADY_WEATHER })
    expect(ceteris('init', folder).status).toBe(0)
    const rows = readRunsTable(text(folder, 'runs.csv')).value?.rows.map((row) => row.track)
    expect(rows?.sort()).toEqual(names.sort())
    const codes = (reportOf(folder).problems as { code: string }[]).map(({ code }) => code)
    expect(codes.filter((code) => code.startsWith('row-') || code.startsWith('runs-'))).toEqual([])
  })

  it('leaves with 1 where a track has an error, and with 2 where there is nothing to write about', () => {
    const some = folderWith(path('some'), { ...DRIVES, 'page.gpx': '<!doctype html><html><body>Log in</body></html>' })
    const { status, stderr } = ceteris('init', some)
    expect(status).toBe(1)
    expect(stderr).toContain('page.gpx: this is a web page')
    const none = folderWith(path('none'), { 'weather.csv': STEADY_WEATHER })
    expect(ceteris('init', none)).toMatchObject({ status: 2, stdout: '' })
    expect(readdirSync(none)).toEqual(['weather.csv'])
    expect(ceteris('init', path('nowhere'))).toMatchObject({ status: 2, stdout: '' })
  })
})

describe('a first campaign.yaml', () => {
  it('states what the tool takes without it', () => {
    const read = readCampaign(firstCampaignYaml())
    expect(read.problems).toEqual([])
    expect(read.value).toEqual(defaultCampaign())
  })

  it('can be brought to life line by line: with every comment sign taken away, all of it is accepted', () => {
    const settings = firstCampaignYaml()
      .split('\n')
      .map((line) => line.replace(/^(\s*)# (?=\s*[a-z_]+:(\s|$))/, '$1'))
      .join('\n')
    const read = readCampaign(settings)
    expect(read.problems).toEqual([])
    expect(read.value?.baseline).toBe('as_bought')
    expect(read.value?.setups).toEqual({ as_bought: [], covered: ['wheel covers'] })
    // The class's values, now stated: the vehicle is the same.
    expect(vehicleOf(read.value!.vehicle)).toEqual(vehicleOf(defaultCampaign().vehicle))
  })
})
