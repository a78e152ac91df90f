import { createHash } from 'node:crypto'
import { mkdir, mkdtemp, readdir, readFile, rm, symlink, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { listFolder, readListed } from '../../src/files/folder.ts'
import { writeReport } from '../../src/files/write.ts'

let top = ''
beforeEach(async () => {
  top = await mkdtemp(join(tmpdir(), 'ceteris-test-'))
})
afterEach(() => rm(top, { recursive: true, force: true }))

/** All files below a folder, read; with what was wrong with the folder and with each. */
async function readFolder(folder: string, reportFolders: string[]) {
  const { listed, problems } = await listFolder(folder, reportFolders)
  const read = await Promise.all(listed.map(readListed))
  return {
    files: read.flatMap(({ value }) => value ?? []),
    problems: [...problems, ...read.flatMap((outcome) => outcome.problems)],
  }
}

async function put(path: string, text = 'x'): Promise<void> {
  await mkdir(dirname(join(top, path)), { recursive: true })
  await writeFile(join(top, path), text)
}

const REPORT = { 'report.json': '{\n  "schema": "ceteris-report/1"\n}\n', 'runs.csv': 'new' }

describe('reading a folder', () => {
  const paths = async () => (await readFolder(join(top, 'in'), [join(top, 'in/report')])).files.map(({ path }) => path)

  it('finds files at any depth in the order of their names, with the hash of their bytes', async () => {
    for (const path of ['in/b.gpx', 'in/a/z.gpx', 'in/a/y/x.csv', 'in/A.gpx']) await put(path, path)
    expect(await paths()).toEqual(['A.gpx', 'a/y/x.csv', 'a/z.gpx', 'b.gpx'])
    const { files } = await readFolder(join(top, 'in'), [])
    expect(files[0].sha256).toBe(createHash('sha256').update('in/A.gpx').digest('hex'))
  })

  it('passes over hidden files and reports, whatever the folder of a report is called', async () => {
    for (const path of ['in/a.gpx', 'in/.hidden', 'in/.git/config', 'in/report/anything']) await put(path)
    await put('in/earlier/report.json', REPORT['report.json'])
    await put('in/earlier/runs.csv')
    await put('in/other/report.json', '{"mine": 1}')
    expect(await paths()).toEqual(['a.gpx', 'other/report.json'])
  })

  it('leaves out what has the name of an unfinished copy, and names it', async () => {
    const unfinished = ['in/a.gpx.part', 'in/b.GPX.crdownload', 'in/~$runs.csv', 'in/runs.csv~', 'in/sub/c.tmp']
    for (const path of ['in/a.gpx', 'in/part.gpx', ...unfinished]) await put(path)
    const { files, problems } = await readFolder(join(top, 'in'), [])
    expect(files.map(({ path }) => path)).toEqual(['a.gpx', 'part.gpx'])
    expect(problems.map(({ code, file }) => [code, file])).toEqual(
      ['a.gpx.part', 'b.GPX.crdownload', 'runs.csv~', 'sub/c.tmp', '~$runs.csv'].map((f) => ['file-unfinished', f]),
    )
  })

  it('follows no link, and names those that lead out of the folder or nowhere', async () => {
    await put('outside.gpx')
    await put('in/a.gpx')
    await symlink(join(top, 'outside.gpx'), join(top, 'in/out.gpx'))
    await symlink('a.gpx', join(top, 'in/inside.gpx'))
    await symlink('.', join(top, 'in/round'))
    await symlink('nowhere', join(top, 'in/dangling.gpx'))
    const { files, problems } = await readFolder(join(top, 'in'), [])
    expect(files.map(({ path }) => path)).toEqual(['a.gpx'])
    expect(problems.map(({ code, file }) => `${file} ${code}`)).toEqual([
      'dangling.gpx file-unreadable',
      'out.gpx link-out-of-folder',
    ])
  })
})

describe('writing the report folder', () => {
  const out = () => join(top, 'report')
  const all = () => readdir(top)

  it('replaces an earlier report as a whole and leaves nothing else', async () => {
    await put('report/report.json', REPORT['report.json'])
    await put('report/left-over.csv')
    expect(await writeReport(out(), REPORT)).toMatchObject({ value: { folder: out() }, problems: [] })
    expect((await readdir(out())).sort()).toEqual(['report.json', 'runs.csv'])
    expect(await all()).toEqual(['report'])
  })

  it('makes the folders above it and takes an empty one', async () => {
    await mkdir(out())
    expect((await writeReport(out(), REPORT)).value?.folder).toBe(out())
    expect((await writeReport(join(top, 'p/q/r'), REPORT)).value?.folder).toBe(join(top, 'p/q/r'))
  })

  it.each([
    ['a folder of something else', () => put('report/holiday.jpg')],
    ['a file', () => put('report')],
  ])('never replaces %s', async (_, prepare) => {
    await prepare()
    const { value, problems } = await writeReport(out(), REPORT)
    expect(value).toBeNull()
    expect(problems.map(({ code }) => code)).toEqual(['out-not-a-report'])
    expect(await all()).toEqual(['report'])
  })

  it('keeps the old report when the new one cannot be written, and says why', async () => {
    await put('report/report.json', REPORT['report.json'])
    const { value, problems } = await writeReport(out(), { ...REPORT, 'report.json/below-a-file.txt': 'x' })
    expect(value).toBeNull()
    expect(problems[0]).toMatchObject({ code: 'out-unwritable', severity: 'error', file: out() })
    expect(await readFile(join(out(), 'report.json'), 'utf8')).toBe(REPORT['report.json'])
    expect(await all()).toEqual(['report'])
  })

  it('says so when its place is below a file', async () => {
    await put('file')
    expect((await writeReport(join(top, 'file/report'), REPORT)).problems[0].message).toContain(
      'there is a file where a folder is needed',
    )
  })

  it('puts right what a killed process left: the old report comes back, half a new one goes', async () => {
    // 2^22 is the highest process id of Linux (man 5 proc, pid_max): this one never runs.
    await put('.report.old-4194305/report.json', REPORT['report.json'])
    await put('.report.new-4194305/report.json', 'half')
    const { value } = await writeReport(out(), { ...REPORT, 'report.json/below-a-file.txt': 'x' })
    expect(value).toBeNull()
    expect(await all()).toEqual(['report'])
    expect(await readFile(join(out(), 'report.json'), 'utf8')).toBe(REPORT['report.json'])
  })
})
