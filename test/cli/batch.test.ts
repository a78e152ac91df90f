import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { mapFile, type WholeFile } from '../../src/campaign/load/map-file.ts'
import { readRecord, recordLine } from '../../src/records/batch-record.ts'
import { ceteris, PROGRAM, ROOT, shortCampaign, straightTrack } from './command.ts'

let top = ''
beforeAll(() => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-batch-'))
})
afterAll(() => rmSync(top, { recursive: true, force: true }))

/** All bytes of a report, its pictures included. */
function bytesOf(folder: string): Record<string, string> {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile())
  const paths = files.map((entry) => join(entry.parentPath, entry.name)).sort()
  return Object.fromEntries(paths.map((path) => [path.slice(folder.length), readFileSync(path, 'base64')]))
}

const linesOf = (path: string): string[] => readFileSync(path, 'utf8').trimEnd().split('\n')

const SHORT = ['--draws', '50', '--no-cache', '--quiet']
const PLAIN = [...SHORT, '--cards', 'none']

/** Two short drives of each setup. */
function fourDrives(path: string): string {
  shortCampaign(path)
  writeFileSync(join(path, 'tracks/wednesday.gpx'), straightTrack('2024-05-03T08:15:00Z'))
  writeFileSync(join(path, 'tracks/thursday.gpx'), straightTrack('2024-05-03T08:45:00Z'))
  const rows = 'wednesday.gpx,bare,0.41\nthursday.gpx,covered,0.37\n'
  writeFileSync(join(path, 'runs.csv'), rows, { flag: 'a' })
  return path
}

describe('a report from records', () => {
  it('has the bytes of the report on the folder, from records of files and of runs in any order', () => {
    const folder = fourDrives(join(top, 'small'))
    const at = (name: string): string => join(top, `small-${name}`)
    expect(ceteris('report', folder, ...PLAIN, '--out', at('report')).status).toBe(0)
    const wanted = bytesOf(at('report'))
    // Seven, and the list of them.
    expect(Object.keys(wanted)).toHaveLength(8)

    const [first, ...others] = readdirSync(join(folder, 'tracks')).map((name) => join(folder, 'tracks', name))
    const tables = ['weather', 'runs.csv', 'campaign.yaml'].map((name) => join(folder, name))
    for (const [i, paths] of [[first], [...others, ...tables]].entries()) {
      expect(ceteris('batch', 'map', ...paths, '--root', folder, '--out', at(`${9 - i}.jsonl`)).status).toBe(0)
    }
    const records = [at('8.jsonl'), at('9.jsonl')]
    for (const part of ['1/2', '2/2']) {
      const out = at(`runs-${part[0]}.jsonl`)
      const ended = ceteris('batch', 'run', ...records, '--part', part, '--draws', '50', '--out', out)
      expect(ended).toEqual({ status: 0, stdout: '', stderr: '' })
      expect(linesOf(out)).toHaveLength(2)
    }
    const all = [at('runs-2.jsonl'), ...records, at('runs-1.jsonl')]
    const loud = ['--no-cache', '--cards', 'none']
    const joined = ceteris('batch', 'reduce', ...all, '--draws', '50', ...loud, '--root', folder, '--out', at('joined'))
    expect(joined.status).toBe(0)
    expect(joined.stderr).not.toContain('not used')
    expect(bytesOf(at('joined'))).toEqual(wanted)

    const other = ceteris('batch', 'reduce', ...all, '--draws', '60', ...loud, '--out', at('60'))
    expect(other.status).toBe(0)
    expect(other.stderr.match(/is not used: found draws 50, expected 60; the drive was computed here/g)).toHaveLength(4)
  })

  it('has the bytes of the report on a folder of troubles, with its pictures and what is passed over, through a pipe', () => {
    const folder = join(top, 'rough')
    cpSync(join(ROOT, 'samples/ladder-van-rough'), folder, { recursive: true })
    symlinkSync('/etc/hostname', join(folder, 'a link out.gpx'))
    symlinkSync(join(folder, 'campaign.yaml'), join(folder, 'inner'))
    writeFileSync(join(folder, '.hidden.gpx'), 'hidden')
    writeFileSync(join(folder, 'two\nlines "and" ü\u202e.gpx'), '<gpx>')
    cpSync(join(ROOT, 'test/data/terrain'), join(folder, 'tiles'), { recursive: true })
    const report = join(top, 'rough-report')
    expect(ceteris('report', folder, ...SHORT, '--out', report).status).toBe(1)

    const joined = join(top, 'rough-joined')
    const call = `find "$0" -not -type d -print0 | xargs -0 -n 4 "$1" "$2" batch map --root "$0" | "$1" "$2" batch reduce --root "$0" ${SHORT.join(' ')} --out "$3"`
    const { status } = spawnSync('bash', ['-c', call, folder, process.execPath, PROGRAM, joined], { encoding: 'utf8' })
    expect(status).toBe(1)
    expect(bytesOf(joined)).toEqual(bytesOf(report))
    expect(readFileSync(join(joined, 'report.json'), 'utf8')).toContain('link-out-of-folder')
  })
})

describe('a line that is no whole record', () => {
  const mapped = mapFile({ path: 'a.gpx', sha256: 'a', bytes: Buffer.from(straightTrack('2024-05-03T08:05:00Z')) })
  const line = recordLine({ what: 'file', body: { path: 'a.gpx', mapped, problems: [] } }, 'ceteris 1')
  const head = line.split(',"body"')[0]
  const bad: [what: string, code: string, message: RegExp, line: string][] = [
    ['cut off', 'record-unreadable', /cut off after 4000 characters/, line.slice(0, 4000)],
    ['two in one line', 'record-unreadable', /two in one line/, line + line],
    ['no JSON', 'record-unreadable', /begins with "Segmentation fault"/, 'Segmentation fault'],
    ['another schema', 'record-schema', /"other\/1", expected "ceteris-record\/1"/, '{"schema":"other/1"}'],
    ['another value', 'record-schema', /no schema/, '[1]'],
    ['nothing', 'record-schema', /no schema/, 'null'],
    [
      'of another version',
      'record-version',
      /by "ceteris 0", expected "ceteris 1"/,
      line.replace('ceteris 1', 'ceteris 0'),
    ],
    ['with another column', 'record-damaged', /digest/, line.replace(/("time":\{"f64":")..../, '$1BBBB')],
    ['with another digest', 'record-damaged', /digest/, line.replace(/"sha256":"\w{4}/, '"sha256":"0000')],
    ['of another kind', 'record-damaged', /digest/, line.replace('"what":"file"', '"what":"image"')],
    ['without a body', 'record-damaged', /digest/, `${head}}`],
    ['nested without end', 'record-damaged', /digest/, `${head},"body":${'['.repeat(1e6)}${']'.repeat(1e6)}}`],
  ]
  it.each(bad)('%s', (_what, code, message, text) => {
    const { value, problems } = readRecord(text, 'ceteris 1')
    expect(value).toBeNull()
    expect(problems).toEqual([
      expect.objectContaining({ code, severity: 'error', message: expect.stringMatching(message) }),
    ])
  })

  it('with a digest of its own but a content that no file gives', () => {
    const { drive } = mapped.tracks[0]
    const forged = [
      { ...mapped, text: 7 },
      { ...mapped, kind: 'campaign' },
      { ...mapped, path: 'b.gpx' },
      { ...mapped, tracks: [{ ...mapped.tracks[0], drive: { ...drive!, motion: { ...drive!.motion, count: 7 } } }] },
      { ...mapped, tracks: [{ ...mapped.tracks[0], drive: { ...drive!, fixes: {} } }] },
    ]
    for (const wrong of forged) {
      const body = { path: 'a.gpx', mapped: wrong as unknown as WholeFile, problems: [] }
      expect(readRecord(recordLine({ what: 'file', body }, 'ceteris 1'), 'ceteris 1').problems).toMatchObject([
        { code: 'record-damaged' },
      ])
    }
    expect(readRecord(line, 'ceteris 1').value?.body).toEqual({ path: 'a.gpx', mapped, problems: [] })
  })
})

describe('records that are not as they should be', () => {
  let folder = ''
  let records: string[] = []
  const reduce = (name: string, lines: string[], ...more: string[]) => {
    const file = join(top, `${name}.jsonl`)
    writeFileSync(file, `${lines.join('\n')}\n`)
    const out = join(top, `${name}-report`)
    const ended = ceteris('batch', 'reduce', file, ...PLAIN, '--out', out, ...more)
    const report = ended.status === 2 ? null : JSON.parse(readFileSync(join(out, 'report.json'), 'utf8'))
    return { ...ended, file, report }
  }
  const tracksOf = (report: { runs: { track: string }[] }): string[] => report.runs.map(({ track }) => track)

  beforeAll(() => {
    folder = shortCampaign(join(top, 'short'))
    expect(ceteris('batch', 'map', folder, '--root', folder, '--out', join(top, 'short.jsonl')).status).toBe(0)
    records = linesOf(join(top, 'short.jsonl'))
    expect(records).toHaveLength(5)
    expect(records[2]).toContain('"path":"tracks/monday.gpx"')
  })

  it('are told with their file and line, and the others are used', () => {
    const { status, report, file, stderr } = reduce('cut', [
      ...records.slice(0, 2),
      records[2].slice(0, 4000),
      '',
      ...records.slice(3),
    ])
    expect(status).toBe(1)
    expect(tracksOf(report)).toEqual(['tracks/tuesday.gpx'])
    expect(report.problems).toContainEqual(expect.objectContaining({ code: 'record-unreadable', path: file, line: 3 }))
    expect(stderr).toContain('cut.jsonl:3: found a record that is cut off')
  })

  it('twice: counted once; with two contents: the first is used, and told', () => {
    const changed = join(top, 'changed')
    cpSync(folder, changed, { recursive: true })
    renameSync(join(changed, 'tracks/tuesday.gpx'), join(changed, 'tracks/monday.gpx'))
    const other = ceteris('batch', 'map', join(changed, 'tracks'), '--root', changed).stdout.trimEnd()
    const conflict = reduce('conflict', [...records, other.split('\n')[0], records[3]])
    expect(conflict.status).toBe(1)
    expect(tracksOf(conflict.report)).toEqual(['tracks/monday.gpx', 'tracks/tuesday.gpx'])
    expect(conflict.report.problems).toContainEqual(
      expect.objectContaining({ code: 'record-conflict', line: 6, severity: 'error' }),
    )
    expect(conflict.report.problems).toContainEqual(
      expect.objectContaining({ code: 'record-twice', line: 7, severity: 'warning' }),
    )
  })

  it('missing: told where the folder is named', () => {
    const { status, report } = reduce('missing', records.slice(0, 3).concat(records.slice(4)), '--root', folder)
    expect(status).toBe(1)
    expect(report.problems).toContainEqual(
      expect.objectContaining({ code: 'record-missing', path: 'tracks/tuesday.gpx', severity: 'error' }),
    )
  })

  it('none, or of runs only: nothing is done, and why', () => {
    expect(reduce('none', [])).toMatchObject({ status: 2, stderr: expect.stringContaining('no record of a file') })
    const run = ceteris('batch', 'run', join(top, 'short.jsonl'), '--part', '1/1', '--draws', '50').stdout.trimEnd()
    expect(reduce('runs-only', [run])).toMatchObject({ status: 2, stderr: expect.stringContaining('of drives only') })
    expect(ceteris('batch', 'reduce', join(top, 'nowhere.jsonl'), '--out', join(top, 'x'))).toMatchObject({
      status: 2,
      stderr: expect.stringContaining('nowhere.jsonl: this cannot be read'),
    })
  })
})

describe('the map step alone', () => {
  it('writes a record of what cannot be read, and passes over what a report does not read', () => {
    const folder = shortCampaign(join(top, 'alone'))
    const gone = ceteris('batch', 'map', join(folder, 'gone.gpx'), '--root', folder)
    expect(gone.status).toBe(1)
    expect(JSON.parse(gone.stdout).body).toMatchObject({
      path: 'gone.gpx',
      mapped: null,
      problems: [{ code: 'file-unreadable' }],
    })
    const outside = ceteris('batch', 'map', join(folder, 'runs.csv'), '--root', join(folder, 'tracks'))
    expect(outside).toMatchObject({ status: 2, stdout: '', stderr: expect.stringContaining('--root') })
    expect(ceteris('report', folder, ...PLAIN).status).toBe(0)
    const own = ceteris('batch', 'map', join(folder, 'report/index.html'), '--root', folder)
    expect(own).toMatchObject({ status: 2, stdout: '', stderr: expect.stringContaining('belongs to a report') })
  })

  it('leaves what lies there as it is when it cannot write', () => {
    const folder = shortCampaign(join(top, 'unwritable'))
    const ended = ceteris('batch', 'map', folder, '--root', folder, '--out', join(folder, 'runs.csv/x.jsonl'))
    expect(ended).toMatchObject({ status: 2, stderr: expect.stringContaining('cannot be written') })
    expect(readdirSync(folder).sort()).toEqual(['campaign.yaml', 'runs.csv', 'tracks', 'weather'])
  })
})
