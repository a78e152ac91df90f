/**
 * From GPX to run records on one core, against a document tree and a bare parser on the same files: called by bench.mjs
 * with the points of a track, under `node --single-threaded`.
 */
import { register } from 'node:module'
import { join } from 'node:path'
import { gpx as geoJsonOfGpx } from '@tmcw/togeojson'
import { DOMParser } from '@xmldom/xmldom'
import { SaxesParser } from 'saxes'
import { before } from './before.mjs'
import { collectGarbage, load, median, row, seconds } from './measure.mjs'

register('../samples/load-typescript.mjs', import.meta.url)
const { fleetFiles } = await import('./fleet.ts')

const points = Number(process.argv[2] ?? 7200)
const dist = (path) => import(join(import.meta.dirname, '../dist-modules', `${path}.js`))
const ROUNDS = 5
const CALLS = 3

const { mapFile } = await dist('campaign/load/map-file')
const { readInputs } = await dist('campaign/load/inputs')
const { NOTHING_SAID, runsOf } = await dist('campaign/load/runs')
const { roadsOf } = await dist('campaign/load/routes')
const { drivesFrom, motionsIn } = await dist('campaign/load/drive-source')
const { readySetting, resultOf } = await dist('campaign/drive/run-result')
const { seriesOf } = await dist('air/series')
const { roughnessLengthM } = await dist('air/profile')
const { vehicleOf } = await dist('demand/vehicle')
const encoder = new TextEncoder()
const all = [...fleetFiles({ seed: 'bench', runs: 6, points })].map(([path, text]) => ({
  path,
  text,
  bytes: encoder.encode(text),
  sha256: path,
}))
const tracks = all.filter(({ path }) => path.endsWith('.gpx'))
const megabytes = tracks.reduce((sum, { bytes }) => sum + bytes.length, 0) / 1e6
const mapped = all.map(mapFile)
const inputs = await readInputs(mapped)
const { series } = seriesOf(inputs.observations, inputs.campaign.stations, inputs.lookUpStation)
const setting = {
  series,
  vehicle: vehicleOf(inputs.campaign.vehicle),
  ensemble: { draws: 400, seed: 1, roughnessM: roughnessLengthM[inputs.campaign.terrain] },
  limits: [],
}
const ready = readySetting(setting)
const toRecords = () => {
  const files = tracks.map(mapFile)
  const motions = motionsIn(files)
  const { runs: found } = runsOf(files, NOTHING_SAID, motions)
  const drives = drivesFrom(motions)
  const roads = roadsOf(found)
  for (const [i, run] of found.entries()) {
    const route = roads.contexts[i]
    const task = { run, route, axisLengthM: roads.routes[route.index].lengthM, wantsSide: false, against: null }
    resultOf(task, drives(run), ready)
  }
}
const events = { n: 0 }
const bareParser = () => {
  for (const { text } of tracks) {
    const parser = new SaxesParser()
    for (const event of ['opentag', 'closetag', 'text']) parser.on(event, () => events.n++)
    parser.write(text).close()
  }
}
const deafParser = () => {
  for (const { text } of tracks) new SaxesParser().write(text).close()
}
const tree = () => {
  for (const { text } of tracks) geoJsonOfGpx(new DOMParser().parseFromString(text, 'text/xml'))
}
/** The rate after a first call that is not counted: what was thrown away with the garbage of others is made again in it. */
const rateOf = (work) => {
  collectGarbage()
  work()
  return (CALLS * megabytes) / seconds(() => {
    for (let call = 0; call < CALLS; call++) work()
  })
}
const rates = { tree: [], bare: [], deaf: [], records: [] }
for (let round = 0; round < 1 + ROUNDS; round++) {
  rates.tree.push(rateOf(tree))
  rates.bare.push(rateOf(bareParser))
  rates.deaf.push(rateOf(deafParser))
  rates.records.push(rateOf(toRecords))
}
// In the first round the compiler still learns.
const [ofTree, ofBare, ofDeaf, ofRecords] = Object.values(rates).map((r) => median(r.slice(1)))
console.log(`\nFrom GPX to run records on one core, 400 draws (${tracks.length} tracks of ${points} points; load ${load()})`)
row('xmldom and togeojson, parsing alone', `${ofTree.toFixed(2)} MB/s`)
row('saxes, tags and texts handed out', `${ofBare.toFixed(1)} MB/s`)
row('saxes, nobody listening', `${ofDeaf.toFixed(1)} MB/s`)
row('file to run record', `${ofRecords.toFixed(1)} MB/s`, before.records)
row('  over xmldom and togeojson', `${(ofRecords / ofTree).toFixed(1)} x`, 'wanted: at least 10')
row('  over saxes with listeners', `${(ofRecords / ofBare).toFixed(2)} x`, 'wanted: at least 0.33')
row('  over saxes without', `${(ofRecords / ofDeaf).toFixed(2)} x`)
