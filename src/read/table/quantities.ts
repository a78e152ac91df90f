import { MEASURED } from '../types.ts'
import { type Convert, type Dimension, UNITS } from './units.ts'

/**
 * Name before the unit → where the value goes. `bare` is the unit of a name that stands alone, which only names of the
 * CF standard-name table (with its canonical units) and names that can have but one unit do.
 */
const NAMES = {
  temperature: { field: 'temperatureK', dimension: 'temperature' },
  temp: { field: 'temperatureK', dimension: 'temperature' },
  air_temperature: { field: 'temperatureK', dimension: 'temperature', bare: 'k' },
  dew_point: { field: 'dewPointK', dimension: 'temperature' },
  dewpoint: { field: 'dewPointK', dimension: 'temperature' },
  dew_point_temperature: { field: 'dewPointK', dimension: 'temperature', bare: 'k' },
  relative_humidity: { field: 'relativeHumidity', dimension: 'share', bare: '1' },
  humidity: { field: 'relativeHumidity', dimension: 'share' },
  rh: { field: 'relativeHumidity', dimension: 'share' },
  station_pressure: { field: 'stationPressurePa', dimension: 'pressure' },
  air_pressure: { field: 'stationPressurePa', dimension: 'pressure', bare: 'pa' },
  surface_air_pressure: { field: 'stationPressurePa', dimension: 'pressure', bare: 'pa' },
  sea_level_pressure: { field: 'seaLevelPressurePa', dimension: 'pressure' },
  mslp: { field: 'seaLevelPressurePa', dimension: 'pressure' },
  air_pressure_at_mean_sea_level: { field: 'seaLevelPressurePa', dimension: 'pressure', bare: 'pa' },
  air_pressure_at_sea_level: { field: 'seaLevelPressurePa', dimension: 'pressure', bare: 'pa' },
  altimeter: { field: 'altimeterPa', dimension: 'pressure' },
  qnh: { field: 'altimeterPa', dimension: 'pressure' },
  wind_speed: { field: 'windSpeedMps', dimension: 'speed', bare: 'mps' },
  wind: { field: 'windSpeedMps', dimension: 'speed' },
  wind_gust: { field: 'windGustMps', dimension: 'speed' },
  gust: { field: 'windGustMps', dimension: 'speed' },
  wind_speed_of_gust: { field: 'windGustMps', dimension: 'speed', bare: 'mps' },
  wind_from: { field: 'windFromDeg', dimension: 'angle' },
  wind_dir: { field: 'windFromDeg', dimension: 'angle' },
  wind_direction: { field: 'windFromDeg', dimension: 'angle' },
  wind_from_direction: { field: 'windFromDeg', dimension: 'angle', bare: 'deg' },
  precipitation: { field: 'precipitationMm', dimension: 'depth', bare: 'mm' },
  precipitation_amount: { field: 'precipitationMm', dimension: 'depth', bare: 'mm' },
  rain: { field: 'precipitationMm', dimension: 'depth' },
  lat: { field: 'latitudeDeg', dimension: 'angle', bare: 'deg' },
  latitude: { field: 'latitudeDeg', dimension: 'angle', bare: 'deg' },
  lon: { field: 'longitudeDeg', dimension: 'angle', bare: 'deg' },
  longitude: { field: 'longitudeDeg', dimension: 'angle', bare: 'deg' },
  elevation: { field: 'elevationM', dimension: 'height', bare: 'm' },
  altitude: { field: 'elevationM', dimension: 'height', bare: 'm' },
  anemometer_height: { field: 'anemometerHeightM', dimension: 'height' },
  fuel: { field: 'fuelLitres', dimension: 'volume' },
  fuel_mass: { field: 'fuelKg', dimension: 'mass' },
  energy: { field: 'energyKwh', dimension: 'energy' },
  battery_energy: { field: 'batteryEnergyKwh', dimension: 'energy' },
  soc_before: { field: 'socBefore', dimension: 'share' },
  soc_after: { field: 'socAfter', dimension: 'share' },
  trip: { field: 'tripM', dimension: 'distance' },
  fuel_temperature: { field: 'fuelTemperatureK', dimension: 'temperature' },
  trip_computer: { field: 'tripComputerLitresPer100Km', dimension: 'consumption' },
  consumption: { field: 'consumptionLitresPer100Km', dimension: 'consumption' },
  gauge_mark: { field: 'gaugeMarkM', dimension: 'distance' },
  obd_fuel: { field: 'obdFuelLitres', dimension: 'volume' },
  odometer: { field: 'odometerM', dimension: 'distance' },
  payload: { field: 'payloadKg', dimension: 'mass' },
  tyre_pressure: { field: 'tyrePressurePa', dimension: 'pressure' },
  tire_pressure: { field: 'tyrePressurePa', dimension: 'pressure' },
  accessories: { field: 'accessoriesW', dimension: 'power' },
} as const satisfies Record<string, { field: string; dimension: Dimension; bare?: string }>

/** Names whose unit is fixed by their format, or that say another quantity with the unit they carry. */
const SAME_AS = new Map(
  Object.entries({
    // Iowa Environmental Mesonet, "ASOS-AWOS-METAR data download", variables and their units.
    tmpf: 'temperature_f',
    tmpc: 'temperature_c',
    dwpf: 'dew_point_f',
    dwpc: 'dew_point_c',
    relh: 'relative_humidity_pct',
    drct: 'wind_from_deg',
    sknt: 'wind_speed_kt',
    gust: 'wind_gust_kt',
    alti: 'altimeter_inhg',
    mslp: 'sea_level_pressure_hpa',
    // Its one-minute data (asos1min.py): gusts in knots, the first barometer in inches of mercury.
    gust_sknt: 'wind_gust_kt',
    pres1: 'station_pressure_inhg',
    p01i: 'precipitation_in',
    p01m: 'precipitation_mm',
    // A mass, not a volume.
    fuel_kg: 'fuel_mass_kg',
    fuel_lb: 'fuel_mass_lb',
  }),
)

export type QuantityField = (typeof NAMES)[keyof typeof NAMES]['field']

/** Whether a field is one of the weather itself; a place is none. */
export const isWeatherField = (field: QuantityField): boolean => (MEASURED as readonly string[]).includes(field)

/** What a column holds and how its numbers become the unit that its field's name ends in. */
export interface Quantity {
  field: QuantityField
  /** As written after the name, or the unit that the name alone stands for. */
  unit: string
  convert: Convert
}

const entryOf = (name: string): { field: QuantityField; dimension: Dimension; bare?: string } | undefined =>
  Object.hasOwn(NAMES, name) ? NAMES[name as keyof typeof NAMES] : undefined

/**
 * Reads a column name of the form quantity_unit (`wind_speed_kmh`), a CF standard name or a short form.
 * @param columnName lower case with underscores, as `columnName` of the table reader gives it
 * @returns null where the name is not known, or its unit is not one of that quantity
 */
export function quantityOf(columnName: string): Quantity | null {
  const name = SAME_AS.get(columnName) ?? columnName
  const alone = entryOf(name)
  if (alone?.bare) return quantity(alone, alone.bare)
  for (const { entry, rest } of splits(name)) {
    if (Object.hasOwn(UNITS[entry.dimension], rest)) return quantity(entry, rest)
  }
  return null
}

/** The units that a column's quantity may be given in, where the quantity is known; null where it is not. */
export function unitsFor(columnName: string): string[] | null {
  const entry = entryOf(columnName) ?? splits(columnName).at(0)?.entry
  return entry ? Object.keys(UNITS[entry.dimension]) : null
}

function quantity(entry: { field: QuantityField; dimension: Dimension }, unit: string): Quantity {
  const units: Record<string, Convert> = UNITS[entry.dimension]
  return { field: entry.field, unit, convert: units[unit] }
}

/** All ways to split a name before an underscore into a known quantity and the rest, longest quantity first. */
function splits(name: string) {
  const parts = name.split('_')
  return parts.flatMap((_, i) => {
    const cut = parts.length - i
    const entry = entryOf(parts.slice(0, cut).join('_'))
    return entry && cut < parts.length ? [{ entry, rest: parts.slice(cut).join('_') }] : []
  })
}
