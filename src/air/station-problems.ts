import type { Problem } from '../base/problem.ts'
import type { Gathered } from './gathered.ts'
import { stationIdentity } from './station-identity.ts'

/** One warning for all of them, with what to write. */
export function withoutPlace(entries: Gathered[]): Problem {
  const files = [...new Set(entries.flatMap(({ rows }) => rows.map(({ from }) => from.file)))]
  const [first] = entries
  const which = entries.length === 1 ? 'this station is' : `these ${entries.length} stations are`
  const told = listed(entries.map(({ station }) => station.id))
  return {
    code: 'station-without-place',
    severity: 'warning',
    ...(files.length === 1 ? { file: files[0] } : {}),
    message: `it is not known where ${which}, so the reports are not used: ${told}`,
    hint: `write under "stations:" in campaign.yaml a line like this for each that lies within 100 km of the road: ${keyOf(first.station.id)}: {lat: …, lon: …, elevation_m: …}`,
  }
}

/** A station's name as a key of YAML: in quotation marks where it could be read as something else. */
function keyOf(id: string): string {
  const name = id.slice(0, LONGEST_NAME)
  return /^[A-Z][A-Z0-9_]+$/.test(name) ? name : JSON.stringify(name)
}

/** Names that were taken for codes of the table though they are not written as such: of three characters, or in small letters. */
export function guessedCodes(
  gathered: Gathered[],
  placed: Gathered[],
  find: (code: string) => { latitude: number } | null,
): Problem[] {
  const unplaced = new Set(gathered.flatMap(({ station }) => (Number.isNaN(station.latitude) ? [station.id] : [])))
  const taken = placed.flatMap(({ station: { id, latitude, longitude } }) => {
    const [name, code] = [id.trim(), stationIdentity(id)]
    if (!unplaced.has(id) || find(code)?.latitude !== latitude) return []
    return [{ name, code, told: `${id} as ${code} (${latitude.toFixed(2)}, ${longitude.toFixed(2)})` }]
  })
  const short = listed(taken.flatMap(({ name, code, told }) => (code.length === name.length + 1 ? [told] : [])))
  const small = listed(
    taken.flatMap(({ name, code, told }) => (name !== code && name.toUpperCase() === code ? [told] : [])),
  )
  const hint = 'If that is another station, state its place under "stations" in campaign.yaml.'
  const problems: Problem[] = []
  if (short) {
    const message = `US services write stations with three characters; taken are ${short}`
    problems.push({ code: 'station-short-code', severity: 'note', message, hint })
  }
  if (small) {
    const message = `taken for codes of the built-in list of stations, though in small letters: ${small}`
    problems.push({ code: 'station-code-guessed', severity: 'warning', message, hint })
  }
  return problems
}

export function heightsEstimated(told: string[]): Problem {
  const message = `no list says how high ${told.length === 1 ? 'this station lies' : 'these stations lie'}; taken are ${listed(told)}`
  const hint = 'State elevation_m under "stations" in campaign.yaml if you know it.'
  return { code: 'station-height-estimated', severity: 'note', message, hint }
}

const LONGEST_LIST = 1000
const LONGEST_NAME = 80

/** The words with commas; of very many the first ones, and how many more there are. */
function listed(words: string[]): string {
  const told: string[] = []
  let length = 0
  for (const word of words) {
    length += Math.min(word.length, LONGEST_NAME) + 2
    if (length > LONGEST_LIST) break
    told.push(word.length > LONGEST_NAME ? `${word.slice(0, LONGEST_NAME)}…` : word)
  }
  const more = words.length - told.length
  return `${told.join(', ')}${more > 0 ? ` and ${more} more` : ''}`
}
