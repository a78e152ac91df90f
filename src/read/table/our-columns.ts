import type { Problem } from '../../base/problem.ts'
import { zonedHeading } from '../zone-in-heading.ts'
import { ourWord } from './column-words.ts'
import { quantityOf, unitsFor } from './quantities.ts'
import { unitOf } from './unit-words.ts'

/** Columns that hold no quantity, of all kinds of tables. */
const PLAIN = new Set(
  'track setup from to split engine_off without vehicle control fill_group exclude note photo time date valid timestamp datetime date_time time_utc datetime_utc timestamp_utc utc station station_id metar present_weather wxcodes road_wet full partial missed pump price'.split(
    ' ',
  ),
)
/** Columns that only a table of drives has, or a fuel log: a file's name beside them is a track. */
const OF_DRIVES =
  /^(?:setup|fuel|energy|odometer|trip|tyre_pressure|payload|consumption|exclude|fill_group|engine_off|without)(?:_|$)/
/** Words that mean something else in tables of weather. */
const ONLY_OF_DRIVES = new Set(['track', 'from', 'to', 'distance'])

export interface OurColumns {
  /** One for each column: ours where it was known by whatever name, or else as it was. */
  names: string[]
  problems: Omit<Problem, 'line'>[]
}

/** Whether a column's name, in the form of `columnName`, is one of ours. */
const isOurs = (name: string): boolean => PLAIN.has(name) || quantityOf(name) !== null

/** Whether a column is known, by our name or by one of those that people use. */
export const isKnownColumn = (name: string): boolean => isOurs(name) || (name !== '' && guessOf(name, '').name !== null)

/**
 * Matches the columns of a table, as people name them, to ours: `Liters` and `Fuel (l)` are `fuel_l`, `RH [%]` is
 * `relative_humidity_pct`, `file` beside a setup is `track`. What was guessed is a note; gallons and mpg that do not say
 * whether they are US or imperial are told by the rest of the header, or not used and asked for. One function for drives,
 * fuel log and weather.
 * @param header in the form of `columnName`
 * @param asWritten the header's cells for messages
 * @param units from a row of units below the header, a cell for each column; null without one
 */
export function ourColumns(
  header: readonly string[],
  units: readonly string[] | null = null,
  asWritten: readonly string[] = header,
): OurColumns {
  const guesses = header.map((name, i) => guessOf(name, units?.[i] ?? ''))
  const ofDrives =
    header.includes('track') || guesses.some(({ name }, i) => OF_DRIVES.test(name ?? header[i]) && header[i] !== '')
  const hasTrack = header.includes('track') || (ofDrives && guesses.some(({ name }) => name === 'track'))
  const side = sideOf(header, units)
  const taken = new Set(header.filter((name, i) => isOurs(name) && !units?.[i]))
  const guessed: string[] = []
  const problems: Omit<Problem, 'line'>[] = []
  const names = header.map((written, i) => {
    const { name: guess, problem } = guesses[i]
    if (guess === null) {
      if (problem) problems.push(problem)
      return written
    }
    if (ONLY_OF_DRIVES.has(guess.replace(/_[a-z]+$/, '')) && !ofDrives) return written
    const name = settled(guess, { side, hasTrack })
    if (name === null) {
      problems.push(unclearUnit(written, guess))
      return written
    }
    if (name === written) return written
    if (taken.has(name) || (name === 'track' && guesses.findIndex((g) => g.name === 'track') !== i)) return written
    taken.add(name)
    guessed.push(`"${(asWritten[i] ?? written).slice(0, 40)}" as ${name}`)
    return name
  })
  if (guessed.length > 0) problems.unshift(guessedNote(guessed))
  return { names, problems }
}

interface Guess {
  /** Ours; ends in `gal` or `mpg` where it is open which. null: not known, or nothing to guess. */
  name: string | null
  problem?: Omit<Problem, 'line'>
}

function guessOf(written: string, unitBelow: string): Guess {
  if (written === '' || (isOurs(written) && unitBelow === '')) return { name: null }
  const ofTime = timeName(written)
  if (ofTime !== null) return { name: ofTime }
  const { base, unit } = parted(written, unitBelow)
  if (base === '') return { name: unit === null ? null : ofUnitAlone(unit) }
  const word = ourWord(base) ?? (unitsFor(base) || PLAIN.has(base) || base === 'distance' ? base : null)
  if (word === null) return { name: null }
  if (PLAIN.has(word)) return { name: unit === 'utc' ? utcName(word) : word }
  if (unit !== null) return { name: withUnit(word, unit) }
  if (KILOMETRES.test(base) && withUnit(word, 'km')) return { name: withUnit(word, 'km') }
  const known = unitsFor(word)
  // An angle can have but one unit.
  if (known?.length === 1 && known[0] === 'deg') return { name: `${word}_deg` }
  if (isOurs(word) && word !== written) return { name: word }
  if (word === base && word !== 'distance') return { name: null }
  return { name: null, problem: noUnit(written, word) }
}

/** A column of times whose heading names a zone, or says that it is local; null for any other. */
function timeName(written: string): string | null {
  const { base, zone } = zonedHeading(written)
  if (zone === null) return null
  const word = ourWord(base) ?? base
  if (!TIMES.includes(word)) return null
  return zone === 'UTC' ? utcName(word) : word
}

const TIMES = ['time', 'timestamp', 'datetime', 'date_time', 'date']

const utcName = (word: string): string | null =>
  word === 'date' ? word : ['time', 'timestamp', 'datetime', 'date_time'].includes(word) ? 'time_utc' : null

/** A column's name without its unit, and the unit; it may stand in brackets, behind a comma or a slash, or at the end. */
function parted(name: string, unitBelow: string): { base: string; unit: string | null } {
  // "mpg (US)" is one unit.
  const written = name.replace(/_*[([](us|uk|imp|imperial)[)\]]$/, '_$1')
  const bare = (text: string): string => text.replace(/^_+|[_:.,?]+$/g, '')
  if (unitBelow !== '') return { base: bare(written), unit: unitOf(unitBelow) }
  const whole = unitOf(written)
  if (whole !== null) return { base: '', unit: whole }
  const inBrackets = /^(.+?)_*[([{<](.+?)[)\]}>]$/.exec(written)
  if (inBrackets) {
    const [, base, inner] = inBrackets
    const unit = /^(?:utc|gmt|z)$/.test(inner) ? 'utc' : unitOf(inner)
    return unit === null && !isDateForm(inner) && !PLAIN.has(bare(base))
      ? { base: bare(written), unit: null }
      : { base: bare(base), unit }
  }
  for (const mark of written.matchAll(/,_*|_in_|\/|_/g)) {
    const unit = unitOf(written.slice(mark.index + mark[0].length))
    const base = bare(written.slice(0, mark.index))
    if (unit !== null && base !== '') return { base, unit }
  }
  return { base: bare(written), unit: null }
}

const isDateForm = (text: string): boolean => /^[dmyjt./_\-hst:]+$/.test(text) || text === 'local'

/** Names that say their unit themselves. */
const KILOMETRES = /^(?:kilom[eé]t|km_stand|cuentakil[oó]m)/

const VOLUMES = ['l', 'gal', 'gal_us', 'gal_imp']
const CONSUMPTIONS = ['l_per_100km', 'km_per_l', 'mpg', 'mpg_us', 'mpg_imp']

/** What a column holds that says nothing but a unit. */
function ofUnitAlone(unit: string): string | null {
  if (VOLUMES.includes(unit)) return `fuel_${unit}`
  if (CONSUMPTIONS.includes(unit)) return `consumption_${unit}`
  if (unit === 'kwh') return 'energy_kwh'
  return unit === 'km' || unit === 'mi' ? `distance_${unit}` : null
}

function withUnit(word: string, unit: string): string | null {
  if (word === 'distance') return unit === 'km' || unit === 'mi' ? `distance_${unit}` : null
  const name = word === 'fuel' && unit === 'kwh' ? 'energy_kwh' : `${word}_${unit}`
  if (word === 'fuel' && CONSUMPTIONS.includes(unit)) return `consumption_${unit}`
  if (unit === 'gal' || unit === 'mpg') return quantityOf(`${name}_us`) ? name : null
  return quantityOf(name) ? name : null
}

/** Fills in what hangs on the rest of the header; null where that does not tell. */
function settled(guess: string, { side, hasTrack }: { side: 'us' | 'imp' | null; hasTrack: boolean }): string | null {
  if (/_(?:gal|mpg)$/.test(guess)) return side === null ? null : `${guess}_${side}`
  return guess.replace(/^distance_/, hasTrack || guess === 'track' ? 'odometer_' : 'trip_')
}

/** Whether gallons are US or imperial ones, where another column of the header says so or names the money. */
function sideOf(header: readonly string[], units: readonly string[] | null): 'us' | 'imp' | null {
  const all = [...header, ...(units ?? [])].join(' ').toLowerCase()
  const isUs = /(?:gal|mpg)_us\b|\bus_?(?:gal|mpg)|\$|\busd\b|_us\)/.test(all)
  const isImperial = /(?:gal|mpg)_(?:imp|uk)|\b(?:uk|imp)_?(?:gal|mpg)|imperial|£|\bgbp\b|\bpence\b/.test(all)
  return isUs === isImperial ? null : isUs ? 'us' : 'imp'
}

function guessedNote(guessed: string[]): Omit<Problem, 'line'> {
  const more = guessed.length > 20 ? `, and ${guessed.length - 20} more` : ''
  const message = `columns are read by what their names are taken to mean: ${guessed.slice(0, 20).join(', ')}${more}`
  return { code: 'column-guessed', severity: 'note', message, hint: 'If one means something else, rename it.' }
}

function unclearUnit(written: string, guess: string): Omit<Problem, 'line'> {
  const sizes = guess.endsWith('gal')
    ? 'a US gallon has 3.785 l, an imperial one 4.546 l'
    : '30 mpg are 7.84 l/100 km with US gallons and 9.42 with imperial ones'
  const message = `the column "${written.slice(0, 40)}" is not used: found gallons, expected a word on which they are, because ${sizes}`
  return { code: 'column-unit-unclear', severity: 'error', message, hint: `Name it ${guess}_us or ${guess}_imp.` }
}

function noUnit(written: string, word: string): Omit<Problem, 'line'> {
  const known = word === 'distance' ? ['km', 'mi'] : (unitsFor(word) ?? [])
  const name = word === 'distance' ? 'odometer' : word
  const message = `the column "${written.slice(0, 40)}" is not used: it is taken for ${name}, and its name says no unit`
  const hint = `Name it ${known.map((unit) => `${name}_${unit}`).join(' or ')}.`
  return { code: 'column-unit-missing', severity: 'warning', message, hint }
}
