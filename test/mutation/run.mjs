/**
 * Mutation testing of physics and statistics, folder by folder, each against its own tests:
 * `npm run mutation`, or `npm run mutation -- air claim` for some. Unchanged code and tests are not run again.
 * Ends with 1 when a folder kills less than 85 %. Reports lie under coverage/mutation/.
 */
import { spawnSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

const WANTED_PERCENT = 85

/** Files by folder: formulas and statistics, not words, tables or plumbing. */
const FILES = {
  base: 'arithmetic chi-square draws least-squares noncentral-t normal select statistics student units',
  air: 'blend density field humidity prepared pressure profile wind',
  demand: 'drawn-wind ensemble piece road-load run-draws shared-draws step-air steps vehicle',
  compare: 'contributions difference mixed-demands pair run-on-axis shapley',
  claim:
    'evidence/consistency fuel/consumption model/effects fuel/measure parts/part-design parts/parts model/pooling model/repeatability model/shares fuel/volume',
  plan: 'power',
}

const asked = process.argv.slice(2)
const unknown = asked.filter((folder) => !Object.hasOwn(FILES, folder))
if (unknown.length > 0) {
  console.error(`no such folder: ${unknown.join(', ')}; there are ${Object.keys(FILES).join(', ')}`)
  process.exit(2)
}

const require = createRequire(import.meta.url)
const stryker = join(dirname(require.resolve('@stryker-mutator/core/package.json')), 'bin/stryker.js')

/** Runs the tool over one folder and gives what became of each mutant, by file. */
function run(folder) {
  const results = `coverage/mutation/${folder}/incremental.json`
  const files = FILES[folder].split(' ').map((name) => `src/${folder}/${name}.ts`)
  const { status } = spawnSync(
    process.execPath,
    [stryker, 'run', '--mutate', files.join(), '--incrementalFile', results],
    // vitest.mutation.config.ts takes the folder's tests.
    { stdio: 'inherit', env: { ...process.env, MUTATION_FOLDER: folder } },
  )
  if (status !== 0) throw new Error(`the run over ${folder} failed`)
  const found = JSON.parse(readFileSync(results, 'utf8')).files
  return Object.fromEntries(files.map((file) => [file, found[file]]))
}

/** How many mutants ended how, and which of them nothing noticed. */
function tally(files) {
  const counts = { Killed: 0, Timeout: 0, Survived: 0, NoCoverage: 0 }
  const left = []
  for (const [file, { mutants, source }] of Object.entries(files)) {
    const lines = source.split('\n')
    for (const { status, mutatorName, replacement = '', location } of mutants) {
      if (status in counts) counts[status]++
      if (status !== 'Survived' && status !== 'NoCoverage') continue
      const { line, column } = location.start
      const instead = replacement.replace(/\s+/g, ' ').slice(0, 80)
      left.push(`${file}:${line}:${column} ${mutatorName}: ${instead}\n    ${lines[line - 1].trim()}`)
    }
  }
  return { counts, left }
}

const percent = ({ Killed, Timeout, Survived, NoCoverage }) =>
  (100 * (Killed + Timeout)) / (Killed + Timeout + Survived + NoCoverage)

const folders = asked.length > 0 ? asked : Object.keys(FILES)
const results = folders.map((folder) => ({ folder, ...tally(run(folder)) }))
for (const { folder, left } of results) console.log([`\n${folder}: not noticed`, ...left].join('\n  '))
console.log('\nfolder      killed  timed out   survived  uncovered    score')
for (const { folder, counts } of results) {
  const cells = [counts.Killed, counts.Timeout, counts.Survived, counts.NoCoverage]
  console.log(folder.padEnd(7), ...cells.map((n) => String(n).padStart(10)), `${percent(counts).toFixed(1)} %`)
}
if (results.some(({ counts }) => percent(counts) < WANTED_PERCENT)) process.exitCode = 1
