import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { folderFiles, inputFile } from './folder.ts'

/** A way in which somebody keeps the tables of samples/ladder-van: files in place of those of the same job. */
export interface Way {
  what: string
  drives?: InputFile
  weather?: InputFile
  /** In place of both, and of neither. */
  book?: InputFile
  /** Lines that go before those of campaign.yaml. */
  settings?: string
}

const SAMPLE = 'samples/ladder-van'
const text = (path: string): string => readFileSync(join(SAMPLE, path), 'utf8')
type Row = Record<string, string>
const DRIVES = parse(text('runs.csv'), { columns: true }) as Row[]
const WEATHER = parse(text('weather/silo-mast.csv'), { columns: true }) as Row[]
const DRIVE_COLUMNS = Object.keys(DRIVES[0])
const WEATHER_COLUMNS = Object.keys(WEATHER[0])

type Column = [written: string, value: (row: Row) => string]
const same = (name: string): Column => [name, (row) => row[name]]
const renamed = (from: Record<string, string>, columns = DRIVE_COLUMNS): Column[] =>
  columns.map((name) => [from[name] ?? name, (row) => row[name]])
/** A column in another unit, with as many digits as give the value again. */
const scaled = (name: string, factor: number, written: string, offset = 0): Column => [
  written,
  (row) => (row[name] === '' ? '' : String(Number((Number(row[name]) * factor + offset).toPrecision(15)))),
]
const others = (names: string[]): Column[] => DRIVE_COLUMNS.filter((name) => !names.includes(name)).map(same)

interface Dialect {
  separator?: string
  decimal?: string
  lineEnd?: string
  /** All cells in quotation marks, as some programs write. */
  quoteAll?: boolean
  before?: string[]
  after?: string[]
  units?: string[]
}

function tableOf(columns: Column[], rows: Row[], dialect: Dialect = {}): string {
  const { separator = ',', decimal = '.', lineEnd = '\n', quoteAll = false, before = [], after = [], units } = dialect
  const quoted = (cell: string): string =>
    quoteAll || cell.includes(separator) || cell.includes('"') ? `"${cell.replaceAll('"', '""')}"` : cell
  const local = (cell: string): string => (/^-?\d+\.\d+$/.test(cell) ? cell.replace('.', decimal) : cell)
  const line = (cells: string[]): string => cells.map(quoted).join(separator)
  const lines = [
    ...before,
    line(columns.map(([name]) => name)),
    ...(units ? [line(units)] : []),
    ...rows.map((row) => line(columns.map(([, value]) => local(value(row))))),
    ...after,
  ]
  return lines.join(lineEnd) + lineEnd
}

const plain = DRIVE_COLUMNS.map(same)
const drives = (name: string, content: string | Uint8Array): InputFile => inputFile(name, content)
const weatherFile = (content: string): InputFile => inputFile('weather/mast.csv', content)
const utf16 = (content: string): Uint8Array => new Uint8Array(Buffer.from(`\ufeff${content}`, 'utf16le'))
const windows1252 = (content: string): Uint8Array => new Uint8Array(Buffer.from(content, 'latin1'))
const book = (name: string): InputFile =>
  inputFile(`book.${name.split('.')[1]}`, new Uint8Array(readFileSync(join('test/data/spreadsheets', name))))

/** Litres in a US gallon and an imperial one, pascals in a psi, kilometres in a mile. @source NIST SP 811, appendix B.8 */
const [US_GALLON_L, IMPERIAL_GALLON_L, PSI_KPA, MILE_KM, POUND_KG] = [
  3.785411784, 4.54609, 6.894757293168361, 1.609344, 0.45359237,
]

const usNames: Column[] = [
  ['GPX file', (row) => row.track.toUpperCase()],
  same('setup'),
  scaled('fuel_l', 1 / US_GALLON_L, 'Fuel (US gal)'),
  scaled('fuel_temperature_c', 9 / 5, 'fuel temp °F', 32),
  [
    'board computer, mpg (US)',
    (row) => String((100 * US_GALLON_L) / (MILE_KM * Number(row.trip_computer_l_per_100km))),
  ],
  scaled('odometer_km', 1 / MILE_KM, 'odo (miles)'),
  scaled('payload_kg', 1 / POUND_KG, 'load [lbs]'),
  scaled('tyre_pressure_kpa', 1 / PSI_KPA, 'tire psi'),
  same('fill_group'),
  ['Comments', (row) => row.note],
]
const pounds = usNames.map(([name, value]): Column => [name, (row) => value(row)])

/** Clock and day of a moment of the sample, local time of Madrid in April (UTC+2, IANA time zone database). */
const local = (iso: string): Date => new Date(Date.parse(iso) + 7200_000)
const two = (n: number): string => String(n).padStart(2, '0')
const dmy = (iso: string, year = (y: number) => String(y)): string => {
  const d = local(iso)
  return `${two(d.getUTCDate())}.${two(d.getUTCMonth() + 1)}.${year(d.getUTCFullYear())}`
}
const mdy = (iso: string): string =>
  `${local(iso).getUTCMonth() + 1}/${local(iso).getUTCDate()}/${local(iso).getUTCFullYear()}`
const clock = (iso: string): string => `${two(local(iso).getUTCHours())}:${two(local(iso).getUTCMinutes())}`
const twelve = (iso: string): string => {
  const hour = local(iso).getUTCHours()
  return `${hour % 12 === 0 ? 12 : hour % 12}:${two(local(iso).getUTCMinutes())} ${hour < 12 ? 'AM' : 'PM'}`
}
const serial = (iso: string): string => String(local(iso).getTime() / 86_400_000 + 25_569)
const weatherWith = (...time: Column[]): Column[] => [...time, ...WEATHER_COLUMNS.slice(1).map(same)]
const sentence = (iso: string): string =>
  new Intl.DateTimeFormat('en-US', { dateStyle: 'medium', timeStyle: 'short', timeZone: 'UTC' }).format(local(iso))

/** All ways but the one of the sample itself. */
export const WAYS: Way[] = [
  {
    what: 'semicolons and decimal commas',
    drives: drives('runs.csv', tableOf(plain, DRIVES, { separator: ';', decimal: ',' })),
  },
  { what: 'tabs', drives: drives('runs.tsv', tableOf(plain, DRIVES, { separator: '\t' })) },
  {
    what: 'a line sep=; and line ends of Windows',
    drives: drives('runs.csv', `sep=;\r\n${tableOf(plain, DRIVES, { separator: ';', lineEnd: '\r\n' })}`),
  },
  {
    what: 'a byte order mark, everything in quotation marks',
    drives: drives('runs.csv', `\ufeff${tableOf(plain, DRIVES, { quoteAll: true })}`),
  },
  {
    what: 'UTF-16 with tabs, as a spreadsheet’s "Unicode text"',
    drives: drives('runs.txt', utf16(tableOf(plain, DRIVES, { separator: '\t', lineEnd: '\r\n' }))),
  },
  {
    what: 'Windows-1252 with an umlaut in a column that is not known',
    drives: drives(
      'runs.csv',
      windows1252(tableOf([...plain, ['Fahrer', () => 'Jörg']], DRIVES, { separator: ';', decimal: ',' })),
    ),
  },
  {
    what: 'decimal commas in a table separated by commas',
    drives: drives('runs.csv', tableOf(plain, DRIVES, { decimal: ',' })),
  },
  {
    what: 'trailing empty columns',
    drives: drives('runs.csv', tableOf([...plain, ['', () => ''], ['', () => '']], DRIVES)),
  },
  {
    what: 'a title above, empty lines, totals and a remark below',
    drives: drives(
      'runs.csv',
      tableOf(plain, DRIVES, {
        before: ['Roof ladders, spring,,,,,,,,', ',,,,,,,,,', 'Driver: Ana,,,,,,,,,', ''],
        after: ['', 'Total,,56.60,,,,,,,', 'All fills at one pump.,,,,,,,,,'],
      }),
    ),
  },
  {
    what: 'a row of units',
    drives: drives(
      'runs.csv',
      tableOf(
        renamed({
          fuel_l: 'fuel',
          fuel_temperature_c: 'fuel temperature',
          trip_computer_l_per_100km: 'trip computer',
          odometer_km: 'odometer',
          payload_kg: 'payload',
          tyre_pressure_kpa: 'tyre pressure',
        }),
        DRIVES,
        { units: ['', '', 'l', '°C', 'l/100 km', 'km', 'kg', 'kPa', '', ''] },
      ),
    ),
  },
  {
    what: 'names of columns as people write them',
    drives: drives(
      'drives.csv',
      tableOf(
        renamed({
          track: 'File',
          setup: 'Config',
          fuel_l: 'Liters',
          fuel_temperature_c: 'Fuel temp (°C)',
          trip_computer_l_per_100km: 'Trip computer [l/100km]',
          odometer_km: 'odo km',
          payload_kg: 'Load in kg',
          tyre_pressure_kpa: 'Tyre pressure (kPa)',
          note: 'Remarks',
        }),
        DRIVES,
      ),
    ),
  },
  { what: 'US units, tracks in capitals', drives: drives('drives.csv', tableOf(pounds, DRIVES)) },
  {
    what: 'imperial gallons and bar',
    drives: drives(
      'drives.csv',
      tableOf(
        [
          ...others(['fuel_l', 'tyre_pressure_kpa', 'note']),
          scaled('fuel_l', 1 / IMPERIAL_GALLON_L, 'UK gallons'),
          scaled('tyre_pressure_kpa', 0.01, 'tyres (bar)'),
          same('note'),
        ],
        DRIVES,
      ),
    ),
  },
  {
    what: 'German names',
    drives: drives(
      'fahrten.csv',
      tableOf(
        renamed({
          track: 'Datei',
          setup: 'Aufbau',
          fuel_l: 'Liter',
          fuel_temperature_c: 'Kraftstofftemperatur (°C)',
          trip_computer_l_per_100km: 'Bordcomputer (l/100 km)',
          odometer_km: 'Strecke (km)',
          payload_kg: 'Zuladung (kg)',
          tyre_pressure_kpa: 'Reifendruck (kPa)',
          note: 'Bemerkung',
        }),
        DRIVES,
        { separator: ';', decimal: ',' },
      ),
    ),
  },
  {
    what: 'tracks without ending, with blanks for hyphens',
    drives: drives(
      'runs.csv',
      tableOf([['track', (row) => row.track.replace('.gpx', '').replaceAll('-', ' ')], ...plain.slice(1)], DRIVES),
    ),
  },
  {
    what: 'units behind the numbers',
    drives: drives(
      'runs.csv',
      tableOf(
        [
          ...others(['fuel_l', 'odometer_km', 'note']),
          ['fuel_l', (row) => `${row.fuel_l} l`],
          ['odometer_km', (row) => `${row.odometer_km} km`],
          same('note'),
        ],
        DRIVES,
      ),
    ),
  },
  { what: 'unquoted commas in the note', drives: drives('runs.csv', tableOf(plain, DRIVES).replaceAll('"', '')) },
  {
    what: 'no track but date and time',
    drives: drives(
      'runs.csv',
      tableOf(
        [
          ['Date', (row) => dmy(`${row.track.slice(0, 10)}T00:00Z`)],
          ['Time', (row) => startClock(row.track)],
          ['track', () => ''],
          ...plain.slice(1),
        ],
        DRIVES,
      ),
    ),
  },
  {
    what: 'consumption in place of fuel',
    drives: drives(
      'runs.csv',
      tableOf(
        [
          ...others(['fuel_l', 'note']),
          ['l/100km', (row) => String((100 * Number(row.fuel_l)) / Number(row.odometer_km))],
          same('note'),
        ],
        DRIVES,
      ),
    ),
  },
  {
    what: 'weather: day.month.year in local time',
    weather: weatherFile(tableOf(weatherWith(['time', (row) => `${dmy(row.time)} ${clock(row.time)}`]), WEATHER)),
  },
  {
    what: 'weather: month/day/year with AM and PM',
    weather: weatherFile(tableOf(weatherWith(['Date/Time', (row) => `${mdy(row.time)} ${twelve(row.time)}`]), WEATHER)),
  },
  {
    what: 'weather: two-digit years',
    weather: weatherFile(
      tableOf(
        weatherWith(['time', (row) => `${dmy(row.time, (y) => String(y).slice(2))} ${clock(row.time)}`]),
        WEATHER,
      ),
    ),
  },
  {
    what: 'weather: serial numbers',
    weather: weatherFile(
      tableOf(weatherWith(['time', (row) => serial(row.time)]), WEATHER, { separator: ';', decimal: ',' }),
    ),
  },
  {
    what: 'weather: date and time in two columns',
    weather: weatherFile(
      tableOf(weatherWith(['Datum', (row) => dmy(row.time)], ['Uhrzeit', (row) => clock(row.time)]), WEATHER, {
        separator: ';',
        decimal: ',',
      }),
    ),
  },
  {
    what: 'weather: names of months',
    weather: weatherFile(tableOf(weatherWith(['time', (row) => sentence(row.time)]), WEATHER, { separator: ';' })),
  },
  {
    what: 'weather: seconds since 1970',
    weather: weatherFile(tableOf(weatherWith(['timestamp', (row) => String(Date.parse(row.time) / 1000)]), WEATHER)),
  },
  {
    what: 'weather: names and units in brackets',
    weather: weatherFile(
      tableOf(
        renamed(
          {
            temperature_c: 'Temp (°C)',
            relative_humidity_pct: 'RH (%)',
            station_pressure_hpa: 'Station pressure (hPa)',
            wind_speed_mps: 'Wind speed (m/s)',
            wind_from_deg: 'Wind dir',
            wind_gust_mps: 'Gusts (m/s)',
            precipitation_mm: 'Rainfall (mm)',
          },
          WEATHER_COLUMNS,
        ),
        WEATHER,
      ),
    ),
  },
  {
    what: 'weather: a fixed offset as zone',
    settings: 'time_zone: UTC+2\n',
    weather: weatherFile(tableOf(weatherWith(['time', (row) => `${dmy(row.time)} ${clock(row.time)}`]), WEATHER)),
  },
  { what: 'a workbook .xlsx of an office suite, three sheets', book: book('campaign.xlsx') },
  { what: 'a workbook .ods of an office suite, three sheets', book: book('campaign.ods') },
]

/** When the recording of a drive of the sample begins, by its first time stamp, as a local clock shows it. */
function startClock(track: string): string {
  return clock(/<time>([^<]+)<\/time>\s*<\/trkpt>/.exec(text(`tracks/${track}`))?.[1] ?? '')
}

const isDrives = (path: string): boolean => path === 'runs.csv'
const isMast = (path: string): boolean => path.endsWith('silo-mast.csv')

/** The sample with a way's files in place of its own. */
export function filesOf({ drives: table, weather, book: workbook, settings }: Way): InputFile[] {
  const sample = folderFiles(SAMPLE)
  const kept = sample.filter(
    ({ path }) => !(isDrives(path) && (table || workbook)) && !(isMast(path) && (weather || workbook)),
  )
  const all = [...kept, ...[table, weather, workbook].flatMap((file) => file ?? [])]
  if (settings === undefined) return all
  const campaign = `${settings}${text('campaign.yaml').replace(/^time_zone:.*$/m, '')}`
  return all.map((file) => (file.path === 'campaign.yaml' ? inputFile(file.path, campaign) : file))
}
