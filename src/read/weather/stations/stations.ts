/** Where a station of the table lies. */
export interface StationPlace {
  /** Degrees, WGS 84: the aerodrome's reference point, from which the instruments may be a kilometre or two away. */
  latitude: number
  longitude: number
  /** Metres above mean sea level; NaN when the table does not say. */
  elevationM: number
}

/** A station of the table with its code. */
export interface ListedStation extends StationPlace {
  code: string
}

/** The table of stations that comes with the program. */
export interface StationList {
  /** The place of a station by its code, in any case; null where the code is not in the table. */
  find: (code: string) => StationPlace | null
  /** All stations, in the order of their codes. */
  all: () => readonly ListedStation[]
}

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'

/**
 * Each line begins with the first two characters of its codes; then come entries of thirteen characters: the other two of
 * the code, latitude + 90 and longitude + 180 in 1e-4 degrees (four digits of 64 each, the most significant first), and
 * the height in decimetres above -1000 m (three digits, all ones for none).
 */
const ENTRY_LENGTH = 13
const NO_HEIGHT = 64 * 64 * 64 - 1

/**
 * Loads the table: airports, airfields and weather stations with a code of four characters. The codes of small US fields
 * are K and three characters; a code of three characters, as US services write them, means the one with K in front.
 */
export async function loadStations(): Promise<StationList> {
  const { STATION_TABLE } = await import('./station-table.ts')
  const lines = new Map(
    STATION_TABLE.trim()
      .split('\n')
      .map((line) => [line.slice(0, 2), line]),
  )
  let all: ListedStation[] | null = null
  const find = (written: string): StationPlace | null => {
    const code = fullCode(written)
    const line = lines.get(code.slice(0, 2))
    if (code.length !== 4 || line === undefined) return null
    for (let at = 2; at < line.length; at += ENTRY_LENGTH) {
      if (line.startsWith(code.slice(2), at)) return placeAt(line, at)
    }
    return null
  }
  return {
    find,
    all: () => {
      all ??= [...lines.values()].flatMap(stationsOf)
      return all
    },
  }
}

/** A station's code of four characters: of `CVG`, as US services write it, `KCVG`. Other names stay, in capitals. */
export function fullCode(written: string): string {
  const code = written.trim().toUpperCase()
  return /^[A-Z0-9]{3}$/.test(code) ? `K${code}` : code
}

function stationsOf(line: string): ListedStation[] {
  const stations: ListedStation[] = []
  for (let at = 2; at < line.length; at += ENTRY_LENGTH) {
    stations.push({ code: line.slice(0, 2) + line.slice(at, at + 2), ...placeAt(line, at) })
  }
  return stations
}

function placeAt(line: string, at: number): StationPlace {
  const number = (from: number, length: number): number => {
    let value = 0
    for (let i = 0; i < length; i++) value = 64 * value + DIGITS.indexOf(line[at + from + i])
    return value
  }
  const height = number(10, 3)
  return {
    latitude: number(2, 4) / 1e4 - 90,
    longitude: number(6, 4) / 1e4 - 180,
    elevationM: height === NO_HEIGHT ? Number.NaN : height / 10 - 1000,
  }
}
