// Asks the real services for small answers and shows how they differ in form from the recordings in test/data/fetch. Run by
// hand on a computer with a network, never by a test:
//
//   npm run -s modules && node test/fetch/refresh-recordings.mjs [--keep <folder>] [service ...]
//
// Recordings stay as they are; with --keep the new answers are written to a folder, to be looked at, cut by whole rows and
// taken over by hand with a line in SOURCE.md. What is compared is the form: header, keys, first row, how the body is told.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const ROOT = join(import.meta.dirname, '../..')
const moduleOf = (path) => import(join(ROOT, 'dist-modules', `${path}.js`))
const { networkTransport } = await moduleOf('fetch/get/transport')
const { politeAsker } = await moduleOf('fetch/get/ask')
const { SERVICES } = await moduleOf('fetch/services/registry')
const { modelRequests } = await moduleOf('fetch/services/open-meteo')

const DAY_S = 86_400
const nowS = Date.now() / 1000
const span = { fromS: Math.floor(nowS / DAY_S) * DAY_S - 12 * DAY_S, toS: Math.floor(nowS / DAY_S) * DAY_S - 11 * DAY_S }
const where = (latitude, longitude) => ({ cells: [{ latitude, longitude }], span })

/** A place for each service, and the recording or synthetic answer that its own is held against. */
const PLACES = {
  iem: [where(39.125, -84.625), 'iem-asos-VOHY-tdf.tsv'],
  dwd: [where(53.125, 8.875), null],
  meteoswiss: [where(47.375, 8.625), 'synthetic-meteoswiss-ten-minutes.csv'],
  eccc: [where(43.625, -79.625), null],
  smhi: [where(59.625, 17.875), 'synthetic-smhi-wind.csv'],
  fmi: [where(60.125, 24.875), 'synthetic-fmi-observations.xml'],
  ghcnh: [where(50.125, 8.625), 'synthetic-ghcnh-window.csv'],
  'open-meteo': [where(52.625, 13.375), 'open-meteo-archive-berlin-2024-03-11.json'],
}

const words = process.argv.slice(2)
const keep = words[0] === '--keep' ? words.splice(0, 2)[1] : null
if (keep) mkdirSync(keep, { recursive: true })
const clock = { now: Date.now, wait: (ms) => new Promise((done) => setTimeout(done, ms)), random: Math.random }
const { transport, close } = networkTransport(process.env)
const { version } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'))
const asker = politeAsker(transport, clock, { requests: 60, bytes: 60e6, minutes: 15 }, `ceteris/${version}`, console.error)

async function ask(service, question) {
  const hosts = [service.host, ...(service.otherHosts ?? [])]
  const check = (bytes) => service.check(question, bytes)
  const reply = await asker({ url: question.url, hosts, pauseMs: service.pauseMs, known: null, check })
  console.log(`${service.id}: ${reply.state}${'why' in reply ? ` (${reply.why})` : ''} ${question.url}`)
  if (!('answer' in reply)) return null
  if (keep) writeFileSync(join(keep, question.file), reply.answer.bytes)
  return new TextDecoder('latin1').decode(reply.answer.bytes)
}

/** Names of columns, keys or elements, one a line. */
function formOf(text) {
  if (/^\s*[{[]/.test(text)) return keysOf(JSON.parse(text))
  if (/^\s*</.test(text)) return [...new Set([...text.matchAll(/<([A-Za-z][\w:.]*)/g)].map(([, name]) => name))]
  const lines = text.split(/\r?\n/).filter((line) => line !== '' && !line.startsWith('#DEBUG'))
  return (lines.find((line) => /[;,\t|].*[;,\t|]/.test(line)) ?? '').split(/[;,\t|]/).map((name) => name.trim().replaceAll('"', ''))
}

const keysOf = (value, path = '') =>
  Array.isArray(value)
    ? keysOf(value[0], `${path}[]`)
    : value !== null && typeof value === 'object'
      ? Object.entries(value).flatMap(([key, inner]) => keysOf(inner, `${path}.${key}`))
      : [path]

function difference(text, recording) {
  const [now, then] = [formOf(text), formOf(readFileSync(join(ROOT, 'test/data/fetch', recording), 'latin1'))]
  for (const name of then.filter((one) => !now.includes(one))) console.log(`  - ${name}   (in ${recording} alone)`)
  for (const name of now.filter((one) => !then.includes(one))) console.log(`  + ${name}   (in the new answer alone)`)
}

for (const service of SERVICES.filter(({ id }) => words.length === 0 || words.includes(id))) {
  const [place, recording] = PLACES[service.id]
  const have = new Map()
  const failed = new Set()
  for (let round = 0; round < 3; round++) {
    for (const page of service.pages(place, nowS, have)) {
      if (have.has(page.file)) continue
      if (round > 0 && failed.has(page.url)) continue
      const text = await ask(service, page)
      if (text !== null) have.set(page.file, text)
      else failed.add(page.url)
    }
  }
  const [{ latitude, longitude }] = place.cells
  const distance = (station) => Math.hypot(station.latitude - latitude, (station.longitude - longitude) * Math.cos((latitude * Math.PI) / 180))
  const [station] = service
    .stations(have, [])
    .filter(({ since, until }) => since < span.fromS && until > span.toS)
    .sort((a, b) => distance(a) - distance(b))
  const asks = station ? service.requestsFor(station, span, nowS, have) : service.id === 'open-meteo' ? modelRequests(place, nowS) : []
  if (asks.length === 0) console.log(`${service.id}: no station was found in its lists`)
  for (const question of asks) {
    const text = await ask(service, question)
    if (text !== null && recording !== null) difference(text, recording)
  }
}
await close()
