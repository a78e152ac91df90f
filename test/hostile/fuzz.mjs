/**
 * Spoils the corpus further, at random, and hands it to the whole program: nothing may throw, take more than 10 s, or
 * give a report that breaks its own contract. A call with the same seed tries the same inputs.
 *
 *   npm run build && node test/hostile/fuzz.mjs --seconds 60 [--seed 1] [--keep folder]
 *
 * What fails is written to the folder, one folder for each kind of failure, named by its seed. Moved, as small as it can be
 * made, to test/hostile/regressions.test.ts, it is tried ever after.
 */
import { createHash } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { register } from 'node:module'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { reportSchema, runCampaign } from '../../dist-modules/index.js'
import { htmlPage } from '../../dist-modules/report/page/page.js'
import { reportJson } from '../../dist-modules/report/json.js'
import { markdownReport } from '../../dist-modules/report/markdown.js'
import { claimsCsv, pairsCsv, partsCsv, runsCsv } from '../../dist-modules/report/tables.js'
import { terminalSummary } from '../../dist-modules/report/terminal/terminal.js'

register('../../samples/load-typescript.mjs', import.meta.url)
const { corpus, HEAVY } = await import('./corpus.ts')
const { drive, gpx } = await import('./make.ts')

const { values } = parseArgs({
  options: {
    seconds: { type: 'string', default: '60' },
    seed: { type: 'string', default: String(Date.now() % 1e9) },
    keep: { type: 'string', default: 'fuzz-found' },
  },
})
const MOST_MS = 10_000
/** Larger inputs make few tries a second and find little. */
const MOST_BYTES = 60_000
const firstSeed = Number(values.seed)

/** mulberry32: whole numbers from 0 to below a bound. */
function randomOf(seed) {
  let state = seed >>> 0
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return Math.floor((((t ^ (t >>> 14)) >>> 0) / 2 ** 32) * below)
  }
}

const text = (words) => new TextEncoder().encode(words)
const TOKENS =
  // biome-ignore format: a list of words
  [
    '', '\0', '\ufeff', '<', '>', '&', '&#0;', '<!--', '-->', '<![CDATA[', ']]>', '<?', '"', "'", ',', ';', '\t', '\n', '\r',
    'NaN', 'Infinity', '1e400', '-1', '0', '-0', '1e-320', '99999999999999999999', '2147483648', '9007199254740993', '0x10',
    '2024-02-30T25:61:61Z', '0000-00-00T00:00:00Z', '2016-12-31T23:59:60Z', '+14:01', '\u202e', '\u{1f600}', '٣',
    '[', ']', '{', '}', '*a', '&a ', '<<:', '- ', ': ', '? ', '!!float ', '__proto__', 'constructor', 'null', 'true',
    '<trk>', '</trk>', '<trkseg>', '</trkseg>', '<trkpt lat="0" lon="0">', '</trkpt>', '<ele>', '</ele>', '<time>', '</gpx>',
    'lat="90"', 'lon="180"', 'lon="-180"', '<wpt lat="1" lon="1"/>', 'EHAM 030825Z', '/////KT', 'VRB99KT', 'A2992', 'M99/99',
    'track', 'fuel_l', 'setup', 'energy_kwh', 'gauge_mark_km', 'odometer_km', 'fill_group', 'exclude',
  ].map(text)

const seeds = Object.values(corpus)
  .flat()
  .filter(({ what }) => !HEAVY.test(what))
  .map(({ path, make }) => {
    const content = make()
    return { path, bytes: typeof content === 'string' ? text(content) : content }
  })
const sample = new URL('../../samples/ladder-van/', import.meta.url)
for (const name of ['campaign.yaml', 'runs.csv', ...readdirSync(new URL('weather', sample)).map((n) => `weather/${n}`)]) {
  const bytes = new Uint8Array(readFileSync(new URL(name, sample))).subarray(0, MOST_BYTES)
  seeds.push({ path: name.replace('weather/', ''), bytes })
}
const small = seeds.filter(({ bytes }) => bytes.length <= MOST_BYTES)

/** A campaign that is sound, so that what is spoilt reaches the physics, the pairs and the claims. */
const startingAt = (hour) => {
  const shiftMs = Date.parse(`2024-05-03T${hour}:00:00Z`) - Date.parse(drive(1)[0].time)
  return gpx(drive(150, ({ time }) => ({ time: new Date(Date.parse(time) + shiftMs).toISOString() })))
}
const sound = [
  ['a1.gpx', startingAt('08')],
  ['a2.gpx', startingAt('09')],
  ['b1.gpx', startingAt('10')],
  ['b2.gpx', startingAt('11')],
  [
    'road.csv',
    `time,temperature_c,relative_humidity_pct,station_pressure_hpa,wind_speed_mps,wind_from_deg,lat,lon
2024-05-03T07:30Z,14,70,1010,4,200,52.01,5
2024-05-03T11:30Z,18,60,1009,5,220,52.01,5
`,
  ],
  [
    'runs.csv',
    `track,setup,fuel_l,odometer_km,fill_group,trip_computer_l_per_100km
a1.gpx,plain,0.31,3.7,g,8.2
a2.gpx,plain,0.30,3.7,g,8.1
b1.gpx,skirts,0.28,3.7,g,7.6
b2.gpx,skirts,0.29,3.7,g,7.7
`,
  ],
  [
    'campaign.yaml',
    `title: x
baseline: plain
setups: {plain: [], skirts: [skirts]}
vehicle: {class: van, mass_kg: 2000, powertrain: diesel}
fuel: {fill_repeatability_l: 0.01}
`,
  ],
].map(([path, words]) => ({ path, bytes: text(words) }))

const joined = (...parts) => new Uint8Array(Buffer.concat(parts))

function mutated(bytes, random) {
  const at = random(bytes.length + 1)
  const length = random(random(4) === 0 ? 4000 : 24) + 1
  const [head, tail] = [bytes.subarray(0, at), bytes.subarray(at)]
  switch (random(9)) {
    case 0:
      return head
    case 1:
      return joined(head, tail.subarray(length))
    case 2:
      return joined(head, TOKENS[random(TOKENS.length)], tail)
    case 3:
      return joined(head, TOKENS[random(TOKENS.length)], tail.subarray(length))
    case 4:
      return bytes.map((byte, i) => (i === at ? byte ^ (1 << random(8)) : byte))
    case 5:
      return joined(head, bytes.subarray(random(bytes.length + 1)).subarray(0, length), tail)
    case 6:
      return joined(head, ...Array.from({ length: random(40) }, () => tail.subarray(0, length)), tail)
    case 7: {
      const other = small[random(small.length)].bytes
      return joined(head, other.subarray(random(other.length + 1)).subarray(0, length), tail)
    }
    default:
      return numberChanged(bytes, random)
  }
}

/** Another number in the place of one of those in the text. */
function numberChanged(bytes, random) {
  const written = Buffer.from(bytes).toString('latin1')
  const numbers = [...written.matchAll(/-?\d+(\.\d+)?/g)]
  if (numbers.length === 0) return bytes
  const { index, 0: number } = numbers[random(numbers.length)]
  const value = Number(number)
  const other = [-value, value * 10 ** (random(13) - 6), value + random(200) - 100, 0][random(4)]
  return new Uint8Array(Buffer.from(written.slice(0, index) + other + written.slice(index + number.length), 'latin1'))
}

/** The sound campaign with one to three files of it, or beside it, spoilt. */
function caseOf(seed) {
  const random = randomOf(seed)
  const files = new Map(sound.map((file) => [file.path, file]))
  for (let n = 1 + random(3); n > 0; n--) {
    const from = random(3) === 0 ? sound : small
    let { path, bytes } = from[random(from.length)]
    for (let m = 1 + random(4); m > 0; m--) bytes = mutated(bytes, random)
    files.set(path, { path, bytes })
  }
  return [...files.values()].map(({ path, bytes }) => {
    return { path, bytes, sha256: createHash('sha256').update(bytes).digest('hex') }
  })
}

const OWN_WORDS = /(?<!found )\bNaN\b|\bundefined\b(?! entity)|\[object|(?<!found -?)\bInfinity\b/

async function tried(files) {
  const start = performance.now()
  const settings = { marginPct: null, limits: null, draws: 50, seed: 1 }
  const { report, allPairs, along } = await runCampaign({ files, unreadable: [], settings, version: 'fuzz' })
  const { error } = reportSchema.safeParse(report)
  if (error) throw new Error(`the report breaks its contract: ${error.issues[0].path.join('.')} ${error.issues[0].message}`)
  const shown = terminalSummary(report, { width: 80, color: false })
  if (/[\p{Cc}\u202a-\u202e\u2066-\u2069]/u.test(shown.replaceAll('\n', '')))
    throw new Error('control characters for the terminal')
  const said = report.problems.find(({ message }) => OWN_WORDS.test(message.replace(/"[^"]*"/g, '')))
  if (said) throw new Error(`a message speaks in the program's own words: ${said.code}: ${said.message.slice(0, 200)}`)
  for (const write of [reportJson, markdownReport, runsCsv, claimsCsv, partsCsv]) write(report)
  htmlPage(report, along)
  Array.from(pairsCsv(allPairs))
  const ms = performance.now() - start
  if (ms > MOST_MS) throw new Error(`took ${Math.round(ms)} ms`)
}

console.log(`seed ${firstSeed}, ${small.length} inputs to begin with, ${values.seconds} s`)
const until = Date.now() + Number(values.seconds) * 1000
const seen = new Map()
let count = 0
for (let seed = firstSeed; Date.now() < until; seed++) {
  count++
  const files = caseOf(seed)
  try {
    await tried(files)
  } catch (error) {
    const where = /\n\s+at (.*)/.exec(error.stack)?.[1] ?? ''
    const kind = `${error.message.slice(0, 120)} ${where}`
    seen.set(kind, (seen.get(kind) ?? 0) + 1)
    if (seen.get(kind) > 1) continue
    const folder = join(values.keep, String(seed))
    mkdirSync(folder, { recursive: true })
    for (const { path, bytes } of files) writeFileSync(join(folder, path.replaceAll('/', '_')), bytes)
    console.log(`seed ${seed}: ${error.stack}\n  input kept in ${folder}`)
  }
}
console.log(`${count} inputs tried, ${seen.size} kinds of failure`)
for (const [kind, times] of seen) console.log(`  ${times} times: ${kind}`)
process.exitCode = seen.size > 0 ? 1 : 0
