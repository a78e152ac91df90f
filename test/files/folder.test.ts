import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises'
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
async function readFolder(folder: string) {
  const { listed, problems } = await listFolder(folder)
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

const REPORT = { 'report.json': '{\n  "schema": "ceteris-report/2"\n}\n', 'runs.csv': 'new' }
const OLDER = ['report.json', 'runs.csv', 'claims.csv', 'parts.csv', 'pairs.csv', 'index.html', 'report.md']

describe('reading a folder', () => {
  const paths = async () => (await readFolder(join(top, 'in'))).files.map(({ path }) => path)

  it('finds files at any depth in the order of their names, with the hash of their bytes', async () => {
    for (const path of ['in/b.gpx', 'in/a/z.gpx', 'in/a/y/x.csv', 'in/A.gpx']) await put(path, path)
    expect(await paths()).toEqual(['A.gpx', 'a/y/x.csv', 'a/z.gpx', 'b.gpx'])
    const { files } = await readFolder(join(top, 'in'))
    expect(files[0].sha256).toBe(createHash('sha256').update('in/A.gpx').digest('hex'))
  })

  it('passes over hidden files and reports, whatever the folder of a report is called', async () => {
    for (const path of ['in/a.gpx', 'in/.hidden', 'in/.git/config']) await put(path)
    await writeReport(join(top, 'in/earlier'), REPORT)
    expect(await paths()).toEqual(['a.gpx'])
    expect((await readFolder(join(top, 'in'))).problems).toEqual([])
  })

  // A report printed into a folder of tracks hid the folder: any report.json made its folder a report.
  it('reads what lies beside a report that was only printed there', async () => {
    for (const path of ['in/a.gpx', 'in/may/b.gpx', 'in/report/c.gpx']) await put(path)
    await put('in/may/report.json', REPORT['report.json'])
    expect(await paths()).toEqual(['a.gpx', 'may/b.gpx', 'may/report.json', 'report/c.gpx'])
  })

  it('names what somebody has put into a report, and does not read it', async () => {
    await writeReport(join(top, 'in/report'), REPORT)
    for (const path of ['in/a.gpx', 'in/report/b.gpx', 'in/report/cards/c.gpx', 'in/report/.DS_Store']) await put(path)
    const { files, problems } = await readFolder(join(top, 'in'))
    expect(files.map(({ path }) => path)).toEqual(['a.gpx'])
    expect(problems).toMatchObject([{ code: 'beside-report', severity: 'warning', file: 'report' }])
    expect(problems[0].message).toContain('b.gpx and 1 more lie')
    await rm(join(top, 'in/report/b.gpx'))
    await rm(join(top, 'in/report/cards'), { recursive: true })
    await put('in/report/my-notes.md')
    expect((await readFolder(join(top, 'in'))).problems).toMatchObject([{ code: 'beside-report', severity: 'note' }])
  })

  it('passes over the files of a report of an earlier version, which has no list of them, and nothing else there', async () => {
    for (const name of OLDER) await put(`in/old/${name}`, name === 'report.json' ? REPORT['report.json'] : 'x')
    for (const path of ['in/a.gpx', 'in/old/cards/a.svg', 'in/old/track.gpx']) await put(path)
    const { files, problems } = await readFolder(join(top, 'in'))
    expect(files.map(({ path }) => path)).toEqual(['a.gpx'])
    expect(problems[0].message).toContain('track.gpx lies')
  })

  it('leaves out what has the name of an unfinished copy, and names it', async () => {
    const unfinished = ['in/a.gpx.part', 'in/b.GPX.crdownload', 'in/~$runs.csv', 'in/runs.csv~', 'in/sub/c.tmp']
    for (const path of ['in/a.gpx', 'in/part.gpx', ...unfinished]) await put(path)
    const { files, problems } = await readFolder(join(top, 'in'))
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
    const { files, problems } = await readFolder(join(top, 'in'))
    expect(files.map(({ path }) => path)).toEqual(['a.gpx'])
    expect(problems.map(({ code, file }) => `${file} ${code}`)).toEqual([
      'dangling.gpx file-unreadable',
      'out.gpx link-out-of-folder',
    ])
  })
})

it.skipIf(process.platform === 'win32')('a pipe among the files is named, and does not hold anything up', async () => {
  await put('a.gpx')
  execFileSync('mkfifo', [join(top, 'pipe.gpx')])
  const { files, problems } = await readFolder(top)
  expect(files.map(({ path }) => path)).toEqual(['a.gpx'])
  expect(problems.map(({ code, file }) => [code, file])).toEqual([['not-a-file', 'pipe.gpx']])
})
