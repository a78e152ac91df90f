// Writes src/read/weather/stations/station-table.ts, the places of stations by code, from two public-domain lists:
//   1. OurAirports (ourairports.com/data, public domain) of February 2026, all 69,899 airports, as the database in
//      npm's airport-db 0.3.1 (MIT) carries it;
//   2. the stations of NOAA's list nsd_cccc.txt of 2018 (US public domain) with OurAirports of 2023, as Debian's
//      weather-util-data 2.4.4-2 (ISC) carries them: positions in radians, no heights.
// How to make it again (sqlite3 is Debian's package of that name):
//   npm pack airport-db@0.3.1 && tar xzf airport-db-0.3.1.tgz
//   apt-get download weather-util-data && dpkg -x weather-util-data_*.deb weather-util
//   node test/data/weather/make-station-table.mjs package/dist/assets/airports.sqlite weather-util/usr/share/weather-util/stations.gz
import { execFileSync } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { gunzipSync } from 'node:zlib'

const METRES_PER_FOOT = 0.3048
const [database, debianList] = process.argv.slice(2)

/** ICAO codes, and the codes of small US stations: K before the three characters of the aerodrome. */
const CODE = /^(?:[A-Z]{4}|K[A-Z0-9]{3})$/

/** Aerodromes in use before closed ones, and those whose own name is the code before those that only report under it. */
function airports() {
  const query = 'select icao, faa, type, latitude, longitude, elevation_ft from airports order by icao'
  const rows = JSON.parse(execFileSync('sqlite3', ['-json', database, query], { maxBuffer: 1e9 }))
  const candidates = rows.flatMap((row) =>
    [row.faa, row.icao].flatMap((code, i) => (CODE.test(code ?? '') ? [{ ...row, code, rank: i }] : [])),
  )
  const isClosed = ({ type }) => Number(type === 'closed')
  candidates.sort((a, b) => isClosed(a) - isClosed(b) || a.rank - b.rank)
  const found = new Map()
  for (const { code, type, latitude, longitude, elevation_ft: feet } of candidates) {
    if (found.has(code) || (latitude === 0 && longitude === 0)) continue
    // The database has 0 for "not known" as well; at the sea 0 is true.
    const elevationM = feet === 0 && type !== 'seaplane_base' ? Number.NaN : feet * METRES_PER_FOOT
    found.set(code, { code, latitude, longitude, elevationM })
  }
  return found
}

function debianStations() {
  const degrees = (radians) => (Number(radians) * 180) / Math.PI
  const text = gunzipSync(readFileSync(debianList)).toString('utf8')
  return [...text.matchAll(/^\[(\w{4})\]\n(?:.+\n)*?location = \((-?[\d.]+), (-?[\d.]+)\)/gm)].map(
    ([, code, latitude, longitude]) => ({
      code: code.toUpperCase(),
      latitude: degrees(latitude),
      longitude: degrees(longitude),
      elevationM: Number.NaN,
    }),
  )
}

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'
const NO_HEIGHT = 64 ** 3 - 1

/** A whole number in digits of 64, the most significant first. */
function digits(value, length) {
  if (!(Number.isInteger(value) && value >= 0 && value < 64 ** length)) throw new Error(`${value} has no ${length} digits`)
  return Array.from({ length }, (_, i) => DIGITS[Math.floor(value / 64 ** (length - 1 - i)) % 64]).join('')
}

/** A line for each pair of first letters; see read/weather/stations/stations.ts. */
function packedTable(stations) {
  const lines = new Map()
  for (const { code, latitude, longitude, elevationM } of stations) {
    const height = Number.isNaN(elevationM) ? NO_HEIGHT : Math.round((elevationM + 1000) * 10)
    const entry =
      code.slice(2) +
      digits(Math.round((latitude + 90) * 1e4), 4) +
      digits(Math.round((longitude + 180) * 1e4), 4) +
      digits(height, 3)
    const region = code.slice(0, 2)
    lines.set(region, (lines.get(region) ?? region) + entry)
  }
  return [...lines.values()].join('\n')
}

const stations = airports()
// Stands in OurAirports as "Non-Existent Airport" in the ocean.
stations.delete('FAHS')
const fromAirports = stations.size
for (const station of debianStations()) if (!stations.has(station.code)) stations.set(station.code, station)
const all = [...stations.values()].sort((a, b) => (a.code < b.code ? -1 : 1))
const without = all.filter(({ elevationM }) => Number.isNaN(elevationM)).length

const text = `/**
 * ${all.length} stations by code, packed as read/weather/stations/stations.ts describes: ${fromAirports} airports, and ${all.length - fromAirports} other stations. ${without} have
 * no height. Made by test/data/weather/make-station-table.mjs, not edited by hand.
 * @source OurAirports (ourairports.com/data), public domain, February 2026, in npm airport-db 0.3.1 (MIT); NOAA National Weather
 *   Service, nsd_cccc.txt, 2018, public domain, in Debian weather-util-data 2.4.4-2 (ISC)
 */
export const STATION_TABLE = \`
${packedTable(all)}
\`
`
writeFileSync(new URL('../../../src/read/weather/stations/station-table.ts', import.meta.url), text)
console.log({ stations: all.length, fromAirports, without, bytes: text.length })
