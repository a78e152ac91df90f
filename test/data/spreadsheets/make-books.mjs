/**
 * Makes the flat OpenDocument file that the office suite turns into campaign.xlsx and campaign.ods (see SOURCE.md): a sheet of
 * drives with a title, a units row and totals, a sheet of weather, and a sheet that is neither.
 * node test/data/spreadsheets/make-books.mjs > campaign.fods
 */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'

const SAMPLE = join(import.meta.dirname, '../../../samples/ladder-van')
const escaped = (text) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;')
const words = (text) => `<table:table-cell office:value-type="string"><text:p>${escaped(text)}</text:p></table:table-cell>`
const number = (value, more = '') => `<table:table-cell office:value-type="float" office:value="${value}"${more}><text:p>${value}</text:p></table:table-cell>`
const percent = (value) => `<table:table-cell table:style-name="pct" office:value-type="percentage" office:value="${value / 100}"><text:p>${value}%</text:p></table:table-cell>`
const moment = (iso) => `<table:table-cell table:style-name="moment" office:value-type="date" office:date-value="${iso}"><text:p>${iso}</text:p></table:table-cell>`
const empty = '<table:table-cell/>'
const line = (...cells) => `<table:table-row>${cells.join('')}</table:table-row>\n`

const drives = parse(readFileSync(join(SAMPLE, 'runs.csv')), { columns: true })
const driveRows = drives.map((d) =>
  line(words(d.track.replace('.gpx', '')), words(d.setup), number(d.fuel_l), number(d.fuel_temperature_c), number(d.trip_computer_l_per_100km), number(d.odometer_km), number(d.payload_kg), number(Number(d.tyre_pressure_kpa) / 100), words(d.fill_group), words('Ana'), d.note === '' ? empty : words(d.note)),
)
const total = drives.reduce((sum, d) => sum + Number(d.fuel_l), 0).toFixed(2)
const sheetOfDrives = [
  line(words('Roof ladders, spring 2026')),
  line(empty),
  line(...['File', 'Config', 'Fuel', 'Fuel temp', 'Trip computer', 'Odo', 'Load', 'Tyre pressure', 'fill group', 'Driver', 'Remarks'].map(words)),
  line(...['', '', 'l', '°C', 'l/100 km', 'km', 'kg', 'bar', '', '', ''].map((unit) => (unit ? words(unit) : empty))),
  ...driveRows,
  line(empty),
  line(words('Total'), empty, number(total, ' table:formula="of:=SUM([.C5:.C12])"')),
]
const weather = parse(readFileSync(join(SAMPLE, 'weather/silo-mast.csv')), { columns: true })
const sheetOfWeather = [
  line(...['Time (UTC)', 'Station', 'Air temp (°C)', 'RH [%]', 'station pressure (hPa)', 'Wind speed (km/h)', 'Wind direction', 'Gusts, km/h', 'Rainfall (mm)', 'road wet'].map(words)),
  ...weather.map((w) =>
    line(moment(`${w.time.slice(0, 16)}:00`), words(w.station), number(w.temperature_c), percent(Number(w.relative_humidity_pct)), number(w.station_pressure_hpa), number(Number((w.wind_speed_mps * 3.6).toFixed(2))), number(w.wind_from_deg), number(Number((w.wind_gust_mps * 3.6).toFixed(2))), number(w.precipitation_mm), words(w.road_wet === 'true' ? 'yes' : 'no')),
  ),
]
const sheetOfSomething = [line(words('Ladders bought'), number(2)), line(words('Price'), number(119.9))]
const sheet = (name, rows) => `<table:table table:name="${name}"><table:table-column table:number-columns-repeated="11"/>\n${rows.join('')}</table:table>\n`

process.stdout.write(`<?xml version="1.0" encoding="UTF-8"?>
<office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.spreadsheet">
<office:automatic-styles>
<number:date-style style:name="N1"><number:day number:style="long"/><number:text>/</number:text><number:month number:style="long"/><number:text>/</number:text><number:year number:style="long"/><number:text> </number:text><number:hours number:style="long"/><number:text>:</number:text><number:minutes number:style="long"/></number:date-style>
<number:percentage-style style:name="N2"><number:number number:decimal-places="0" number:min-integer-digits="1"/><number:text>%</number:text></number:percentage-style>
<style:style style:name="moment" style:family="table-cell" style:data-style-name="N1"/>
<style:style style:name="pct" style:family="table-cell" style:data-style-name="N2"/>
</office:automatic-styles>
<office:body><office:spreadsheet>
${sheet('Drives', sheetOfDrives)}${sheet('Silo mast', sheetOfWeather)}${sheet('Costs', sheetOfSomething)}</office:spreadsheet></office:body></office:document>
`)
