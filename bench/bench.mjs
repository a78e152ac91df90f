/**
 * Measures the built program: `npm run bench`, or `npm run bench -- --runs 200 --points 7200`. All data are invented, with
 * fixed seeds. Rates of one call are told as ratios to peers measured in the same call on the same files, as medians.
 */
import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { register } from 'node:module'
import { availableParallelism, tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { parseArgs } from 'node:util'
import { before } from './before.mjs'
import { load, median, row, seconds } from './measure.mjs'

register('../samples/load-typescript.mjs', import.meta.url)
const { fleetFiles } = await import('./fleet.ts')
const { dayFiles } = await import('./days.ts')
const { benchGrowth } = await import('./growth.mjs')

const { values: options } = parseArgs({
  options: {
    runs: { type: 'string', default: '60' },
    points: { type: 'string', default: '7200' },
    days: { type: 'string', default: '20' },
  },
})
const [runs, points] = [Number(options.runs), Number(options.points)]
const root = join(import.meta.dirname, '..')
const dist = (path) => import(join(root, 'dist-modules', `${path}.js`))
const folder = mkdtempSync(join(tmpdir(), 'ceteris-bench-'))
const environment = { ...process.env, CETERIS_CACHE_DIR: join(folder, 'cache') }

const writeFleet = (name, count, pointsEach) => write(name, fleetFiles({ seed: 'bench', runs: count, points: pointsEach }))

function write(name, files) {
  let bytes = 0
  for (const [path, text] of files) {
    const target = join(folder, name, path)
    mkdirSync(dirname(target), { recursive: true })
    writeFileSync(target, text)
    bytes += text.length
  }
  return bytes
}

/** One call of the command line under GNU time, where there is one. */
function call(args) {
  const start = performance.now()
  const timed = spawnSync('/usr/bin/time', ['-f', '%U %S %M', process.execPath, join(root, 'bin/ceteris.js'), ...args], {
    encoding: 'utf8',
    env: environment,
  })
  if (timed.error) {
    spawnSync(process.execPath, [join(root, 'bin/ceteris.js'), ...args], { env: environment })
    return { s: (performance.now() - start) / 1000, peakMb: Number.NaN, cpuS: Number.NaN }
  }
  const [userS, systemS, peakKb] = timed.stderr.trim().split('\n').at(-1).split(' ').map(Number)
  return { s: (performance.now() - start) / 1000, peakMb: peakKb / 1024, cpuS: userS + systemS }
}

/** In a process of its own whose compiler and garbage collector have no other thread: what runs beside is paid for too. */
function benchOneCore() {
  spawnSync(process.execPath, ['--single-threaded', join(root, 'bench/one-core.mjs'), options.points], { stdio: 'inherit' })
}

async function benchPairs() {
  const { conditionsDifference } = await dist('compare/difference')
  const { allPairs } = await dist('campaign/pairs/pairs')
  const { drawsOf } = await dist('base/draws')
  console.log(`\nAll pairs of 1,000 runs, on one core (load ${load()})`)
  for (const draws of [400, 800]) {
    const vectors = Array.from({ length: 1000 }, (_, i) =>
      drawsOf(`run/${i}`, draws, 1).map((z, k) => 2000 * (1 + 0.01 * z + 0.0005 * (i % 37) + 0.01 * Math.sin(k))),
    )
    const times = [0, 1, 2].map(() =>
      seconds(() => {
        for (let i = 0; i < 1000; i++)
          for (let j = i + 1; j < 1000; j++) conditionsDifference(vectors[i], vectors[j], 1)
      }),
    )
    row(`499,500 differences of ${draws} draws`, `${median(times).toFixed(2)} s`, draws === 400 ? before.differences : '')
    if (draws !== 400) continue
    const outside = { wet: false, phase: 'day', payloadKg: 0, tyrePressurePa: 2e5, accessoriesW: 0, standingShare: 0 }
    const match = { covered: new Uint8Array(400).fill(1) }
    const records = vectors.map((vector, i) => ({
      run: { id: `run-${i}` },
      comparable: { route: 0, routeName: 'r', relation: 'same', match, draws: vector, missing: [], outside: { ...outside, startTime: i * 9000, endTime: i * 9000 + 7200 } },
    }))
    const rest = process.memoryUsage().rss
    let most = 0
    let count = 0
    const s = seconds(() => {
      for (const _ of allPairs(records, [{ oppositeOf: null }], 1)) {
        if (count++ % 20_000 === 0) most = Math.max(most, process.memoryUsage().rss - rest)
      }
    })
    row('  with verdicts and sentences', `${s.toFixed(2)} s`, `wanted: below 3 s; ${before.pairs}`)
    row('  memory beyond the draws', `${(most / 2 ** 20).toFixed(0)} MB`, 'wanted: below 200 MB')
  }
}

function benchFolders() {
  const bytes = writeFleet('fleet', runs, points)
  writeFleet('two', 2, 1200)
  const cores = availableParallelism()
  const report = (name, ...more) => call(['report', join(folder, name), '--quiet', '--cards', 'none', ...more])
  console.log(`\nWhole calls (${runs} runs of ${points} points, ${(bytes / 1e6).toFixed(0)} MB; ${cores} cores, load ${load()})`)
  row('ceteris --help', `${(1000 * median([0, 1, 2, 3, 4].map(() => call(['--help']).s))).toFixed(0)} ms`, `wanted: below 150 ms; ${before.help}`)
  row('a folder of 2 runs, without a cache', `${median([0, 1, 2].map(() => report('two', '--no-cache').s)).toFixed(2)} s`, `wanted: below 1 s; ${before.two}`)
  const cold = report('fleet')
  row('cold', `${cold.s.toFixed(1)} s`, `peak ${cold.peakMb.toFixed(0)} MB; ${before.cold}`)
  row('  for 1,000 runs at this rate', `${((cold.s * 1000) / runs).toFixed(0)} s`, 'wanted: below 90 s')
  const again = report('fleet')
  row('again, nothing changed', `${again.s.toFixed(2)} s`, `peak ${again.peakMb.toFixed(0)} MB; ${before.again}`)
  const [path, text] = [...fleetFiles({ seed: 'bench', runs: runs + 1, points })].at(-1)
  writeFileSync(join(folder, 'fleet', path), text)
  const added = report('fleet')
  row('again, one run added', `${added.s.toFixed(2)} s`, `peak ${added.peakMb.toFixed(0)} MB; ${before.added}`)
}

/** Day files, divided into drives and laps: whole calls, processor time of all threads beside the clock. */
function benchDays() {
  const days = Number(options.days)
  const bytes = write('days', dayFiles({ seed: 'bench', days }))
  console.log(`\nDay files of 8 h, a fix a second (${days} days, ${(bytes / 1e6).toFixed(0)} MB, load ${load()})`)
  const report = () => call(['report', join(folder, 'days'), '--quiet', '--cards', 'none'])
  const cold = report()
  row('cold', `${cold.s.toFixed(1)} s`, `${cold.cpuS.toFixed(1)} s of processor, peak ${cold.peakMb.toFixed(0)} MB`)
  row('  for 100 days at this rate', `${((cold.s * 100) / days).toFixed(0)} s`, `wanted: below 40 s and 1,000 MB; ${before.days}`)
  const [path, text] = [...dayFiles({ seed: 'bench', days: days + 1 })].at(-1)
  writeFileSync(join(folder, 'days', path), text)
  const added = report()
  row('one day added', `${added.s.toFixed(1)} s`, `${added.cpuS.toFixed(1)} s of processor, peak ${added.peakMb.toFixed(0)} MB`)
}

try {
  benchOneCore()
  await benchGrowth(dist)
  await benchPairs()
  benchFolders()
  benchDays()
} finally {
  rmSync(folder, { recursive: true, force: true })
}
