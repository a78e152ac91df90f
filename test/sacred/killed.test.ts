import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ceteris, folderWith, PROGRAM, shortCampaign } from '../cli/command.ts'
import { isWhole, reportAfterKill } from '../hostile/whole-report.ts'
import { treeOf } from '../tools/tree.ts'
import { copyOf, QUICK } from './users-folder.ts'

/** Every operation in `npm run test:sacred`; some of them in the tests, spread over all. */
const ALL = process.env.CETERIS_SACRED !== undefined
const SOME = 4

const PRELOAD = pathToFileURL(join(import.meta.dirname, 'die-at.mjs')).href

let top = ''
let original = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-killed-'))
  original = shortCampaign(join(top, 'original'))
  expect(ceteris('report', original, ...QUICK).status).toBe(0)
  folderWith(join(original, 'report'), { 'my-notes.md': 'mine', 'cards/mine.png': '', 'deep/er/photo.jpg': 'x' })
  symlinkSync('my-notes.md', join(original, 'report/link.md'))
  const tracks = join(original, 'tracks')
  expect(ceteris('batch', 'map', tracks, '--root', original, '--out', join(top, 'map.jsonl')).status).toBe(0)
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const MINE = /my-notes|mine|deep|link\.md|tracks|weather|runs\.csv$|campaign/
const isUsers = (path: string): boolean => MINE.test(path) && path !== 'report/runs.csv'

interface Death {
  at?: number
  when?: string
  count?: string
}

function run(folder: string, words: string[], { at = 0, when = 'before', count = '' }: Death): string | null {
  return spawnSync(process.execPath, ['--import', PRELOAD, PROGRAM, ...words], {
    cwd: folder,
    encoding: 'utf8',
    env: { ...process.env, DIE_BELOW: folder, DIE_AT: String(at), DIE_WHEN: when, DIE_COUNT: count },
  }).signal
}

/** How many operations a call has, and the ones at which it is killed. */
function deathsOf(words: string[]): Death[] {
  const folder = copyOf(original, join(top, 'counted'))
  const count = join(top, 'count')
  expect(run(folder, words, { count })).toBe(null)
  const operations = Number(readFileSync(count, 'utf8'))
  expect(operations).toBeGreaterThan(5)
  for (const path of [folder, count]) rmSync(path, { recursive: true })
  const every = Array.from({ length: 2 * operations }, (_, i) => ({
    at: 1 + (i >> 1),
    when: ['before', 'after'][i % 2],
  }))
  return ALL
    ? every
    : every.filter((_, i) => i % Math.ceil(every.length / SOME) === Math.floor(every.length / SOME / 2))
}

const namesIn = (folder: string): string[] => readdirSync(folder).sort()

describe.runIf(process.platform === 'linux')('a call killed at any operation on a file', () => {
  it('leaves the old report or the new one, and all of the user’s; the next call clears up', () => {
    const words = ['report', '.', ...QUICK, '--seed', '2']
    const users = treeOf(original, isUsers)
    const reports: string[] = []
    const deaths = deathsOf(words)
    expect(deaths.length).toBeGreaterThan(3)
    for (const death of deaths) {
      const folder = copyOf(original, join(top, 'killed'))
      expect({ death, signal: run(folder, words, death) }).toEqual({ death, signal: 'SIGKILL' })
      const place = reportAfterKill(folder)
      expect({ death, isWhole: isWhole(place) }).toEqual({ death, isWhole: true })
      reports.push(readFileSync(join(place, 'report.json'), 'utf8'))
      // Between the two renames they are where the report is.
      const moved = (path: string): boolean => isUsers(path) && !path.startsWith('report/')
      expect(treeOf(folder, (path) => moved(path) && !path.startsWith('.'))).toEqual(treeOf(original, moved))
      expect(treeOf(place, (path) => isUsers(`report/${path}`))).toEqual(
        treeOf(join(original, 'report'), (path) => isUsers(`report/${path}`)),
      )
      const next = ceteris('report', folder, ...QUICK, '--seed', '3')
      expect({ death, status: next.status, stderr: next.stderr }).toEqual({
        death,
        status: 0,
        stderr: expect.not.stringContaining('hidden'),
      })
      expect({ death, names: namesIn(folder) }).toEqual({ death, names: namesIn(original) })
      expect({ death, users: treeOf(folder, isUsers) }).toEqual({ death, users })
      rmSync(folder, { recursive: true })
    }
    if (ALL) expect(new Set(reports).size).toBe(2)
  }, 3_600_000)

  it('leaves the old file or the new one', () => {
    const words = ['batch', 'map', 'tracks', '--root', '.', '--out', 'map.jsonl']
    const whole = readFileSync(join(top, 'map.jsonl'), 'utf8')
    for (const death of deathsOf(words)) {
      const folder = copyOf(original, join(top, 'killed'))
      expect(run(folder, words, death)).toBe('SIGKILL')
      const file = join(folder, 'map.jsonl')
      expect({ death, isWhole: !existsSync(file) || readFileSync(file, 'utf8') === whole }).toEqual({
        death,
        isWhole: true,
      })
      expect(ceteris('batch', 'map', join(folder, 'tracks'), '--root', folder, '--out', file).status).toBe(0)
      expect({ death, names: namesIn(folder) }).toEqual({ death, names: [...namesIn(original), 'map.jsonl'].sort() })
      rmSync(folder, { recursive: true })
    }
  }, 3_600_000)

  it('leaves first settings as a whole or not at all', () => {
    const words = ['init', 'tracks']
    const settings = ['tracks/campaign.yaml', 'tracks/runs.csv']
    const made = copyOf(original, join(top, 'made'))
    expect(run(made, words, {})).toBe(null)
    const whole = settings.map((path) => readFileSync(join(made, path), 'utf8'))
    for (const death of deathsOf(words)) {
      const folder = copyOf(original, join(top, 'killed'))
      expect(run(folder, words, death)).toBe('SIGKILL')
      for (const [i, path] of settings.entries()) {
        if (existsSync(join(folder, path))) expect(readFileSync(join(folder, path), 'utf8')).toBe(whole[i])
      }
      expect(ceteris('init', join(folder, 'tracks')).status).toBe(0)
      expect({ death, names: namesIn(join(folder, 'tracks')) }).toEqual({ death, names: namesIn(join(made, 'tracks')) })
      rmSync(folder, { recursive: true })
    }
  }, 3_600_000)
})
