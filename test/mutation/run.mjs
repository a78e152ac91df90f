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
  base: 'chi-square draws equivalence least-squares noncentral-t normal statistics student units welch-satterthwaite',
  air: 'density field humidity prepared pressure profile wind',
  demand: 'ensemble force run-draws shared-draws step-air steps vehicle',
  compare: 'contributions difference pair',
  claim: 'consistency consumption effects measure part-design parts pooling repeatability shares volume',
  plan: 'power',
}

const stryker = join(dirname(createRequire(import.meta.url).resolve('@stryker-mutator/core/package.json')), 'bin/stryker.js')

function run(folder) {
  const out = `coverage/mutation/${folder}`
  const { status } = spawnSync(
    process.execPath,
    [stryker, 'run', '--mutate', FILES[folder].split(' ').map((name) => `src/${folder}/${name}.ts`).join(','), '--incrementalFile', `${out}/incremental.json`],
    {
      stdio: 'inherit',
      env: {
        ...process.env,
        MUTATION_FOLDER: folder,
      },
    },
  )
  if (status !== 0) throw new Error(`the run over ${folder} failed`)
  return JSON.parse(readFileSync(`${out}/incremental.json`, 'utf8')).files
}

/** How many mutants ended how, and which of them nothing noticed. */
function tally(files) {
  const counts = { Killed: 0, Timeout: 0, Survived: 0, NoCoverage: 0 }
  const left = []
  for (const [file, { mutants, source }] of Object.entries(files)) {
    const lines = source.split('\n')
    for (const m of mutants) {
      if (m.status in counts) counts[m.status]++
      if (m.status === 'Survived' || m.status === 'NoCoverage') {
        const { line } = m.location.start
        left.push(`${file}:${line}:${m.location.start.column} ${m.mutatorName} → ${m.replacement?.replace(/\s+/g, ' ').slice(0, 80)}\n    ${lines[line - 1].trim()}`)
      }
    }
  }
  return { counts, left }
}

const percent = ({ Killed, Timeout, Survived, NoCoverage }) =>
  (100 * (Killed + Timeout)) / (Killed + Timeout + Survived + NoCoverage)

const asked = process.argv.slice(2)
const results = (asked.length ? asked : Object.keys(FILES)).map((folder) => ({ folder, ...tally(run(folder)) }))
for (const { folder, left } of results) console.log([`\n${folder}: not noticed`, ...left].join('\n  '))
console.log('\nfolder    killed  timeout  survived  uncovered  score')
for (const { folder, counts } of results) {
  const cells = [counts.Killed, counts.Timeout, counts.Survived, counts.NoCoverage]
  console.log(folder.padEnd(9), ...cells.map((n) => String(n).padStart(8)), `${percent(counts).toFixed(1)} %`.padStart(9))
}
if (results.some(({ counts }) => percent(counts) < WANTED_PERCENT)) process.exitCode = 1
