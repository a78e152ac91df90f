/** How people write units, lower case without blanks and dots → as ours stand at the end of a column's name. */
const UNIT_WORDS: Record<string, string> = {
  // Temperature
  '°c': 'c',
  c: 'c',
  degc: 'c',
  celsius: 'c',
  degreescelsius: 'c',
  '°f': 'f',
  f: 'f',
  degf: 'f',
  fahrenheit: 'f',
  degreesfahrenheit: 'f',
  k: 'k',
  kelvin: 'k',
  // Share
  '%': 'pct',
  pct: 'pct',
  percent: 'pct',
  '%rh': 'pct',
  prozent: 'pct',
  // Pressure
  pa: 'pa',
  hpa: 'hpa',
  mbar: 'mbar',
  mb: 'mb',
  millibar: 'mbar',
  kpa: 'kpa',
  bar: 'bar',
  inhg: 'inhg',
  '"hg': 'inhg',
  mmhg: 'mmhg',
  torr: 'mmhg',
  psi: 'psi',
  // Speed
  'm/s': 'mps',
  mps: 'mps',
  'ms-1': 'mps',
  'm/sec': 'mps',
  'km/h': 'kmh',
  kmh: 'kmh',
  kph: 'kmh',
  'km/u': 'kmh',
  mph: 'mph',
  'mi/h': 'mph',
  kt: 'kt',
  kts: 'kt',
  kn: 'kt',
  knots: 'kt',
  knoten: 'kt',
  // Angle
  '°': 'deg',
  deg: 'deg',
  degrees: 'deg',
  degree: 'deg',
  grad: 'deg',
  // Length
  m: 'm',
  metres: 'm',
  meters: 'm',
  ft: 'ft',
  feet: 'ft',
  km: 'km',
  kms: 'km',
  kilometres: 'km',
  kilometers: 'km',
  kilometer: 'km',
  mi: 'mi',
  miles: 'mi',
  mile: 'mi',
  mm: 'mm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  // Volume
  l: 'l',
  lt: 'l',
  ltr: 'l',
  ltrs: 'l',
  litre: 'l',
  litres: 'l',
  liter: 'l',
  liters: 'l',
  litros: 'l',
  usgal: 'gal_us',
  galus: 'gal_us',
  usgallon: 'gal_us',
  usgallons: 'gal_us',
  gallonsus: 'gal_us',
  impgal: 'gal_imp',
  galimp: 'gal_imp',
  galuk: 'gal_imp',
  ukgal: 'gal_imp',
  imperialgallons: 'gal_imp',
  ukgallons: 'gal_imp',
  gallonsimp: 'gal_imp',
  gallonsuk: 'gal_imp',
  // Mass, energy, power
  kg: 'kg',
  kilos: 'kg',
  kilograms: 'kg',
  lb: 'lb',
  lbs: 'lb',
  pounds: 'lb',
  kwh: 'kwh',
  w: 'w',
  watt: 'w',
  watts: 'w',
  kw: 'kw',
  // Consumption
  'l/100km': 'l_per_100km',
  'l/100': 'l_per_100km',
  lper100km: 'l_per_100km',
  'litres/100km': 'l_per_100km',
  'liters/100km': 'l_per_100km',
  'km/l': 'km_per_l',
  kmperl: 'km_per_l',
  kmpl: 'km_per_l',
  mpgus: 'mpg_us',
  usmpg: 'mpg_us',
  mpguk: 'mpg_imp',
  mpgimp: 'mpg_imp',
  ukmpg: 'mpg_imp',
  impmpg: 'mpg_imp',
  imperialmpg: 'mpg_imp',
}

/** Units of which there are two, a US and an imperial one. */
const TWO_UNITS: Record<string, 'gal' | 'mpg'> = { gal: 'gal', gals: 'gal', gallon: 'gal', gallons: 'gal', mpg: 'mpg' }

/**
 * A unit as people write it (`°C`, `km/h`, `US gal`, `litres`) as ours.
 * @returns `gal` and `mpg` where it is not said which of the two; null for anything else
 */
export function unitOf(written: string): string | null {
  const word = written
    .toLowerCase()
    .replace(/[\s_.()[\]]+/g, '')
    .replace('º', '°')
  if (Object.hasOwn(UNIT_WORDS, word)) return UNIT_WORDS[word]
  return Object.hasOwn(TWO_UNITS, word) ? TWO_UNITS[word] : null
}
