/**
 * What takes too long for a test, or more rights: npm run build && node test/hostile/heavy.mjs [killed] [disk] [large]
 *
 * killed: kill −9 at 200 random moments; the report stays whole and the cache usable.
 * disk: a full and a read-only one, in memory; tried only where file systems may be mounted, and said where not.
 * large: single files of up to 500 MB, each within 10 s, or 40 ms for each MB of more than 250, and 1 GB.
 *
 * Leaves with 1 where something did not hold.
 */
import { spawn, spawnSync } from 'node:child_process'
import {
  closeSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs'
import { register } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as pause } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'

register('../../samples/load-typescript.mjs', import.meta.url)
const { isWhole, reportAfterKill } = await import('./whole-report.ts')
const { drive, gpx, HEAD, pointText } = await import('./make.ts')

const PROGRAM = fileURLToPath(new URL('../../bin/ceteris.js', import.meta.url))
const top = mkdtempSync(join(tmpdir(), 'ceteris-heavy-'))
const env = { ...process.env, CETERIS_CACHE_DIR: join(top, 'cache') }
const QUICK = ['--draws', '50', '--cards', 'none']
const KILLS = 200
const MOST_MS = 10_000
/** For a file that is larger than what is read whole: most of it is reading. */
const MOST_MS_PER_MB = 40
const MOST_RSS_KB = 2 ** 20
let failures = 0

function check(what, holds, more = '') {
  if (!holds) failures++
  console.log(`${holds ? 'holds' : 'FAILS'}  ${what}${more === '' ? '' : `  (${more})`}`)
}

function folderOf(path) {
  mkdirSync(path, { recursive: true })
  writeFileSync(join(path, 'good.gpx'), gpx(drive(240)))
  return path
}

const report = (folder, ...args) =>
  spawnSync(process.execPath, [PROGRAM, 'report', folder, ...QUICK, ...args], { encoding: 'utf8', env })

async function killed() {
  const folder = folderOf(join(top, 'killed'))
  report(folder)
  const start = performance.now()
  report(folder, '--seed', '9')
  const usualMs = performance.now() - start
  const count = { broken: 0, hidden: 0, done: 0 }
  for (let i = 0; i < KILLS; i++) {
    // Another seed each time, so that the cache is written too.
    const args = [PROGRAM, 'report', folder, ...QUICK, '--seed', String(10 + i)]
    const child = spawn(process.execPath, args, { stdio: 'ignore', env })
    const ended = new Promise((resolve) => child.once('exit', (code) => resolve(code)))
    // Two in three near the end, where the report is written.
    await pause(usualMs * (i % 3 === 0 ? Math.random() : 0.7 + 0.4 * Math.random()))
    child.kill('SIGKILL')
    if ((await ended) !== null) count.done++
    const place = reportAfterKill(folder)
    if (!place.endsWith('/report')) count.hidden++
    if (!isWhole(place)) count.broken++
  }
  const { broken, hidden, done } = count
  const more = `${broken} broken, ${hidden} under the hidden name, ${done} had ended by themselves`
  check(`killed ${KILLS} times: the previous or the new report is whole`, broken === 0, more)
  const last = report(folder)
  check('the next call works with the cache as it was left', last.status === 0, `status ${last.status}`)
  check('and leaves nothing behind', readdirSync(folder).sort().join() === 'good.gpx,report', readdirSync(folder).join())
}

function mounted(path, options, work) {
  mkdirSync(path, { recursive: true })
  if (spawnSync('mount', ['-t', 'tmpfs', '-o', options, 'tmpfs', path]).status !== 0) {
    console.log(`not tried, for want of the right to mount: ${path}`)
    return
  }
  try {
    work(path)
  } finally {
    spawnSync('umount', [path])
  }
}

const firstLine = (text) => text.split('\n')[0].replaceAll(top, '')

function disk() {
  mounted(join(top, 'small'), 'size=2m', (path) => {
    const folder = folderOf(join(path, 'test'))
    check('a first report fits', report(folder).status === 0)
    const before = readFileSync(join(folder, 'report/report.json'))
    const fill = openSync(join(path, 'fill'), 'w')
    try {
      for (;;) writeSync(fill, Buffer.alloc(4096))
    } catch {
      closeSync(fill)
    }
    const { status, stderr } = report(folder, '--seed', '7')
    const after = readFileSync(join(folder, 'report/report.json'))
    check('full disk: leaves with 2', status === 2, `status ${status}`)
    check('full disk: says so', /the disk is full/.test(stderr) && !/\n\s+at /.test(stderr), firstLine(stderr))
    check('full disk: the old report is as it was', before.equals(after) && isWhole(join(folder, 'report')))
    check('full disk: nothing is left behind', readdirSync(folder).sort().join() === 'good.gpx,report')
  })
  mounted(join(top, 'read-only'), 'size=8m', (path) => {
    const folder = folderOf(join(path, 'test'))
    report(folder)
    spawnSync('mount', ['-o', 'remount,ro', path])
    const { status, stderr } = report(folder, '--seed', '7')
    check('read-only disk: leaves with 2', status === 2, `status ${status}`)
    check('read-only disk: says so', /the disk is read-only/.test(stderr) && !/\n\s+at /.test(stderr), firstLine(stderr))
    check('read-only disk: the old report is whole', isWhole(join(folder, 'report')))
    check('read-only disk: a report elsewhere', report(folder, '--out', join(top, 'elsewhere')).status === 0)
  })
}

/** A file of a start, a piece again and again until there are so many megabytes, and an end. */
function written(path, start, piece, megabytes, end = '') {
  const file = openSync(path, 'w')
  writeSync(file, start)
  const block = Buffer.from(piece.repeat(Math.ceil(2 ** 20 / piece.length)))
  for (let i = 0; i < megabytes; i++) writeSync(file, block)
  writeSync(file, end)
  closeSync(file)
}

const sound = gpx(drive(240))
const inside = sound.slice(HEAD.length)
const points = drive(1000).map(pointText).join('\n')
const SEGMENT = `${HEAD}<trk><trkseg>`
const SEGMENT_END = '</trkseg></trk></gpx>'
const TABLE = 'time,temperature_c\n'
const ROW = '2024-05-03T08:30Z,14\n'
const LONG_ROW = `2024-05-03T08:30Z,14${',1'.repeat(40)}\n`
const METAR = 'EHAM 030825Z 20008KT 14/09 Q1012 RMK '
/** Rows of many megabytes are another kind of test than one long line: what a table may hold, and what it may not. */
const LARGE = [
  ['a comment of 200 MB in one line', 'gpx', '<!--', 'x', 200, `-->${sound}`],
  ['an attribute of 200 MB', 'gpx', `${HEAD}<extensions a="`, 'x', 200, `"/>${inside}`],
  ['a track name of 200 MB', 'gpx', `${HEAD}<trk><name>`, 'x', 200, `</name></trk>${inside}`],
  ['100 MB of elements that are never closed', 'gpx', HEAD, '<a>', 100],
  ['200 MB of points, a thousand again and again', 'gpx', SEGMENT, points, 200, SEGMENT_END],
  ['115 MB of points, a thousand again and again', 'gpx', SEGMENT, points, 105, SEGMENT_END],
  ['115 MB of points under a name in Greek', 'gpx', `${HEAD}<trk><name>οδός</name><trkseg>`, points, 105, SEGMENT_END],
  ['250 MB of points', 'gpx', SEGMENT, points, 220, SEGMENT_END],
  ['500 MB of points', 'gpx', SEGMENT, points, 440, SEGMENT_END],
  ['a million times the same point', 'gpx', SEGMENT, pointText(drive(1)[0]), 90, SEGMENT_END],
  ['200 MB of NUL bytes', 'gpx', '', '\0', 200],
  ['a weather line of 200 MB', 'csv', `${TABLE}2024-05-03T08:30Z,`, '1', 200, '\n'],
  ['a weather line of 19 MB', 'csv', `${TABLE}2024-05-03T08:30Z,`, '1', 19, '\n'],
  ['a weather table of 200 MB', 'csv', TABLE, ROW, 200],
  ['a weather table of 8 MB in short lines', 'csv', TABLE, ROW, 8],
  ['a weather table of 19 MB in short lines', 'csv', TABLE, ROW, 19],
  ['a weather table of 19 MB in long lines', 'csv', TABLE, LONG_ROW, 19],
  ['a quotation mark never closed before 19 MB', 'csv', `${TABLE}"`, ROW, 19],
  ['METAR in one line of 200 MB', 'txt', METAR, 'AO2 ', 200, '='],
  ['METAR in one line of 19 MB', 'txt', METAR, 'AO2 ', 19, '='],
  ['YAML of 200 MB', 'yaml', 'title: x\n', 'a: [1]\n', 200],
  ['YAML of 0.2 MB of brackets', 'yaml', 'title: x\nlimits: [', '[],', 0, `${'[],'.repeat(60_000)}]`],
  ['KML of 2 MB of empty elements', 'kml', '<kml><Document>', '<a/>', 2, '</Document></kml>'],
]

/** The peak of the memory is told by the program's own process, at its end. */
const PEAK = `process.on('exit', () => process._rawDebug('peak ' + process.resourceUsage().maxRSS))`

function large() {
  for (const [what, ending, ...content] of LARGE) tryLarge(what, (path) => written(`${path}.${ending}`, ...content))
  tryLarge('500 MB of nothing in gzip', (path) => writeFileSync(`${path}.gz`, gzipSync(Buffer.alloc(500 * 2 ** 20))))
}

function tryLarge(what, make) {
  const folder = folderOf(join(top, 'large'))
  make(join(folder, 'bad'))
  const node = ['--import', `data:text/javascript,${encodeURIComponent(PEAK)}`]
  const megabytes = readdirSync(folder).reduce((sum, name) => sum + statSync(join(folder, name)).size / 1e6, 0)
  const mostMs = Math.max(MOST_MS, megabytes * MOST_MS_PER_MB)
  const start = performance.now()
  const { status, stderr } = spawnSync(process.execPath, [...node, PROGRAM, 'report', folder, ...QUICK, '--no-cache'], {
    encoding: 'utf8',
    timeout: 120_000,
  })
  const ms = performance.now() - start
  const peakKb = Number(/peak (\d+)/.exec(stderr)?.[1] ?? Number.NaN)
  const holds = (status === 0 || status === 1) && ms < mostMs && peakKb < MOST_RSS_KB
  check(what, holds, `status ${status}, ${(ms / 1000).toFixed(1)} s, ${Math.round(peakKb / 1024)} MB`)
  rmSync(folder, { recursive: true })
}

const parts = { killed, disk, large }
const wanted = process.argv.slice(2)
try {
  for (const [name, part] of Object.entries(parts)) if (wanted.length === 0 || wanted.includes(name)) await part()
} finally {
  rmSync(top, { recursive: true, force: true })
}
process.exitCode = failures > 0 ? 1 : 0
