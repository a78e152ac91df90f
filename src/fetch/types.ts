import type { Place } from '../base/place.ts'
/** What the fetching commands ask for, as plain data: it is planned first, shown, and only then asked for. */

/** A span of time, seconds since 1970 UTC. */
export interface Span {
  fromS: number
  toS: number
}

/** A place from which a service has observations. */
export interface Candidate {
  service: string
  /** As the service calls it in its addresses. */
  id: string
  name: string
  latitude: number
  longitude: number
  /** Metres above mean sea level; NaN when unknown. */
  elevationM: number
  /** ICAO code or WMO number by which the same instruments are known elsewhere; null where the service tells none. */
  alias: string | null
  /** When observations begin and end, seconds since 1970; infinite where the service does not say. */
  since: number
  until: number
}

/** The roads that observations are wanted for, in cells, and the time. */
export interface Where {
  cells: readonly Place[]
  span: Span
}

/** A station of the index that comes with the program. */
export interface Airport {
  icao: string
  latitude: number
  longitude: number
  elevationM: number
}

export type Purpose = 'list' | 'observations' | 'model' | 'forecast' | 'terrain'

/** One request that is to be made. */
export interface Ask {
  /** Id of the service. */
  service: string
  purpose: Purpose
  url: string
  /** Name of the file that the answer becomes; of a list too, which is kept apart. */
  file: string
  /** Whom it is about, for people: a station, or "list of stations". */
  about: string
  /** The station's id; null for lists, tiles and models. */
  station: string | null
  /** What time it covers; null where that is no question. */
  span: Span | null
  /** A list that says where stations are, and lies beside their answers for the report. */
  beside?: boolean
  /** About how much comes back. */
  roughBytes: number
}

/** How an answer with status 200 is to be taken. */
export type Verdict =
  | { state: 'whole' }
  /** A proper answer that holds nothing: no such station, or nothing observed. */
  | { state: 'nothing'; why: string }
  /** No proper answer, though the status says so: worth asking again. */
  | { state: 'broken'; why: string }
  /** No proper answer, and none to be expected by asking again. */
  | { state: 'wrong'; why: string }

/** An answer as it came, unpacked from what the connection packed it into. */
export interface Answer {
  status: number
  headers: Record<string, string>
  bytes: Uint8Array
}

/** What was answered before, for a question whether it has changed since. */
export interface Known {
  etag: string | null
  lastModified: string | null
}

/** A service of observations, one file each in services/. */
export interface Service {
  id: string
  name: string
  host: string
  /** Other hosts that it may send on to. */
  otherHosts?: readonly string[]
  licence: string
  /** The line that its licence asks for, or that it asks for itself. */
  credit: string
  kind: 'observed' | 'model'
  /** `recorded`: held against answers that were recorded; `synthetic`: only against ones made from its description. */
  triedOn: 'recorded' | 'synthetic'
  /** Least time from one request to the next, ms. */
  pauseMs: number
  /** Its stations can be told without reading a list first. */
  hasIndex: boolean
  /** Asked without being named, where it covers a drive. */
  byDefault: boolean
  covers: (where: Where, nowS: number) => boolean
  /**
   * Pages that are read before stations are asked for: lists of stations, directories. Some are known only once others
   * have been read.
   * @param have pages that are there, by their file's name
   */
  pages: (where: Where, nowS: number, have: ReadonlyMap<string, string>) => Ask[]
  /** The stations that those pages name, or of the program's own index; pages that are not there yet are left out. */
  stations: (pages: ReadonlyMap<string, string>, airports: readonly Airport[]) => Candidate[]
  /** What to ask for one station's observations. */
  requestsFor: (station: Candidate, span: Span, nowS: number, pages: ReadonlyMap<string, string>) => Ask[]
  /** Tells an answer with status 200 apart. */
  check: (ask: Ask, bytes: Uint8Array) => Verdict
}
