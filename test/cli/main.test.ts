import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { reportSchema } from '../../src/report/contract.ts'
import { jsonSchemaText } from '../../src/report/json.ts'
import { ceteris, ceterisProcess, ROOT, straightTrack } from './command.ts'

const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string }

const weather = `station,time,lat,lon,elevation_m,anemometer_height_m,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg
A,2024-05-03T08:00Z,52.01,5,3,10,14,70,1010,2,200
A,2024-05-03T08:30Z,52.01,5,3,10,14,70,1010,2,200
A,2024-05-03T09:00Z,52.01,5,3,10,14,70,1010,2,200
`

let top = ''
const path = (name: string): string => join(top, name)
function folder(name: string, files: Record<string, string>): string {
  mkdirSync(path(name))
  for (const [file, text] of Object.entries(files)) writeFileSync(join(path(name), file), text)
  return path(name)
}
const drives = {
  'a.gpx': straightTrack('2024-05-03T08:05:00Z'),
  'b.gpx': straightTrack('2024-05-03T08:35:00Z'),
  'weather.csv': weather,
}

beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-cli-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

describe('help, version and mistakes', () => {
  it('prints help and version to stdout and is done', () => {
    expect(ceterisProcess('--version')).toEqual({ status: 0, stdout: `${version}\n`, stderr: '' })
    const help = ceteris('report', '--help')
    expect(help).toMatchObject({ status: 0, stderr: '' })
    for (const option of [
      '--out',
      '--margin',
      '--limits',
      '--draws',
      '--seed',
      '--jobs',
      '--json',
      '--quiet',
      'Example:',
    ])
      expect(help.stdout).toContain(option)
  })

  it.each([
    ['no command', [], 'Usage: ceteris'],
    ['an unknown command', ['reprot', '.'], "unknown command 'reprot'\n(Did you mean report?)"],
    ['an unknown option', ['report', '.', '--margn', '1'], "unknown option '--margn'\n(Did you mean --margin?)"],
    ['control characters in a command', ['re\u001b[2Jport'], "unknown command 're\uFFFD[2Jport'"],
    ['control characters in an option', ['report', '.', '--\u202Ex\u0007'], "unknown option '--\uFFFDx\uFFFD'"],
    ['no folder', ['report'], "missing required argument 'folder'"],
    ['a folder too many', ['report', 'a', 'b'], 'too many arguments'],
    ['a margin that is none', ['report', '.', '--margin', 'wide'], 'Expected a number from 0.05 to 50.'],
    ['no draws', ['report', '.', '--draws', '0'], 'Expected a whole number from 50'],
    [
      'a procedure nobody knows',
      ['report', '.', '--limits', 'un-r83-road,foo'],
      'Expected one or several of sae-j1321-2012',
    ],
    ['half a seed', ['report', '.', '--seed', '1.5'], 'Expected a whole number'],
  ])('leaves with 2 for %s', (_, args, words) => {
    const { status, stdout, stderr } = ceteris(...args)
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toContain(words)
  })
})

describe('nothing can be done: 2, with the reason on stderr and nothing written', () => {
  it.each([
    ['a folder that is not there', () => path('nowhere'), 'it does not exist'],
    ['a file', () => join(folder('one-file', { 'a.gpx': 'x' }), 'a.gpx'), 'is a file, expected a folder'],
    ['an empty folder', () => folder('empty', {}), 'holds no file that could be read'],
    ['no track', () => folder('no-track', { 'weather.csv': weather }), 'no file in the folder holds a track'],
    [
      'only broken tracks',
      () => folder('broken', { 'a.gpx': '<gpx', 'b.gpx': '' }),
      'no file in the folder holds a track',
    ],
  ])('%s', (_, prepare, words) => {
    const target = prepare()
    const { status, stdout, stderr } = ceteris('report', target)
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toContain(words)
    expect(existsSync(join(target, 'report'))).toBe(false)
  })

  it('a report in the place of the folder itself or above it', () => {
    const input = folder('above', drives)
    for (const out of [input, top]) {
      expect(ceteris('report', input, '--out', out)).toMatchObject({ status: 2, stdout: '' })
    }
    expect(readdirSync(input).sort()).toEqual(['a.gpx', 'b.gpx', 'weather.csv'])
  })

  it('a report in the place of something else, in a process of its own', () => {
    const input = folder('foreign', drives)
    const out = folder('photos', { 'holiday.jpg': 'x' })
    const { status, stderr } = ceterisProcess('report', input, '--out', out)
    expect(status).toBe(2)
    expect(stderr).toContain('something that this program did not write')
    expect(readdirSync(out)).toEqual(['holiday.jpg'])
  })
})

describe('a folder of two drives', () => {
  it('is done with 0, prints the verdicts, and writes a report that is never read as input', () => {
    const input = folder('good', drives)
    const first = ceterisProcess('report', input)
    expect(first.status).toBe(0)
    expect(first.stdout).toContain('Pairs')
    expect(first.stdout).toMatch(/Report: file:\/\/.*\/good\/report\/index\.html\n$/)
    const written = () =>
      readdirSync(join(input, 'report'), { recursive: true, withFileTypes: true })
        .filter((entry) => entry.isFile())
        .map((entry) => [entry.name, readFileSync(join(entry.parentPath, entry.name), 'latin1')])
    const bytes = written()
    expect(readdirSync(join(input, 'report')).sort()).toEqual([
      '.ceteris-report.json',
      'cards',
      'claims.csv',
      'index.html',
      'pairs.csv',
      'parts.csv',
      'report.json',
      'report.md',
      'runs.csv',
    ])
    // Two runs, wide and square, as SVG and PNG, and the list of alternative texts.
    expect(readdirSync(join(input, 'report/cards'))).toHaveLength(9)
    const again = ceteris('report', input, '--jobs', '3')
    expect(again.stdout).toBe(first.stdout)
    expect(written()).toEqual(bytes)
    expect(ceteris('report', input, '--cards', 'none').status).toBe(0)
    expect(readdirSync(join(input, 'report'))).not.toContain('cards')
  })

  it('takes its settings from the options, and prints the result itself with --json', () => {
    const { status, stdout, stderr } = ceteris(
      'report',
      folder('json', drives),
      '--json',
      '--margin',
      '2.5',
      '--draws',
      '100',
      '--seed',
      '7',
      '--limits',
      'sae-j1263-2010',
      '--out',
      path('json-out'),
    )
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    const report = reportSchema.parse(JSON.parse(stdout))
    expect(report.settings).toMatchObject({ margin_pct: 2.5, draws: 100, seed: 7, limits: ['sae-j1263-2010'] })
    expect(report.runs).toHaveLength(2)
    expect(readFileSync(join(path('json-out'), 'report.json'), 'utf8')).toBe(stdout)
  })

  it('prints nothing with --quiet', () => {
    expect(ceteris('report', folder('quiet', drives), '--quiet')).toEqual({ status: 0, stdout: '', stderr: '' })
  })

  it('is done with 1 when an input has an error, which is told on stderr with its place', () => {
    const input = folder('with-error', {
      ...drives,
      'campaign.yaml': 'title: x\nmargin_pct: lots\n',
      'page.gpx': '<!doctype html><html><body>Log in</body></html>',
    })
    const { status, stdout, stderr } = ceterisProcess('report', input)
    expect(status).toBe(1)
    expect(stderr).toContain('campaign.yaml:2:13: margin_pct: found the text "lots"')
    expect(stderr).toContain('page.gpx')
    expect(stdout).not.toContain('campaign.yaml:2')
    const quiet = ceteris('report', input, '--quiet')
    expect(quiet).toMatchObject({ status: 1, stdout: '' })
    expect(quiet.stderr.split('\n').length).toBe(3)
  })

  it('keeps the report of another run when its own cannot be made', () => {
    const input = folder('keeps', drives)
    ceteris('report', input, '--quiet')
    const before = readFileSync(join(input, 'report/report.json'), 'utf8')
    copyFileSync(join(input, 'weather.csv'), join(input, 'a.gpx'))
    copyFileSync(join(input, 'weather.csv'), join(input, 'b.gpx'))
    expect(ceteris('report', input).status).toBe(2)
    expect(readFileSync(join(input, 'report/report.json'), 'utf8')).toBe(before)
  })
})

describe('the published schema', () => {
  it('is that of the contract', () => {
    expect(readFileSync(join(ROOT, 'dist/report.schema.json'), 'utf8')).toBe(jsonSchemaText())
  })
})
