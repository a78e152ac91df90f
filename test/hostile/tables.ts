import { type BadInput, latin1, noise } from './make.ts'

const weather = (what: string, text: string | (() => string | Uint8Array), code: string | null): BadInput => ({
  what: `weather: ${what}`,
  path: 'bad.txt',
  make: typeof text === 'string' ? () => text : text,
  code,
})

const WEATHER_COLUMNS = {
  temperature_c: ['warm', '999'],
  dew_point_c: ['dry', '-300'],
  relative_humidity_pct: ['70 hPa', '250'],
  station_pressure_hpa: ['high', '30'],
  sea_level_pressure_hpa: ['1.013,25.1', '9999'],
  altimeter_hpa: ['Q1013', '29.92'],
  wind_speed_mps: ['4-6', '-3'],
  wind_gust_mps: ['gusty', '400'],
  wind_from_deg: ['SW', '720'],
  precipitation_mm: ['drizzle', '1e6'],
  lat: ['52N', '152'],
  lon: ['five', '400'],
} satisfies Record<string, [unreadable: string, implausible: string]>

const HEADER = `time,station,${Object.keys(WEATHER_COLUMNS).join(',')}`
const SOUND = ['14', '9', '70', '1010', '1011', '1012', '4', '6', '200', '0', '52.01', '5']
const row = (cells: string[], time = '2024-05-03T08:30Z'): string => `${time},B,${cells.join(',')}\n`
const withCell = (at: number, cell: string): string =>
  `${HEADER}\n${row(SOUND)}${row(SOUND.map((sound, i) => (i === at ? (cell.includes(',') ? `"${cell}"` : cell) : sound)))}`

const many = (count: number, line: (i: number) => string): string =>
  Array.from({ length: count }, (_, i) => line(i)).join('\n')

/** Weather tables with every column broken, and what else is dropped for weather. */
export const weatherTables: BadInput[] = [
  ...Object.entries(WEATHER_COLUMNS).flatMap(([name, [unreadable, implausible]], at) => [
    weather(`"${unreadable}" for ${name}`, withCell(at, unreadable), 'weather-cell-unreadable'),
    weather(`${implausible} for ${name}`, withCell(at, implausible), 'weather-implausible'),
    weather(`1e400 for ${name}`, withCell(at, '1e400'), 'weather-cell-unreadable'),
    weather(
      `no unit for ${name}`,
      withCell(at, '5').replace(name, name.replace(/_(c|pct|hpa|mps|mm|deg)$/, '_furlong')),
      name.startsWith('la') || name === 'lon' ? null : 'weather-unit-unknown',
    ),
  ]),
  weather('a time in words', `${HEADER}\n${row(SOUND, 'noon')}${row(SOUND)}`, 'weather-time-unreadable'),
  weather('every time in words', `${HEADER}\n${row(SOUND, 'noon')}`, 'weather-no-rows'),
  weather('times without a zone', `${HEADER}\n${row(SOUND, '2024-05-03T08:30')}`, 'time-zone-missing'),
  weather(
    'an hour that summer time skipped, and one that it had twice',
    '# time zone: Europe/Berlin\ntime,temperature_c\n2024-03-31T02:30,9\n2024-10-27T02:30,9\n',
    'time-doubtful',
  ),
  weather('no rows', `${HEADER}\n`, 'weather-no-rows'),
  weather('no line end at the end', HEADER, 'weather-no-rows'),
  weather(
    'a quotation mark never closed',
    `${HEADER}\n${row(SOUND)}2024-05-03T09:00Z,"B,14,9\n${row(SOUND)}`,
    'table-quote-open',
  ),
  weather('a quotation mark within a cell', `${HEADER}\n${row(SOUND).replace('B', '5" mast')}`, null),
  weather('rows too short', `${HEADER}\n${row(SOUND)}2024-05-03T09:00Z,B,14\n`, 'table-row-too-short'),
  weather('rows too long', `${HEADER}\n${row(SOUND)}${row([...SOUND, '1', '2'])}`, 'table-row-too-long'),
  weather(
    'decimal commas between commas',
    `${HEADER}\n${row(SOUND)}${row(SOUND.map((cell) => `${cell},5`))}`,
    'table-row-too-long',
  ),
  weather('a column twice', `${HEADER},temperature_c\n${row([...SOUND, '99'])}`, 'table-column-twice'),
  weather(
    'a pressure that does not say which',
    `time,pressure_hpa,temperature_c\n2024-05-03T08:30Z,1010,14\n`,
    'weather-unit-unknown',
  ),
  weather('columns of another trade', `${HEADER},mood\n${row([...SOUND, 'fine'])}`, 'weather-column-unknown'),
  weather('separators mixed', `${HEADER}\n${row(SOUND).replaceAll(',', ';')}${row(SOUND)}`, 'table-row-too-short'),
  weather(
    '200,000 columns',
    () => `time,temperature_c,${many(200_000, (i) => `x${i}`).replaceAll('\n', ',')}\n2024-05-03T08:30Z,14\n`,
    'table-too-wide',
  ),
  weather(
    '200,000 rows that cannot be',
    () => `time,temperature_c\n${many(200_000, (i) => `2024-05-03T08:${String(i % 60).padStart(2, '0')}Z,999`)}`,
    'weather-implausible',
  ),
  weather(
    '200,000 rows with another place each',
    () =>
      `time,temperature_c,lat,lon\n${many(200_000, (i) => `2024-05-03T08:30Z,14,${(i % 900) / 10},${(i % 1700) / 10}`)}`,
    null,
  ),
  weather('a cell of a million characters', () => withCell(0, 'x'.repeat(1e6)), 'weather-cell-unreadable'),
  weather(
    'a column name of a million characters',
    () => `time,temperature_c,${'x'.repeat(1e6)}\n2024-05-03T08:30Z,14,1\n`,
    'weather-column-unknown',
  ),
  weather('NUL bytes in cells', withCell(0, '1\x004'), 'weather-cell-unreadable'),
  weather(
    'stations named to be run',
    `${HEADER}\n${row(SOUND).replace('B', '=cmd|calc!A1\x1b[2J<script>alert(1)</script>')}`,
    null,
  ),
  weather(
    'a station that moves',
    `${HEADER}\n${row(SOUND)}${row([...SOUND.slice(0, 10), '12', '5'])}`,
    'station-moves',
  ),
  weather('a table in UTF-16', () => Uint8Array.from(`${HEADER}\n${row(SOUND)}`, (c) => c.charCodeAt(0)), null),
  weather('a table of another trade', 'name,price\nbolt,1\nnut,2\n', 'unrecognised'),
  weather('JSON', '{"temperature": 14, "wind": [1, 2, 3]}', 'unrecognised'),
  weather('a poem', 'The fog comes\non little cat feet.\n', 'unrecognised'),
  weather('a login page', '<html><head><title>Sign in</title></head></html>', 'html-page'),
  weather(
    'METAR whose groups are damaged',
    'EHAM 030825Z ////// Q//// =\nEHAM 030855Z 20008KT 14/09 Q1012=',
    'metar-empty',
  ),
  weather(
    'METAR of the 45th',
    'EHAM 030825Z 20008KT 14/09 Q1012=\nEHAM 452555Z 20008KT 14/09 Q1012=',
    'metar-unreadable',
  ),
  weather('METAR not sent', 'EHAM 030825Z 20008KT 14/09 Q1012=\nEHAM 030855Z NIL=', 'metar-nil'),
  weather('METAR among prose', 'EHAM 030825Z 20008KT 14/09 Q1012=\n\nand then it rained\n', 'metar-line-unreadable'),
  weather(
    'METAR with the wrong date before it',
    '2024-05-09 12:00 EHAM 030825Z 20008KT 14/09 Q1012=\nEHAM 030855Z 20008KT 14/09 Q1012=',
    'metar-date-contradicts',
  ),
  weather(
    'METAR of impossible air',
    'EHAM 030825Z 20008KT 14/09 Q1012=\nEHAM 030855Z 99999KT 99/M99 Q9999=',
    'weather-implausible',
  ),
  weather('METAR with a million words', () => `EHAM 030825Z 20008KT 14/09 Q1012 RMK ${'A '.repeat(1e6)}=`, null),
  weather(
    '100,000 stray lines behind a METAR',
    () => `EHAM 030825Z 20008KT 14/09 Q1012=\n\n${many(100_000, (i) => `nothing ${i}`)}`,
    'metar-line-unreadable',
  ),
  weather(
    'ISD-Lite with a broken line',
    '2024 05 03 08   140    90 10110   200    40     0     0 -9999\n2024 05 03 ab 140\n',
    'isd-line-unreadable',
  ),
  weather('ISD-Lite with nothing in it', '2024 05 03 08 -9999 -9999 -9999 -9999 -9999 -9999 -9999 -9999\n', 'isd-none'),
  weather(
    'ISD-Lite of the 31st of April',
    '2024 04 31 08   140    90 10110   200    40     0     0 -9999\n',
    'isd-none',
  ),
  weather('hourly CSV with broken codes', 'STATION,DATE,WND,TMP\nA,2024-05-03T08:00:00,"1,2","x"\n', 'isd-none'),
  weather(
    'hourly CSV with a broken time',
    'STATION,DATE,WND,TMP\nA,today,"260,5,N,0046,5","0083,5"\n',
    'weather-time-unreadable',
  ),
  weather(
    'a table of noise with a good header',
    () => Uint8Array.from([...latin1(`${HEADER}\n${row(SOUND)}`), ...noise(2000, 7)]),
    'weather-time-unreadable',
  ),
]

const RUN_COLUMNS: [name: string, unreadable: string, impossible: string][] = [
  ['fuel_l', 'full', '-4'],
  ['fuel_gal_us', '3 gal', '1e9'],
  ['fuel_gal_imp', '?3', '0'],
  ['fuel_kg', '4 l', '1e5'],
  ['energy_kwh', 'lots', '-1'],
  ['fuel_temperature_c', 'warm', '150'],
  ['trip_computer_l_per_100km', '6.1 l', '900'],
  ['trip_computer_mpg_us', 'good', '0'],
  ['gauge_mark_km', 'half', '-5'],
  ['obd_fuel_l', '#N/A!', '1e7'],
  ['odometer_km', '12,5,5', '1e9'],
  ['payload_kg', 'heavy', '-80'],
  ['tyre_pressure_bar', '2.4 psi', '240'],
  ['tyre_pressure_psi', 'ok', '1'],
  ['accessories_w', 'on', '1e6'],
  ['temperature_c', 'mild', '140'],
  ['relative_humidity_pct', 'wet', '700'],
  ['wind_speed_mps', 'light', '500'],
  ['wind_from_deg', 'SSW', '400'],
]

const runs = (what: string, text: string | (() => string), code: string | null): BadInput => ({
  what: `runs.csv: ${what}`,
  path: 'runs.csv',
  make: typeof text === 'string' ? () => text : text,
  code,
})

/** runs.csv with a mistake in every column. */
export const runsTables: BadInput[] = [
  ...RUN_COLUMNS.flatMap(([name, unreadable, impossible]) => [
    runs(`"${unreadable}" for ${name}`, `track,${name}\ngood.gpx,"${unreadable}"\n`, 'runs-not-a-number'),
    runs(`${impossible} for ${name}`, `track,${name}\ngood.gpx,${impossible}\n`, 'runs-impossible-value'),
    runs(`1e400 for ${name}`, `track,${name}\ngood.gpx,1e400\n`, 'runs-not-a-number'),
  ]),
  runs('a track that does not exist', 'track,fuel_l\nnone.gpx,5\n', 'row-without-track'),
  runs('a track outside the folder', 'track,fuel_l\n../../etc/passwd,5\n', 'row-without-track'),
  runs('a track twice', 'track,fuel_l\ngood.gpx,5\ngood.gpx,6\n', 'runs-track-twice'),
  runs('a track called by two names', 'track,fuel_l\ngood.gpx,5\nGOOD,6\n', 'row-repeated'),
  runs('a row without its track', 'track,fuel_l\ngood.gpx,5\n,6\n', 'runs-no-track'),
  runs('a unit nobody knows', 'track,fuel_hogshead\ngood.gpx,5\n', 'runs-unknown-unit'),
  runs('a misspelt column', 'track,setpu\ngood.gpx,a\n', 'runs-unknown-column'),
  runs('the same quantity twice', 'track,fuel_l,fuel_gal_us\ngood.gpx,5,1\n', 'runs-quantity-twice'),
  runs('a column twice', 'track,fuel_l,fuel_l\ngood.gpx,5,6\n', 'table-column-twice'),
  runs('a quotation mark never closed', 'track,note\ngood.gpx,"so\n', 'table-quote-open'),
  runs('a row too long', 'track,fuel_l\ngood.gpx,5,6,7\n', 'table-row-too-long'),
  runs('a row too short', 'track,fuel_l,note\ngood.gpx,5\n', 'table-row-too-short'),
  runs('a header alone', 'track,fuel_l\n', 'table-no-rows'),
  runs('fuel without a setup', 'track,fuel_l\ngood.gpx,5\n', 'fuel-without-setup'),
  runs(
    '20,000 rows for nothing',
    () => `track,fuel_l\n${many(20_000, (i) => `t${i}.gpx,${i}`)}\n`,
    'row-without-track',
  ),
  runs(
    '30,000 columns',
    () => `track,${many(30_000, (i) => `c${i}`).replaceAll('\n', ',')}\ngood.gpx\n`,
    'table-too-wide',
  ),
  runs('a note of a million characters', () => `track,note\ngood.gpx,${'x'.repeat(1e6)}\n`, 'runs-text-cut'),
  runs(
    'words that would command a terminal',
    'track,setup,note,exclude\ngood.gpx,"\x1b[31mred\x1b[0m\x07","\u202egnp.exe","=HYPERLINK(""http://evil"")"\n',
    'baseline-assumed',
  ),
  runs('__proto__ for a setup', 'track,setup,fuel_l\ngood.gpx,__proto__,5\n', null),
]
