/**
 * Makes the flat OpenDocument file that the office suite turns into months.xlsx and months.ods (see SOURCE.md): the drives of
 * samples/ladder-van on two sheets whose columns differ, a sheet of totals and a sheet of notes.
 * node test/data/spreadsheets/make-months.mjs > months.fods
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'

const SAMPLE = join(import.meta.dirname, '../../../samples/ladder-van')
const escaped = (text) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;')
const cell = (value) =>
  value === ''
    ? '<table:table-cell/>'
    : typeof value === 'number'
      ? `<table:table-cell office:value-type="float" office:value="${value}"><text:p>${value}</text:p></table:table-cell>`
      : `<table:table-cell office:value-type="string"><text:p>${escaped(value)}</text:p></table:table-cell>`
const sheet = (name, rows) =>
  `<table:table table:name="${name}">\n${rows.map((row) => `<table:table-row>${row.map(cell).join('')}</table:table-row>\n`).join('')}</table:table>\n`

const drives = parse(readFileSync(join(SAMPLE, 'runs.csv')), { columns: true })
const [early, late] = [drives.slice(0, 4), drives.slice(4)]
const litres = (rows) => Number(rows.reduce((sum, d) => sum + Number(d.fuel_l), 0).toFixed(2))
const fields = (d) => [Number(d.fuel_l), Number(d.fuel_temperature_c), Number(d.trip_computer_l_per_100km), Number(d.odometer_km), Number(d.payload_kg)]
const first = [
  ['File', 'Config', 'Fuel (l)', 'Fuel temp (°C)', 'Trip computer (l/100 km)', 'Odo (km)', 'Load (kg)', 'Tyre pressure (bar)', 'fill group', 'Remarks'],
  ...early.map((d) => [d.track, d.setup, ...fields(d), Number(d.tyre_pressure_kpa) / 100, d.fill_group, d.note]),
  ['Total', '', litres(early)],
]
// The last drive of the first sheet stands here once more.
const second = [
  ['setup', 'track', 'fuel_l', 'fuel_temperature_c', 'trip_computer_l_per_100km', 'odometer_km', 'payload_kg', 'tyre_pressure_kpa', 'fill_group', 'note'],
  ...[early[3], ...late].map((d) => [d.setup, d.track, ...fields(d), Number(d.tyre_pressure_kpa), d.fill_group, d.note]),
]
const totals = [['Config', 'Drives', 'Litres'], ...['bare', 'bars', 'ladders'].map((setup) => {
  const own = drives.filter((d) => d.setup === setup)
  return [setup, own.length, litres(own)]
})]
const notes = [['Filled at the corner pump, up to the first click.'], ['Tyres were checked every Monday.']]

process.stdout.write(`<?xml version="1.0" encoding="UTF-8"?>
<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.spreadsheet">
<office:body><office:spreadsheet>
${sheet('First half', first)}${sheet('Second half', second)}${sheet('Totals', totals)}${sheet('Notes', notes)}</office:spreadsheet></office:body></office:document>
`)
