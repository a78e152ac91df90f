import { byCodeUnits } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import type { StationSettings } from '../read/campaign/settings.ts'
import { MEASURED, type Measured, type Observations, type Station, type StationListing } from '../read/types.ts'
import { contradictingFiles } from './contradicting-files.ts'
import { type Gathered, gather, type ObservationFile, type Row } from './gathered.ts'
import { withoutTwins } from './same-station.ts'
import type { EstimatedHeight } from './station-height.ts'
import { stationIdentity } from './station-identity.ts'
import { guessedCodes, heightsEstimated, withoutPlace } from './station-problems.ts'

export type { ObservationFile } from './gathered.ts'

/** All that one station reported, in time order; columns of one length (see `Observations` for units). */
export interface StationSeries extends Pick<Observations, 'time' | 'presentWeather' | Measured> {
  station: Station
  /** Files the rows came from. */
  files: string[]
  /** Set for a driver's own note: the only run it speaks of. */
  onlyForRun: string | null
}

interface StationPlace {
  latitude: number
  longitude: number
  elevationM: number
  anemometerHeightM?: number
}

/** The observation columns that a series takes over unchanged. */
const NUMERIC_COLUMNS = ['time', ...MEASURED] as const

/** What is known of stations beyond their files. */
export interface StationKnowledge {
  /** A place by a station's code. */
  find: (code: string) => StationPlace | null
  /** A height for a place that has none. */
  heightAt?: (latitude: number, longitude: number) => EstimatedHeight | null
}

/**
 * Brings the rows of all weather files together by station, in time order and without repeated reports, and settles
 * where each station is: campaign.yaml first, then the file itself, then lists of stations in the folder, then the table; and how high it lies,
 * failing these from terrain or neighbours.
 * One report that came through several services counts once. A station without a place is left out, with a warning.
 */
export function seriesOf(
  files: ObservationFile[],
  settings: StationSettings[],
  { find, heightAt = () => null }: StationKnowledge,
): { series: StationSeries[]; problems: Problem[] } {
  const problems: Problem[] = []
  const placed: Gathered[] = []
  const placeless: Gathered[] = []
  const estimated: string[] = []
  const listings = byIdentity(files.flatMap(({ observations }) => observations.places ?? []))
  const gathered = gather(files, problems).sort((a, b) => byCodeUnits(a.station.id, b.station.id))
  for (const entry of gathered) {
    problems.push(...contradictingFiles(entry))
    const place = placeOf(
      entry.station,
      settings,
      (identity) => listedPlace(entry, listings.get(identity) ?? []) ?? find(identity),
    )
    if (!place) placeless.push(entry)
    else placed.push({ ...entry, station: withHeight(place, heightAt, estimated) })
  }
  if (placeless.length > 0) problems.push(withoutPlace(placeless))
  if (estimated.length > 0) problems.push(heightsEstimated(estimated))
  problems.push(...guessedCodes(gathered, placed, find))
  const { stations, problems: twins } = withoutTwins(placed)
  problems.push(...twins)
  return { series: stations.map(({ station, rows }) => inTimeOrder(station, rows)), problems }
}

/** Places of lists by the station that they mean. */
function byIdentity(listings: StationListing[]): Map<string, StationListing[]> {
  const found = new Map<string, StationListing[]>()
  for (const listing of listings) {
    const identity = stationIdentity(listing.id)
    found.set(identity, [...(found.get(identity) ?? []), listing])
  }
  return found
}

/** The place that a list of stations states for the last of a station's rows. */
function listedPlace({ rows }: Gathered, own: StationListing[]): StationPlace | null {
  const time = rows.reduce(
    (last, { from, row }) => Math.max(last, from.observations.time[row]),
    Number.NEGATIVE_INFINITY,
  )
  const valid = own.find(({ from, to }) => !(time < from) && !(time >= to + DAY_S)) ?? own.at(-1)
  if (!valid) return null
  const { latitude, longitude, elevationM, anemometerHeightM } = valid
  return { latitude, longitude, elevationM, ...(anemometerHeightM !== undefined && { anemometerHeightM }) }
}

const DAY_S = 86_400

function placeOf(
  station: Station,
  settings: StationSettings[],
  find: (code: string) => StationPlace | null,
): Station | null {
  const identity = stationIdentity(station.id)
  const own = settings.find((s) => stationIdentity(s.id) === identity)
  const stated = own && Number.isFinite(own.latitude) ? { ...own, onRoad: false } : null
  const isKnown = station.onRoad || Number.isFinite(station.latitude)
  const listed = stated || (isKnown && !Number.isNaN(station.elevationM)) || station.onRoad ? null : find(identity)
  const place: Partial<StationPlace> | null = stated ?? (isKnown ? heightOf(listed, station) : listed)
  if (!place) return null
  const known = (value: number | undefined, otherwise: number): number =>
    value !== undefined && Number.isFinite(value) ? value : otherwise
  return {
    ...station,
    ...place,
    id: station.id,
    elevationM: known(own?.elevationM, known(place.elevationM, station.elevationM)),
    anemometerHeightM: known(own?.anemometerHeightM, known(place.anemometerHeightM, station.anemometerHeightM)),
  }
}

/** Of a station that is placed: the height that a list states for it, if the list means the same place. */
function heightOf(listed: StationPlace | null, station: Station): Partial<StationPlace> {
  const isSame =
    listed && Math.abs(listed.latitude - station.latitude) + Math.abs(listed.longitude - station.longitude) < NEAR_DEG
  return isSame ? { elevationM: listed.elevationM } : {}
}

/** Some kilometres: a list states another decimal, or the reference point of the field. */
const NEAR_DEG = 0.1

/** The station with a height, if one can be had; says so in `told`. */
function withHeight(station: Station, heightAt: NonNullable<StationKnowledge['heightAt']>, told: string[]): Station {
  if (station.onRoad || !Number.isNaN(station.elevationM)) return station
  const height = heightAt(station.latitude, station.longitude)
  if (!height) return station
  const { elevationM, elevationSdM, from } = height
  told.push(`${station.id} ${Math.round(elevationM)} m ± ${Math.round(elevationSdM)} m from ${from}`)
  return { ...station, elevationM, elevationSdM }
}

/** Quantities that are taken from one report together: a direction says nothing of another report's speed. */
const WIND_COLUMNS: readonly string[] = ['windSpeedMps', 'windFromDeg', 'windGustMps']

function inTimeOrder(station: Station, rows: Row[]): StationSeries {
  const timeOf = (r: Row): number => r.from.observations.time[r.row]
  const ordered = rows
    .filter((r) => Number.isFinite(timeOf(r)))
    .sort((a, b) => timeOf(a) - timeOf(b) || byCodeUnits(a.from.file, b.from.file) || a.row - b.row)
  const moments: Row[][] = []
  for (const row of ordered) {
    const last = moments.at(-1)
    if (!last || timeOf(last[0]) !== timeOf(row)) moments.push([row])
    // A correction repeats the time of the report that it corrects and comes after it: the last one stands.
    else if (last[0].from === row.from) last[0] = row
    else last.unshift(row)
  }
  const columns = Object.fromEntries(
    NUMERIC_COLUMNS.map((name) => [name, Float64Array.from(moments, (moment) => valueAt(moment, name))]),
  ) as Record<(typeof NUMERIC_COLUMNS)[number], Float64Array>
  return {
    station,
    files: [...new Set(moments.flat().map((r) => r.from.file))].sort(),
    onlyForRun: null,
    ...columns,
    presentWeather: moments.map(
      (moment) => moment.map((r) => r.from.observations.presentWeather[r.row]).find((said) => said !== null) ?? null,
    ),
  }
}

/** What reports of one moment from several files say of a quantity: the last file's word, or else that of one before it. */
function valueAt(moment: Row[], name: (typeof NUMERIC_COLUMNS)[number]): number {
  const told = WIND_COLUMNS.includes(name) ? 'windSpeedMps' : name
  const teller = moment.find(({ from, row }) => !Number.isNaN(from.observations[told][row])) ?? moment[0]
  return teller.from.observations[name][teller.row]
}
