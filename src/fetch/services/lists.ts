import type { Ask, Candidate } from '../types.ts'

/** A page that names stations or files. */
export const page = (service: string, url: string, file: string, about: string, roughBytes: number): Ask => ({
  service,
  purpose: 'list',
  url,
  file,
  about,
  station: null,
  span: null,
  roughBytes,
})

/** A candidate of a list, or none where its place is no place. */
export function candidate(
  service: string,
  id: string,
  name: string,
  place: { latitude: number; longitude: number; elevationM: number },
  more: Partial<Pick<Candidate, 'alias' | 'since' | 'until'>> = {},
): Candidate[] {
  if (!(Math.abs(place.latitude) <= 90 && Math.abs(place.longitude) <= 180) || id === '') return []
  return [
    {
      service,
      id,
      name,
      ...place,
      alias: more.alias ?? null,
      since: more.since ?? Number.NEGATIVE_INFINITY,
      until: more.until ?? Number.POSITIVE_INFINITY,
    },
  ]
}

/** Rows of a list by the names of its columns, in lower case; cells without blanks around them. */
export function rowsByName(text: string, separator: string): Record<string, string>[] {
  const [header = '', ...lines] = text.split(/\r?\n/)
  const names = cellsOf(header, separator).map((name) => name.replace('\ufeff', '').toLowerCase())
  return lines
    .filter((line) => line.trim() !== '')
    .map((line) => Object.fromEntries(cellsOf(line, separator).map((cell, i) => [names[i] ?? '', cell])))
}

const cellsOf = (line: string, separator: string): string[] =>
  line.split(separator).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'))

/** A number; NaN for an empty cell and for what is none. */
export const numberOf = (cell: string | undefined): number =>
  cell === undefined || cell.trim() === '' ? Number.NaN : Number(cell)

/** Parsed JSON; null where it is none. */
export function parsedJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

export const DAY_S = 86_400
