import type { Convert } from '../../table/units.ts'
import type { LoggedQuantity } from '../../types.ts'
import { zonedHeading } from '../../zone-in-heading.ts'
import { type Dimension, logConversion } from './units.ts'

/** What a column of a log can hold besides what `LoggedQuantity` lists. */
export type LogField =
  | LoggedQuantity
  | 'latitude'
  | 'longitude'
  | 'northSouth'
  | 'eastWest'
  | 'elevation'
  | 'time'
  | 'epoch'
  | 'elapsed'
  | 'date'
  | 'clock'

/** A column of which it is known what it holds. */
export interface LogColumn {
  place: number
  /** As the file calls it. */
  name: string
  field: LogField
  dimension: Dimension | null
  /** null where the name has no unit. */
  unit: string | null
  convert: Convert | null
}

/** Names of quantities as loggers write them, words joined by one blank, without the words of `SOURCES`. Trade terms; no source. */
const NAMES: Record<LogField, { names: string[]; dimension: Dimension | null }> = {
  latitude: {
    names: ['lat', 'latitude', 'position lat', 'lat deg', 'breite', 'breitengrad', 'latitud'],
    dimension: 'angle',
  },
  longitude: {
    names: ['lon', 'long', 'lng', 'longitude', 'position long', 'position lon', 'länge', 'längengrad', 'longitud'],
    dimension: 'angle',
  },
  northSouth: { names: ['n s', 'ns', 'lat hemisphere', 'latitude hemisphere', 'lat dir'], dimension: null },
  eastWest: { names: ['e w', 'ew', 'lon hemisphere', 'longitude hemisphere', 'lon dir', 'long dir'], dimension: null },
  elevation: {
    names: ['ele', 'elev', 'elv', 'elevation', 'alt', 'altitude', 'height', 'höhe', 'altitud'],
    dimension: 'height',
  },
  time: {
    names: [
      'time',
      'timestamp',
      'datetime',
      'date time',
      'time utc',
      'utc',
      'utc time',
      'device time',
      'zeit',
      'zeitstempel',
      'uhrzeit',
      'hora',
      'heure',
    ],
    dimension: null,
  },
  epoch: {
    names: ['epoch', 'epoch time', 'unix', 'unix time', 'unixtime', 'time epoch', 'epoch s', 'epoch ms', 'time unix'],
    dimension: 'duration',
  },
  elapsed: {
    names: ['elapsed', 'elapsed time', 'time elapsed', 'time since start', 'seconds', 'milliseconds', 't'],
    dimension: 'duration',
  },
  date: { names: ['date', 'date utc', 'utc date', 'day', 'local date', 'datum', 'fecha'], dimension: null },
  clock: { names: ['time of day', 'clock', 'local time'], dimension: null },
  speedMps: {
    names: [
      'speed',
      'velocity',
      'vehicle speed',
      'wheel speed',
      'ground speed',
      'speed over ground',
      'sog',
      'geschwindigkeit',
      'velocidad',
      'vitesse',
    ],
    dimension: 'speed',
  },
  fuelRateLps: {
    names: ['fuel rate', 'fuel flow', 'fuel flow rate', 'engine fuel rate', 'fuel consumption rate'],
    dimension: 'volumeRate',
  },
  fuelRateKgps: { names: ['fuel mass flow', 'fuel mass rate', 'fuel mass flow rate'], dimension: 'massRate' },
  massAirFlowKgps: {
    names: ['maf', 'mass air flow', 'mass air flow rate', 'air mass flow', 'mass airflow', 'maf rate', 'air flow'],
    dimension: 'massRate',
  },
  fuelUsedL: {
    names: ['fuel used', 'trip fuel', 'total fuel used', 'fuel consumed', 'fuel total'],
    dimension: 'volume',
  },
  batteryVoltageV: {
    names: [
      'pack volts',
      'pack voltage',
      'battery voltage',
      'battery volts',
      'hv voltage',
      'hv battery voltage',
      'traction battery voltage',
      'voltage',
      'volts',
    ],
    dimension: 'voltage',
  },
  batteryCurrentA: {
    names: [
      'pack amps',
      'pack current',
      'battery current',
      'battery amps',
      'hv current',
      'hv battery current',
      'traction battery current',
      'current',
      'amps',
    ],
    dimension: 'current',
  },
  powerW: { names: ['power', 'battery power', 'pack power', 'hv battery power'], dimension: 'power' },
  energyUsedWh: {
    names: ['energy', 'energy used', 'energy consumed', 'trip energy', 'total energy'],
    dimension: 'energyWh',
  },
  stateOfCharge: { names: ['soc', 'state of charge', 'battery level', 'charge level'], dimension: 'share' },
  ambientTemperatureK: {
    names: [
      'ambient',
      'ambient temperature',
      'ambient temp',
      'ambient air temperature',
      'ambient air temp',
      'outside temperature',
      'outside temp',
      'outside air temperature',
      'oat',
    ],
    dimension: 'temperature',
  },
  odometerM: { names: ['odo', 'odometer', 'mileage'], dimension: 'distance' },
  engineSpeedRpm: { names: ['rpm', 'engine rpm', 'engine speed'], dimension: 'rotation' },
}

/** Words that say where a value came from and not what it is. */
const SOURCES = new Set(['gps', 'gnss', 'obd', 'obd2', 'obdii', 'can', 'bus'])
const FIELD_OF = new Map<string, LogField>(
  (Object.keys(NAMES) as LogField[]).flatMap((field) => NAMES[field].names.map((name) => [name, field] as const)),
)

/** What a column is, by its name with the unit in brackets (`Odo(km)`) or behind it (`speed_kmh`); null where nobody knows. */
export function logColumn(written: string, place: number): LogColumn | null {
  const { base, zone } = zonedHeading(written)
  const ofTime = zone === null ? null : plainColumn(base, place)
  if (ofTime !== null && WHEN.includes(ofTime.field)) return { ...ofTime, name: written.trim() }
  return plainColumn(written, place)
}

/** Fields whose heading may name a zone. */
const WHEN: readonly LogField[] = ['time', 'date', 'clock']

function plainColumn(written: string, place: number): LogColumn | null {
  const { words, bracketed } = taken(written)
  const whole = fieldOf(words)
  for (const unit of bracketed) {
    const found = whole && withUnit(whole, unit)
    if (found) return { place, name: written.trim(), ...found }
  }
  for (const length of [1, 2]) {
    const unit = words.slice(-length)
    const field = words.length > length ? fieldOf(words.slice(0, -length)) : null
    const found = field && (withUnit(field, unit.join('/')) ?? withUnit(field, unit.join('_')))
    if (found) return { place, name: written.trim(), ...found }
  }
  if (whole === null) return null
  return { place, name: written.trim(), field: whole, dimension: NAMES[whole].dimension, unit: null, convert: null }
}

/** The words of a name, and what stands in brackets behind them, in lower case. */
function taken(written: string): { words: string[]; bracketed: string[] } {
  const bracketed: string[] = []
  const plain = written.replace(/[([{]([^)\]}]*)[)\]}]/g, (_, inner: string) => {
    bracketed.push(inner.toLowerCase().replace(/\s/g, '').replace('·', '*'))
    return ' '
  })
  const words = plain
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .split(/[^\p{L}\p{N}°%]+/u)
    .filter((word) => word !== '')
  return { words, bracketed }
}

function fieldOf(words: string[]): LogField | null {
  const exact = FIELD_OF.get(words.join(' '))
  if (exact !== undefined) return exact
  const bare = words.filter((word) => !SOURCES.has(word))
  return FIELD_OF.get(bare.join(' ')) ?? null
}

/** A fuel rate by mass has a name of its own among the fields, told by its unit alone. */
function withUnit(field: LogField, unit: string): Omit<LogColumn, 'place' | 'name'> | null {
  const { dimension } = NAMES[field]
  const convert = dimension && logConversion(dimension, unit)
  if (dimension && convert) return { field, dimension, unit, convert }
  if (field === 'fuelRateLps') return withUnit('fuelRateKgps', unit)
  if (field === 'time') return withUnit('elapsed', unit)
  return null
}

/** What a header tells: a column for each field, the first that has a unit where there are several; and all that is left. */
export interface LogHeader {
  columns: Partial<Record<LogField, LogColumn>>
  /** Names of columns that are not read. */
  others: string[]
}

export function logHeader(names: string[]): LogHeader {
  const columns: LogHeader['columns'] = {}
  const others: string[] = []
  for (const [place, name] of names.entries()) {
    const column = logColumn(name, place)
    const known = column && columns[column.field]
    if (!column) {
      if (name.trim() !== '') others.push(name.trim())
    } else if (!known) columns[column.field] = column
    else if (isBetter(column, known)) {
      columns[column.field] = column
      others.push(known.name)
    } else others.push(column.name)
  }
  return { columns, others }
}

/** Of two columns of one quantity: one with a unit, and a speed by the vehicle rather than by its receiver. */
function isBetter(column: LogColumn, known: LogColumn): boolean {
  if ((column.unit === null) !== (known.unit === null)) return known.unit === null
  return column.field === 'speedMps' && /gps|gnss/i.test(known.name) && !/gps|gnss/i.test(column.name)
}
