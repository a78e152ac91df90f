import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { firstCampaignYaml } from '../../src/campaign/first-campaign.ts'
import { mapParts } from '../../src/campaign/load/map-parts.ts'
import { MEASUREMENT_SD, METER_TOLERANCE_PCT } from '../../src/claim/fuel/measure.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { defaultCampaign, readCampaign } from '../../src/read/campaign/campaign.ts'
import { kindOf } from '../../src/read/kind.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { exampleDay, HOME, WHOLE_DAY } from '../simulator/example-days.ts'
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

interface Told {
  problems: { code: string }[]
  runs: { track: string; setup: string | null }[]
}

/** A report without the list of its inputs. */
function reportOf(folder: string): Told {
  expect(ceteris('report', folder, '--quiet', '--draws', '50', '--cards', 'none')).toEqual({
    status: 0,
    stdout: '',
    stderr: '',
  })
  const { inputs, ...rest } = JSON.parse(text(folder, 'report/report.json')) as Told & { inputs: unknown }
  return rest
}

describe('ceteris init', () => {
  it('writes files after which the report says the same, and that the table is not filled in yet', () => {
    const folder = folderWith(path('same'), DRIVES)
    const before = reportOf(folder)
    const { status, stdout, stderr } = ceteris('init', folder)
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    expect(stdout).toContain('runs.csv: written, 2 rows')
    expect(stdout).toContain('campaign.yaml: written')
    const after = reportOf(folder)
    expect({ ...after, problems: [] }).toEqual(before)
    // Nobody has written into the table yet, and that is said.
    expect(after.problems.map(({ code }) => code)).toEqual(['table-not-filled-in'])
  })

  it('gives each track a row, with when, where and how far in a comment and nothing filled in', () => {
    const written = text(path('same'), 'runs.csv')
    const lines = written.split('\n')
    const at = lines.findIndex((line) => line.startsWith('tracks/a.gpx') || line.startsWith('a.gpx'))
    // 240 fixes at 25 m/s a second apart: 239 steps of 25 m.
    expect(lines[at - 1]).toMatch(/^# 2024-05-03 08:05 to 08:08 UTC, route-1, 6\.0 km, 4 min$/)
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

  it('writes names so that they are read back, and no spreadsheet takes one for a formula', () => {
    const names = ['a, b; c.gpx', '"quoted".gpx', '#1.gpx', '=1.gpx', '+2.gpx', '-3.gpx', '@4.gpx', '=x/5.gpx']
    const tracks = names.map((name, i) => [name, straightTrack(`2024-05-03T08:${10 + 5 * i}:00Z`)])
    const folder = folderWith(path('names'), { ...Object.fromEntries(tracks), 'weather.csv': STEADY_WEATHER })
    expect(ceteris('init', folder).status).toBe(0)
    const written = text(folder, 'runs.csv')
    expect(written.split('\n').filter((line) => /^"?[=+\-@\t]/.test(line))).toEqual([])
    const rows = readRunsTable(written).value?.rows ?? []
    expect(rows).toHaveLength(names.length)
    // Each track's row is filled in and found again in the report.
    const filled = written.replace(/^(".*"|[^#,]+),,/gm, '$1,bare,')
    writeFileSync(join(folder, 'runs.csv'), filled)
    const { problems, runs } = reportOf(folder)
    expect(runs.map(({ track, setup }) => [track, setup])).toEqual(names.map((name) => [name, 'bare']))
    const codes = problems.map(({ code }) => code)
    expect(codes.filter((code) => code.startsWith('row-') || code.startsWith('runs-'))).toEqual([])
  })

  it('writes a workbook that is read back, with the local start of each drive and the setups to choose from', async () => {
    const settings = 'time_zone: Europe/Vienna\nsetups:\n  bare: []\n  ladders: [ladders]\n'
    const folder = folderWith(path('book'), { ...DRIVES, 'campaign.yaml': settings })
    const { status, stdout } = ceteris('init', folder, '--table', 'xlsx')
    expect({ status, stdout }).toEqual({
      status: 0,
      stdout: expect.stringContaining('runs.xlsx: written, 2 rows to fill in'),
    })
    const bytes = new Uint8Array(readFileSync(join(folder, 'runs.xlsx')))
    // The library that reads workbooks is another one's, and its own account of the dates counts.
    const [sheet] = await mapParts({ path: 'runs.xlsx', bytes, sha256: 'x' })
    expect(sheet).toMatchObject({ path: 'runs.xlsx#Drives', kind: 'runs-table', problems: [] })
    const lines = sheet.text?.split('\n').filter((line) => line !== '' && !line.startsWith('#')) ?? []
    expect(lines[0]).toMatch(/^track\tdate\ttime\tsetup\tfuel \(l\)/)
    // 08:05 UTC in May is 10:05 in Vienna.
    expect(lines[1]).toMatch(/^(tracks\/)?a\.gpx\t2024-05-03\t10:05:00\t+$/)
    const { value, problems } = readRunsTable(sheet.text ?? '')
    expect(value?.rows.map(({ setup, fuelLitres }) => [setup, fuelLitres])).toEqual([
      [null, Number.NaN],
      [null, Number.NaN],
    ])
    expect(problems.map(({ code }) => code)).toEqual(['column-guessed'])
    expect(Buffer.from(bytes).toString('latin1')).toContain('<formula1>"bare,ladders"</formula1>')
    expect(ceteris('init', folder, '--table', 'xlsx').stdout).toContain('runs.xlsx#Drives holds that already')
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

  const commentedOut = /^(\s*)# (?=[a-z_0-9]+:(\s|$))/
  const lines = firstCampaignYaml().split('\n')
  const asLife = (line: string): string => line.replace(commentedOut, '$1')

  it('can be brought to life all at once: with every comment sign taken away it is accepted', () => {
    const read = readCampaign(lines.map(asLife).join('\n'))
    expect(read.problems).toEqual([])
    expect(read.value?.baseline).toBe('as_bought')
    expect(read.value?.setups).toEqual({ as_bought: [], covered: ['wheel covers'] })
    expect(read.value?.stations).toMatchObject([{ id: 'mast', latitude: 48.2, elevationM: 200 }])
    expect(read.value?.gates).toMatchObject([{ name: 'start', latitude: 48.2, radiusM: 50 }])
    expect(read.value?.private).toMatchObject([{ name: 'home', latitude: 48.2, radiusM: 500 }])
    // The class's values, now stated: the vehicle is the same, and known to be of this class.
    expect(vehicleOf(read.value!.vehicle)).toEqual({ ...vehicleOf(defaultCampaign().vehicle), classes: [] })
  })

  /** Lines that are an example and not a default, by what they change; and values that count as better known once stated. */
  const EXAMPLES = [
    'title',
    'name',
    'baseline',
    'as_bought',
    'covered',
    'mast',
    'place',
    'start',
    'home',
    'exchanged_positions',
  ]
  const BETTER_KNOWN = {
    mass_kg: 'massKg',
    drag_area_m2: 'dragAreaM2',
    rolling_resistance: 'rollingResistance',
  } as const

  /** With one of these stated, the class is no longer drawn. */
  const OF_THE_CLASS = ['class', ...Object.keys(BETTER_KNOWN)]

  const single = lines.flatMap((line, i) =>
    commentedOut.test(line) ? [[line.trim().split(/[ :]+/)[1], i] as const] : [],
  )

  it('offers something to bring to life', () => {
    expect(single.map(([key]) => key)).toEqual(expect.arrayContaining([...EXAMPLES, ...Object.keys(BETTER_KNOWN)]))
  })

  it.each(single)('can be brought to life by the line %s alone, with the same result', (key, at) => {
    const read = readCampaign(lines.map((line, i) => (i === at ? asLife(line) : line)).join('\n'))
    expect(read.problems).toEqual([])
    const same = defaultCampaign()
    const vehicle = vehicleOf(same.vehicle)
    if (key in BETTER_KNOWN) vehicle[BETTER_KNOWN[key as keyof typeof BETTER_KNOWN]].sd /= 2
    if (OF_THE_CLASS.includes(key)) vehicle.classes = []
    const found = vehicleOf(read.value!.vehicle)
    for (const [field, want] of Object.entries(vehicle)) {
      const got = found[field as keyof typeof found]
      if (typeof want === 'object' && 'sd' in want) {
        expect([field, got]).toEqual([field, { value: want.value, sd: expect.closeTo(want.sd, 10) }])
      } else expect([field, got]).toEqual([field, want])
    }
    const { vehicle: _, timeZone, fuel, ...rest } = read.value!
    const { vehicle: _v, timeZone: _t, fuel: _f, ...wanted } = same
    expect(timeZone ?? 'UTC').toBe('UTC')
    if (!EXAMPLES.includes(key)) expect(rest).toEqual(wanted)
    // Stated or not, a fill's own errors are the tool's defaults.
    expect(fuel.fillRepeatabilityLitres ?? MEASUREMENT_SD.fillLitres).toBe(MEASUREMENT_SD.fillLitres)
    expect(fuel.meterTolerancePct ?? METER_TOLERANCE_PCT).toBe(METER_TOLERANCE_PCT)
  })
})

describe('ceteris init with a whole day in a file', () => {
  it('writes a row for each drive in local time and one for the laps, which a report then takes', () => {
    const folder = folderWith(path('day'), {
      'day.gpx': exampleDay(WHOLE_DAY).gpx,
      'campaign.yaml': 'time_zone: Europe/Vienna\n',
    })
    expect(ceteris('init', folder)).toMatchObject({
      status: 0,
      stderr: '',
      stdout: expect.stringContaining('runs.csv: written, 5 rows to fill in'),
    })
    const written = text(folder, 'runs.csv')
    // Four drives and three laps; Vienna is two hours ahead of UTC, and the ends of the road are the simulator's.
    const rows = written.split('\n').filter((line) => line.startsWith('day.gpx@'))
    expect(rows.map((row) => row.split(',')[0])).toEqual([
      expect.stringMatching(/^day\.gpx@0909$/),
      expect.stringMatching(/^day\.gpx@092\d$/),
      expect.stringMatching(/^day\.gpx@093\d$/),
      expect.stringMatching(/^day\.gpx@094\d$/),
      expect.stringMatching(/^day\.gpx@102\d\.1-3$/),
    ])
    expect(written).toMatch(
      /^# 2026-05-12 09:09 to 09:16, route-1, 8\.0 km, \d min, from 47\.30 8\.10 to (?!47\.30 8\.10)/m,
    )
    expect(written).toMatch(/, 3 laps, 1[45]\.\d km, /)
    // Home is told nowhere.
    expect(written).not.toContain(`${HOME.lat.toFixed(2)} ${HOME.lon.toFixed(2)}`)
    const { runs, problems } = reportOf(folder)
    expect(runs).toHaveLength(7)
    expect(problems.map(({ code }) => code)).not.toContain('row-without-drive')
  })
})
