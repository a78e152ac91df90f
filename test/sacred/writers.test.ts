import { spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { rolldown } from 'rolldown'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { writeReport } from '../../src/files/write.ts'
import { ceteris, folderWith, PROGRAM, ROOT, shortCampaign } from '../cli/command.ts'
import { treeOf } from '../tools/tree.ts'
import { QUICK } from './users-folder.ts'

/** 100 in `npm run test:sacred`. */
const ROUNDS = process.env.CETERIS_SACRED === undefined ? 1 : 100
const SEEDS = ['1', '2', '3', '4']

/** Each call in a table of processes of its own, as in containers; only who may make one can try. */
const ALONE = ['unshare', '--pid', '--fork', '--mount-proc']
const mayBeAlone = spawnSync(ALONE[0], [...ALONE.slice(1), 'true']).status === 0

let top = ''
let folder = ''
/** The files of the report of each seed, as they are without anybody else. */
let wanted: Record<string, string>[] = []
beforeAll(async () => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-writers-'))
  // Made once of its sources, not in each of the eight processes.
  const bundle = await rolldown({ input: join(ROOT, 'src/files/write.ts'), platform: 'node', logLevel: 'warn' })
  await bundle.write({ file: writeModule() })
  await bundle.close()
  folder = shortCampaign(join(top, 'campaign'))
  expect(ceteris('report', folder, ...QUICK).status).toBe(0)
  folderWith(join(folder, 'report'), { 'my-notes.md': 'mine' })
  wanted = SEEDS.map((seed) => {
    const out = join(top, `alone-${seed}`)
    expect(ceteris('report', folder, ...QUICK, '--seed', seed, '--out', out).status).toBe(0)
    return contentOf(out)
  })
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

const writeModule = (): string => join(top, 'write.mjs')

/** Of each file of a report the digest, at the end of its line. */
const contentOf = (report: string): Record<string, string> =>
  Object.fromEntries(
    Object.entries(treeOf(report, (path) => path !== 'my-notes.md')).map(([path, state]) => [path, state.slice(-64)]),
  )

function write(seed: string, before: string[]): Promise<{ code: number | null; stderr: string }> {
  const [command, ...words] = [
    ...before,
    process.execPath,
    PROGRAM,
    'report',
    folder,
    ...QUICK,
    '--quiet',
    '--seed',
    seed,
  ]
  const child = spawn(command, words, { stdio: ['ignore', 'ignore', 'pipe'] })
  let stderr = ''
  child.stderr.on('data', (text) => {
    stderr += text
  })
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, stderr })))
}

describe('calls at once that write one report', () => {
  it.each<[string, string[], boolean]>([
    ['on one computer', [], true],
    ['in containers', ALONE, mayBeAlone],
  ])(
    `%s: rounds of four (${ROUNDS}) end with a whole report each time, and nothing beside it`,
    async (_, before, may) => {
      if (!may) return
      for (let round = 0; round < ROUNDS; round++) {
        const ended = await Promise.all(SEEDS.map((seed) => write(seed, before)))
        expect({ round, ended }).toEqual({ round, ended: SEEDS.map(() => ({ code: 0, stderr: '' })) })
        expect(wanted).toContainEqual(contentOf(join(folder, 'report')))
        expect(readFileSync(join(folder, 'report/my-notes.md'), 'utf8')).toBe('mine')
        expect(readdirSync(folder).sort()).toEqual(['campaign.yaml', 'report', 'runs.csv', 'tracks', 'weather'])
      }
    },
    3_600_000,
  )

  it.each<[string, string[], boolean]>([
    ['on one computer', [], true],
    ['in containers', ALONE, mayBeAlone],
  ])(
    '%s: four writers without a pause lose nothing, and leave nothing',
    async (name, before, may) => {
      if (!may) return
      const place = join(folderWith(join(top, `often ${name}`), {}), 'report')
      await writeReport(place, { 'report.json': 'first' })
      folderWith(place, { 'my-notes.md': 'mine', 'cards/mine/deep.png': '', 'empty/.keep': 'x' })
      const mine = (path: string): boolean => /mine|notes|empty/.test(path)
      const users = treeOf(place, mine)
      const said = await Promise.all(SEEDS.map((writer) => writeOften(place, writer, before)))
      expect(said).toEqual(SEEDS.map(() => ({ code: 0, text: '' })))
      expect(treeOf(place, mine)).toEqual(users)
      const texts = ['report.json', 'runs.csv', 'cards/a.svg', 'cards/deep/b.svg', 'points/c.csv']
      expect(new Set(texts.map((path) => readFileSync(join(place, path), 'utf8'))).size).toBe(1)
      expect(readdirSync(join(place, '..'))).toEqual(['report'])
    },
    3_600_000,
  )
})

function writeOften(place: string, writer: string, before: string[]): Promise<{ code: number | null; text: string }> {
  const script = join(import.meta.dirname, 'write-often.mjs')
  const [command, ...words] = [...before, process.execPath, script, writeModule(), place, writer, String(12 * ROUNDS)]
  const child = spawn(command, words, { stdio: ['ignore', 'pipe', 'pipe'] })
  let text = ''
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (more) => (text += more))
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, text })))
}
