/**
 * Holds two report folders against each other: every figure, code, name and order in report.json and in the CSV files,
 * but not the texts. `npm run compare-reports -- before after [--tolerance 1e-9]`; exit code 1 where they differ.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'

/** Keys of report.json, and columns of the CSV files, whose values are sentences or parts of them. */
const TEXTS = new Set([
  'message hint reason remarks statement conditions sentence notes note pairs_note cautions assumptions words',
  'implied_drag_note sense_note version next_step advice label title_text',
].flatMap((line) => line.split(' ')))
const MOST_SHOWN = 40

const [before, after, ...options] = process.argv.slice(2)
if (!before || !after) {
  console.error('usage: npm run compare-reports -- <report before> <report after> [--tolerance 1e-9] [--added]')
  process.exit(2)
}
const tolerance = options.includes('--tolerance') ? Number(options[options.indexOf('--tolerance') + 1]) : 1e-9
/** Keys that only the later report has are allowed. */
const mayAdd = options.includes('--added')
const differences = []
let compared = 0

const alike = (a, b) => Math.abs(a - b) <= tolerance * Math.max(Math.abs(a), Math.abs(b))

function compare(a, b, place) {
  const key = place.split('.').at(-1).replace(/\[\d+\]$/, '')
  if (TEXTS.has(key)) return
  compared++
  if (typeof a === 'number' && typeof b === 'number') {
    if (!alike(a, b)) differences.push(`${place}: ${a} → ${b}`)
  } else if (Array.isArray(a) && Array.isArray(b)) {
    if (a.length !== b.length) differences.push(`${place}: ${a.length} entries → ${b.length}`)
    for (let i = 0; i < Math.min(a.length, b.length); i++) compare(a[i], b[i], `${place}[${i}]`)
  } else if (a !== null && b !== null && typeof a === 'object' && typeof b === 'object') {
    for (const k of new Set([...Object.keys(a), ...Object.keys(b)])) {
      if (mayAdd && !(k in a)) continue
      compare(a[k], b[k], `${place}.${k}`)
    }
  } else if (a !== b) differences.push(`${place}: ${JSON.stringify(a)} → ${JSON.stringify(b)}`)
}

/** A row of a CSV file as named cells; figures as numbers. */
const rowsOf = (text) =>
  parse(text, { columns: true, bom: true, relax_column_count: true }).map((row) =>
    Object.fromEntries(
      Object.entries(row).map(([k, v]) => [k, v !== '' && Number.isFinite(Number(v)) ? Number(v) : v]),
    ),
  )

compare(
  JSON.parse(readFileSync(join(before, 'report.json'), 'utf8')),
  JSON.parse(readFileSync(join(after, 'report.json'), 'utf8')),
  'report.json',
)
for (const name of readdirSync(before).filter((n) => n.endsWith('.csv'))) {
  compare(rowsOf(readFileSync(join(before, name), 'utf8')), rowsOf(readFileSync(join(after, name), 'utf8')), name)
}
for (const line of differences.slice(0, MOST_SHOWN)) console.log(line)
if (differences.length > MOST_SHOWN) console.log(`… and ${differences.length - MOST_SHOWN} more`)
console.log(`${compared} values compared, ${differences.length} differ by more than ${tolerance} relative`)
process.exitCode = differences.length > 0 ? 1 : 0
