import type { Problem } from '../base/problem.ts'
import type { Observations, Station } from '../read/types.ts'
import { stationIdentity } from './station-identity.ts'

export interface ObservationFile {
  file: string
  observations: Observations
}

/** A row of a file. */
export interface Row {
  from: ObservationFile
  row: number
}

/** A station with all its rows from all files. */
export interface Gathered {
  station: Station
  rows: Row[]
}

/** Rows by station. Places tell stations apart that share an id; a station without a place joins its namesake. */
export function gather(files: ObservationFile[], problems: Problem[]): Gathered[] {
  const gathered: Gathered[] = []
  const sameId = new Map<string, Gathered[]>()
  const entryFor = (station: Station, from: ObservationFile): Gathered => {
    const identity = stationIdentity(station.id)
    const namesakes = sameId.get(identity) ?? []
    const known = station.onRoad ? undefined : namesakes.find((g) => !g.station.onRoad && samePlace(g.station, station))
    if (known) {
      known.station = better(known.station, station)
      return known
    }
    const id = namesakes.length === 0 ? station.id : `${station.id} (${namesakes.length + 1})`
    if (namesakes.length > 0 && !station.onRoad) {
      const message = `the station id ${station.id} stands for two places; this file's is taken as another station, ${id}`
      problems.push({ code: 'station-id-reused', severity: 'warning', file: from.file, message })
    }
    const entry: Gathered = { station: { ...station, id }, rows: [] }
    sameId.set(identity, [...namesakes, entry])
    gathered.push(entry)
    return entry
  }
  for (const from of files) {
    const entries = from.observations.stations.map(() => null as Gathered | null)
    for (let row = 0; row < from.observations.count; row++) {
      const index = from.observations.station[row]
      entries[index] ??= entryFor(from.observations.stations[index], from)
      entries[index].rows.push({ from, row })
    }
  }
  return gathered
}

/** The station whose place, or else height, is known. */
function better(known: Station, other: Station): Station {
  const isPlaced = Number.isNaN(known.latitude) && !Number.isNaN(other.latitude)
  if (isPlaced) return { ...other, id: known.id }
  return Number.isNaN(known.elevationM) ? { ...known, elevationM: other.elevationM } : known
}

const SAME_PLACE_DEG = 0.05

const samePlace = (a: Station, b: Station): boolean =>
  Number.isNaN(a.latitude) ||
  Number.isNaN(b.latitude) ||
  (Math.abs(a.latitude - b.latitude) < SAME_PLACE_DEG && Math.abs(a.longitude - b.longitude) < SAME_PLACE_DEG)
