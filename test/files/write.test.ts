import {
  chmodSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  unlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { beginWork, clearDeadWorks, endWork } from '../../src/files/unfinished-work.ts'
import { writeReport } from '../../src/files/write.ts'
import { treeOf } from '../tools/tree.ts'

let top = ''
beforeEach(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-test-'))
})
afterEach(() => rmSync(top, { recursive: true, force: true }))

const LIST = '.ceteris-report.json'
const JSON_TEXT = '{\n  "schema": "ceteris-report/1"\n}\n'
const FIRST = { 'report.json': JSON_TEXT, 'runs.csv': 'first', 'cards/a.svg': '<svg/>' }
const SECOND = { 'report.json': JSON_TEXT, 'runs.csv': 'second' }
const OWN = [LIST, 'report.json', 'runs.csv']

const out = (): string => join(top, 'report')
const all = (): string[] => readdirSync(top).sort()
const inReport = (): string[] => readdirSync(out(), { recursive: true, encoding: 'utf8' }).sort()

function put(path: string, text = 'mine'): string {
  mkdirSync(dirname(join(top, path)), { recursive: true })
  writeFileSync(join(top, path), text)
  return join(top, path)
}

describe('writing the report folder', () => {
  it('replaces an earlier report as a whole and leaves nothing else', async () => {
    await writeReport(out(), FIRST)
    expect(await writeReport(out(), SECOND)).toMatchObject({ value: { folder: out() }, problems: [] })
    expect(inReport()).toEqual(OWN)
    expect(readFileSync(join(out(), 'runs.csv'), 'utf8')).toBe('second')
    expect(all()).toEqual(['report'])
  })

  it('makes the folders above it and takes an empty one, or one that a file manager has looked at', async () => {
    mkdirSync(out())
    expect((await writeReport(out(), FIRST)).value?.folder).toBe(out())
    expect((await writeReport(join(top, 'p/q/r'), FIRST)).value?.folder).toBe(join(top, 'p/q/r'))
    put('looked-at/.DS_Store')
    expect((await writeReport(join(top, 'looked-at'), FIRST)).problems).toEqual([])
    expect(readFileSync(join(top, 'looked-at/.DS_Store'), 'utf8')).toBe('mine')
  })

  it('keeps who may read the folder', async () => {
    await writeReport(out(), FIRST)
    chmodSync(out(), 0o700)
    await writeReport(out(), SECOND)
    expect(treeOf(top).report).toMatch(/ 700 /)
  })

  it.each<[string, string, () => unknown]>([
    ['a folder of something else', 'such as holiday.jpg', () => put('report/holiday.jpg')],
    ['a file', 'taken by a file', () => put('report')],
    ['a link to nothing', 'a link to nothing', () => symlinkSync('nowhere', out())],
    // Any folder with a report.json that begins like ours was replaced, with all that lay in it.
    [
      'a folder with a printed report',
      'such as photo.jpg',
      () => [put('report/photo.jpg'), put('report/report.json', JSON_TEXT)],
    ],
    ['a folder with a list that is none', `such as ${LIST}`, () => put(`report/${LIST}`, '{"files":[]}')],
    ['a folder whose list names files outside', `such as ${LIST}`, () => put(`report/${LIST}`, outsideList())],
  ])('never replaces %s', async (_, words, prepare) => {
    prepare()
    const before = treeOf(top)
    const { value, problems } = await writeReport(out(), FIRST)
    expect(value).toBeNull()
    expect(problems.map(({ code }) => code)).toEqual(['out-not-a-report'])
    expect(problems[0].message).toContain(words)
    expect(treeOf(top)).toEqual(before)
  })

  it('tells of a report of an earlier version what to do', async () => {
    for (const name of ['runs.csv', 'claims.csv', 'parts.csv', 'pairs.csv', 'index.html', 'report.md'])
      put(`report/${name}`)
    put('report/report.json', JSON_TEXT)
    const before = treeOf(top)
    expect((await writeReport(out(), FIRST)).problems).toMatchObject([{ code: 'out-older-report' }])
    expect(treeOf(top)).toEqual(before)
  })

  it('keeps the old report when the new one cannot be written, and says why', async () => {
    await writeReport(out(), FIRST)
    const before = treeOf(top)
    const { value, problems } = await writeReport(out(), { ...SECOND, 'report.json/below-a-file.txt': 'x' })
    expect(value).toBeNull()
    expect(problems[0]).toMatchObject({ code: 'out-unwritable', severity: 'error', file: out() })
    expect(treeOf(top)).toEqual(before)
  })

  it('says so when its place is below a file', async () => {
    put('file')
    expect((await writeReport(join(top, 'file/report'), FIRST)).problems[0].message).toContain(
      'there is a file where a folder is needed',
    )
  })
})

const outsideList = (): string =>
  JSON.stringify({
    schema: 'ceteris-report-files/1',
    about:
      'The program ceteris wrote the files listed here, and replaces or removes these alone. Without this list it leaves the folder as it is.',
    files: [{ path: '../photo.jpg', size_bytes: 4, sha256: '0'.repeat(64) }],
  })

describe('what the user puts into a report', () => {
  // Notes in the report's folder were deleted with it.
  it('is in the next one as it was: files, links, empty folders, their modes and times', async () => {
    await writeReport(out(), FIRST)
    chmodSync(put('report/my-notes.md'), 0o640)
    utimesSync(join(out(), 'my-notes.md'), 1e9, 1e9)
    put('report/.DS_Store')
    put('report/cards/mine/deep.png', '')
    mkdirSync(join(out(), 'empty'), { mode: 0o750 })
    symlinkSync('../elsewhere', join(out(), 'link'))
    utimesSync(join(out(), 'cards/mine'), 1e9, 1e9)
    const isMine = (path: string): boolean => /my-notes|DS_Store|mine|empty|link/.test(path)
    const before = treeOf(out(), isMine)
    expect((await writeReport(out(), SECOND)).problems).toEqual([])
    expect(treeOf(out(), isMine)).toEqual(before)
    expect(inReport()).toEqual(
      [...OWN, '.DS_Store', 'cards', 'cards/mine', 'cards/mine/deep.png', 'empty', 'link', 'my-notes.md'].sort(),
    )
    expect(all()).toEqual(['report'])
  })

  it('is refused where it was one of the report’s files', async () => {
    await writeReport(out(), FIRST)
    writeFileSync(join(out(), 'runs.csv'), 'first, with my remarks')
    const before = treeOf(top)
    const { problems } = await writeReport(out(), SECOND)
    expect(problems).toMatchObject([{ code: 'out-changed', hint: expect.stringContaining('runs.csv') }])
    expect(treeOf(top)).toEqual(before)
    unlinkSync(join(out(), 'runs.csv'))
    expect((await writeReport(out(), SECOND)).problems).toEqual([])
  })

  it.each([
    ['a file in the place of a file', 'report/points/a.csv'],
    ['a file in the place of a folder', 'report/points'],
    ['a folder in the place of a file', 'report/points/a.csv/b'],
  ])('is refused where it stands in the way: %s', async (_, path) => {
    await writeReport(out(), FIRST)
    put(path)
    const before = treeOf(top)
    const { problems } = await writeReport(out(), { ...SECOND, 'points/a.csv': 'new' })
    expect(problems).toMatchObject([{ code: 'out-not-a-report', message: expect.stringContaining('points') }])
    expect(treeOf(top)).toEqual(before)
  })
})

/** 2^22 is the highest process id of Linux (man 5 proc, pid_max): this one never runs. */
const NOBODY = '4194305'

/** Makes work look as if another process had begun it. */
function ofAnother(folder: string, change: (name: string) => string): string {
  const other = join(dirname(folder), change(folder.slice(dirname(folder).length + 1)))
  renameSync(folder, other)
  return other
}
const ofDeadOne = (folder: string): string =>
  ofAnother(folder, (name) => name.replace(`-${process.pid}-`, `-${NOBODY}-`))

describe.runIf(process.platform === 'linux')('what a killed call left', () => {
  it('is put right: the old report comes back, half a new one goes', async () => {
    await writeReport(out(), FIRST)
    put('report/my-notes.md')
    const work = beginWork(out())
    mkdirSync(work.fresh)
    writeFileSync(join(work.fresh, 'runs.csv'), 'hal')
    linkSync(join(out(), 'my-notes.md'), join(work.fresh, 'my-notes.md'))
    renameSync(out(), join(work.folder, 'old-1'))
    ofDeadOne(work.folder)
    expect(clearDeadWorks(top)).toEqual([])
    expect(all()).toEqual(['report'])
    expect(readFileSync(join(out(), 'runs.csv'), 'utf8')).toBe('first')
    expect(readFileSync(join(out(), 'my-notes.md'), 'utf8')).toBe('mine')
  })

  it('goes where the new report was in its place already; what was put there meanwhile comes along', async () => {
    await writeReport(out(), FIRST)
    const work = beginWork(out())
    renameSync(out(), join(work.folder, 'old-1'))
    writeFileSync(join(work.folder, 'old-1/late.md'), 'saved in that moment')
    await writeReport(out(), SECOND)
    // Brought back, and replaced like any report.
    expect(readFileSync(join(out(), 'late.md'), 'utf8')).toBe('saved in that moment')
    mkdirSync(join(work.folder, 'old-2'))
    writeFileSync(join(work.folder, 'old-2/later.md'), 'saved after that')
    ofDeadOne(work.folder)
    expect(clearDeadWorks(top)).toEqual([])
    expect(readFileSync(join(out(), 'later.md'), 'utf8')).toBe('saved after that')
    expect(all()).toEqual(['report'])
  })

  it('stays where two versions of a file of the user are, and is named', async () => {
    await writeReport(out(), FIRST)
    put('report/my-notes.md', 'newer')
    const work = beginWork(out())
    mkdirSync(join(work.folder, 'old-1'))
    writeFileSync(join(work.folder, 'old-1/my-notes.md'), 'older')
    const folder = ofDeadOne(work.folder)
    const { problems } = await writeReport(out(), SECOND)
    expect(problems).toMatchObject([{ code: 'out-left', file: join(folder, 'waste-1/my-notes.md') }])
    expect(readFileSync(join(folder, 'waste-1/my-notes.md'), 'utf8')).toBe('older')
    expect(readFileSync(join(out(), 'my-notes.md'), 'utf8')).toBe('newer')
  })

  it.each<[string, (folder: string) => string]>([
    ['a process that runs', (folder) => folder],
    [
      'another container or host',
      (folder) => ofAnother(folder, (name) => name.replace(/-[0-9a-f]{16}-/, `-${'0'.repeat(16)}-`)),
    ],
    [
      'a system that does not tell',
      (folder) => ofAnother(folder, (name) => name.replace(/-[0-9a-f]{16}-/, '-elsewhere-')),
    ],
  ])('is no work of %s, until a day has passed', async (_, other) => {
    const folder = other(beginWork(out()).folder)
    mkdirSync(join(folder, 'new'))
    await writeReport(out(), FIRST)
    expect(all()).toEqual([folder.slice(top.length + 1), 'report'].sort())
    const yesterday = Date.now() / 1000 - 86_500
    for (const path of [join(folder, 'new'), folder]) utimesSync(path, yesterday, yesterday)
    await writeReport(out(), SECOND)
    expect(all()).toEqual(['report'])
  })

  // A folder of the user's own was deleted for its name.
  it('is nothing that the user called so', async () => {
    const names = [
      '.report.old-20240501',
      '.report.new-4194305',
      '.ceteris-writing-mine',
      `.ceteris-writing-elsewhere-${NOBODY}-${'0'.repeat(36)}`,
    ]
    for (const name of names) put(`${name}/old-1/precious.txt`)
    const before = treeOf(top)
    await writeReport(out(), FIRST)
    rmSync(out(), { recursive: true })
    expect(treeOf(top)).toEqual(before)
  })

  it('may have ended before the note was whole', () => {
    const { folder } = beginWork(out())
    for (const length of [0, 30, 150]) {
      const note = join(folder, 'about.json')
      const text = readFileSync(note, 'utf8')
      const dead = ofDeadOne(folder)
      writeFileSync(join(dead, 'about.json'), text.slice(0, length))
      clearDeadWorks(top)
      expect(existsSync(dead)).toBe(false)
      mkdirSync(folder)
      writeFileSync(note, text)
    }
  })
})

describe('several writers at once', () => {
  it('leave one whole report, all that the user has put there, and nothing beside it', async () => {
    await writeReport(out(), FIRST)
    put('report/my-notes.md')
    for (let round = 0; round < 10; round++) {
      const texts = [0, 1, 2, 3].map((i) => `writer ${round}.${i}`)
      const outcomes = await Promise.all(
        texts.map((text) => writeReport(out(), { 'report.json': JSON_TEXT, 'runs.csv': text, 'cards/a.svg': text })),
      )
      expect(outcomes.map(({ problems }) => problems)).toEqual([[], [], [], []])
      const left = readFileSync(join(out(), 'runs.csv'), 'utf8')
      expect(texts).toContain(left)
      expect(readFileSync(join(out(), 'cards/a.svg'), 'utf8')).toBe(left)
      expect(readFileSync(join(out(), 'my-notes.md'), 'utf8')).toBe('mine')
      expect(all()).toEqual(['report'])
    }
  })

  it('who is ended politely takes back what is half done', async () => {
    await writeReport(out(), FIRST)
    const before = treeOf(top)
    const work = beginWork(out())
    mkdirSync(work.fresh)
    endWork(work)
    expect(treeOf(top)).toEqual(before)
  })
})
