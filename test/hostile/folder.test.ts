import { spawn, spawnSync } from 'node:child_process'
import {
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ceteris, folderWith, PROGRAM, STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { isWhole, reportAfterKill } from './whole-report.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-hostile-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const SOUND = { 'good.gpx': straightTrack('2024-05-03T08:10:00Z'), 'good.csv': STEADY_WEATHER }
const QUICK = ['--draws', '50', '--cards', 'none', '--no-cache']

interface Called {
  status: number | null
  signal: string | null
  stdout: string
  stderr: string
}

/** Calls the program; a hang is ended after ten minutes and has no status. */
const report = (folder: string, args: string[] = []): Called => ({
  signal: null,
  ...ceteris('report', folder, ...QUICK, ...args),
})

/** Calls the program in a process of its own, with words for Node itself. */
function reportByProcess(folder: string, node: string[] = [], args: string[] = []): Called {
  const { status, signal, stdout, stderr } = spawnSync(
    process.execPath,
    [...node, PROGRAM, 'report', folder, ...QUICK, ...args],
    { encoding: 'utf8', timeout: 600_000, env: { ...process.env, NO_COLOR: '1' } },
  )
  return { status, signal, stdout, stderr }
}

const hostileFolder = (name: string): string => folderWith(join(top, name), SOUND)

interface Written {
  problems: { path: string | null; code: string }[]
  runs: { id: string; track: string }[]
}
const written = (folder: string): Written => JSON.parse(readFileSync(join(folder, 'report/report.json'), 'utf8'))
const pathsOf = (folder: string, wanted: string): (string | null)[] =>
  written(folder)
    .problems.filter(({ code }) => code === wanted)
    .map(({ path }) => path)

/** What may not reach a terminal: control characters but the line end, marks that turn text round; nor a stack. */
const UNFIT = /[\p{Cc}\u202a-\u202e\u2066-\u2069]/u
function expectClean({ stdout, stderr }: Called): void {
  expect(stdout.replaceAll('\n', '')).not.toMatch(UNFIT)
  expect(stderr.replaceAll('\n', '')).not.toMatch(UNFIT)
  expect(stderr).not.toMatch(/\n\s+at .*:\d+:\d+/)
}

const NAMES = [
  'line\nend.gpx',
  'quote"and\'.gpx',
  'emoji \u{1f699}.gpx',
  '\u202egnp.exe.gpx',
  '\u001b[2J\u001b[31mred\u0007.gpx',
  'a..b.gpx',
  '%2e%2e%2fetc.gpx',
  'up\\..\\..\\etc.gpx',
  '=cmd|calc.gpx',
  '-rf.gpx',
  '$(reboot).gpx',
  '<img src=x onerror=alert(1)>.gpx',
  '`;&|.gpx',
  ' .gpx',
  `${'\uac00'.repeat(80)}.gpx`,
  `${'x'.repeat(251)}.gpx`,
]

describe('names of files', () => {
  it('may be anything: the report is written, the terminal and the page stay clean', () => {
    const folder = hostileFolder('names')
    for (const [i, name] of NAMES.entries()) {
      const start = new Date(Date.parse('2024-05-03T09:00:00Z') + i * 600_000).toISOString()
      writeFileSync(join(folder, name), straightTrack(start))
    }
    const called = report(folder, ['--cards', 'some'])
    expect({ status: called.status, signal: called.signal }).toEqual({ status: 0, signal: null })
    expectClean(called)
    expect(written(folder).runs).toHaveLength(NAMES.length + 1)
    expect(readFileSync(join(folder, 'report/index.html'), 'utf8')).not.toContain('<img src=x')
    expect(readdirSync(folder).sort()).toEqual([...NAMES, 'good.csv', 'good.gpx', 'report'].sort())
  })

  it('may be those of folders, and be longer together than any file name', () => {
    const folder = hostileFolder('deep')
    const deep = [1, 2, 3, 4, 5].map((n) => String(n).repeat(200)).join('/')
    folderWith(folder, {
      [`${deep}/a.gpx`]: straightTrack('2024-05-03T09:00:00Z'),
      'b/a.gpx': straightTrack('2024-05-03T10:00:00Z'),
      'x.gpx/y.gpx': straightTrack('2024-05-03T11:00:00Z'),
    })
    expect(report(folder, ['--cards', 'all']).status).toBe(0)
    expect(written(folder).runs).toHaveLength(4)
  })
})

describe('what is no plain file', () => {
  it('is passed over: links out of the folder, links in a circle, pipes, 3 GB of nothing', () => {
    writeFileSync(join(top, 'secret.csv'), STEADY_WEATHER.replaceAll('A,2024', 'SECRET,2024'))
    const folder = hostileFolder('odd')
    symlinkSync('../secret.csv', join(folder, 'weather.csv'))
    symlinkSync('/', join(folder, 'root'))
    symlinkSync('/dev/zero', join(folder, 'zero.gpx'))
    symlinkSync('..', join(folder, 'up'))
    mkdirSync(join(folder, 'a'))
    symlinkSync('../a', join(folder, 'a/again'))
    symlinkSync('two', join(folder, 'one'))
    symlinkSync('one', join(folder, 'two'))
    symlinkSync('nowhere', join(folder, 'dead.gpx'))
    // A pipe of the second name was opened to see whether its folder is a report, and opening it never came back.
    for (const name of ['pipe.gpx', 'a/report.json']) spawnSync('mkfifo', [join(folder, name)])
    writeFileSync(join(folder, 'nested.gpx'), '<gpx>')
    truncateSync(join(folder, 'nested.gpx'), 3 * 2 ** 30)
    const called = report(folder, ['--json'])
    expect({ status: called.status, signal: called.signal }).toEqual({ status: 1, signal: null })
    expect(called.stdout).not.toContain('SECRET')
    expect(pathsOf(folder, 'link-out-of-folder')).toEqual(['root', 'up', 'weather.csv', 'zero.gpx'])
    expect(pathsOf(folder, 'file-unreadable')).toEqual(['dead.gpx', 'one', 'two'])
    expect(pathsOf(folder, 'file-too-large')).toEqual(['nested.gpx'])
  })
})

function linkIn(folder: string): string {
  symlinkSync(join(folder, 'good.gpx'), join(folder, 'link'))
  return join(folder, 'link')
}

describe('where the report cannot be written', () => {
  it.each<[string, (folder: string) => string]>([
    ['a file', (folder) => join(folder, 'good.gpx')],
    ['below a file', (folder) => join(folder, 'good.gpx/report')],
    ['a folder that is no report', (folder) => folderWith(join(folder, 'precious'), { 'a.txt': 'mine' })],
    ['on /proc', () => '/proc/report'],
    ['a name too long', (folder) => join(folder, 'x'.repeat(300))],
    ['a link to a file', linkIn],
  ])('%s: says so, leaves with 2, and all is as before', (name, place) => {
    const folder = hostileFolder(`out ${name.replaceAll('/', ' ')}`)
    const out = place(folder)
    const before = readdirSync(folder, { recursive: true }).sort()
    const called = report(folder, ['--out', out])
    expect(called.status).toBe(2)
    expect(called.stderr).not.toBe('')
    expectClean(called)
    expect(readdirSync(folder, { recursive: true }).sort()).toEqual(before)
  })

  // The error of the stream was thrown: a stack, and the exit code of a fault.
  it('a full disk for the standard output is said on the other, without a stack', () => {
    const folder = hostileFolder('full-output')
    const { status, stderr } = spawnSync(process.execPath, [PROGRAM, 'report', folder, ...QUICK, '--json'], {
      encoding: 'utf8',
      stdio: ['ignore', openSync('/dev/full', 'w'), 'pipe'],
    })
    expect({ status, stderr }).toEqual({
      status: 2,
      stderr: 'ceteris: the result could not be written out: the disk is full\n',
    })
  })
})

describe('a fault of the program itself', () => {
  const plant = 'Float64Array.prototype.slice = () => { throw new Error("planted \\u001b[2J fault") }'
  const planted = ['--import', `data:text/javascript,${encodeURIComponent(plant)}`]

  it('is told without a stack, and with one on --debug', () => {
    const folder = hostileFolder('fault')
    const called = reportByProcess(folder, planted)
    expect(called.status).toBe(2)
    expect(called.stderr).toContain('planted')
    expect(called.stderr).toContain('--debug')
    expectClean(called)
    expect(reportByProcess(folder, planted, ['--debug']).stderr).toMatch(/\n\s+at .*:\d+:\d+/)
  })
})

describe('a program killed while it works', () => {
  it('leaves the previous report or the new one, whole', async () => {
    const folder = hostileFolder('killed')
    const start = performance.now()
    expect(reportByProcess(folder).status).toBe(0)
    const usualMs = performance.now() - start
    for (let i = 0; i < 10; i++) {
      const args = [PROGRAM, 'report', folder, ...QUICK, '--seed', String(2 + (i % 2))]
      const child = spawn(process.execPath, args, { stdio: 'ignore' })
      const ended = new Promise((resolve) => child.once('exit', resolve))
      await pause(usualMs * (0.3 + 0.07 * i))
      child.kill('SIGKILL')
      await ended
      expect(isWhole(reportAfterKill(folder))).toBe(true)
    }
    expect(report(folder).status).toBe(0)
    expect(readdirSync(folder).sort()).toEqual(['good.csv', 'good.gpx', 'report'])
  })
})
