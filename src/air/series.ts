import { byCodeUnits } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import { MEASURED, type Observations, type Station, type StationSettings } from '../read/types.ts'

/** All that one station reported, in time order; columns of one length (see `Observations` for units). */
export interface StationSeries {
  station: Station
  /** Files the rows came from. */
  files: string[]
  /** Set for a driver's own note: the only run it speaks of. */
  onlyForRun: string | null
  time: Float64Array
  temperatureK: Float64Array
  temperatureStepK: Float64Array
  dewPointK: Float64Array
  relativeHumidity: Float64Array
  stationPressurePa: Float64Array
  seaLevelPressurePa: Float64Array
  altimeterPa: Float64Array
  windSpeedMps: Float64Array
  windFromDeg: Float64Array
  windGustMps: Float64Array
  precipitationMm: Float64Array
  roadWet: Float64Array
  presentWeather: (string | null)[]
}

export interface ObservationFile {
  file: string
  observations: Observations
}

interface StationPlace {
  latitude: number
  longitude: number
  elevationM: number
}

/** The observation columns that a series takes over unchanged. */
const NUMERIC_COLUMNS = ['time', ...MEASURED] as const

/**
 * Brings the rows of all weather files together by station, in time order and without repeated reports, and settles
 * where each station is: campaign.yaml first, then the file itself, then the ICAO table.
 * A station without a place is left out, with a warning.
 */
export function seriesOf(
  files: ObservationFile[],
  settings: StationSettings[],
  lookUp: (icao: string) => StationPlace | null,
): { series: StationSeries[]; problems: Problem[] } {
  const problems: Problem[] = []
  const gathered = gather(files, problems)
  const series: StationSeries[] = []
  /** File → ids of its stations that nobody places. */
  const placeless = new Map<string, string[]>()
  for (const [, { station, rows }] of [...gathered].sort(([a], [b]) => byCodeUnits(a, b))) {
    const placed = placeOf(station, settings, lookUp)
    if (!placed) {
      const { file } = rows[0].from
      placeless.set(file, [...(placeless.get(file) ?? []), station.id])
      continue
    }
    series.push(inTimeOrder(placed, rows))
  }
  for (const [file, ids] of placeless) {
    const named = `${ids.slice(0, 5).join(', ')}${ids.length > 5 ? ` and ${ids.length - 5} more` : ''}`
    problems.push({
      code: 'station-without-place',
      severity: 'warning',
      file,
      message: `it is not stated where ${ids.length === 1 ? 'this station is' : 'these stations are'}, so the reports are not used: ${named}`,
      hint: 'name them under "stations" in campaign.yaml, with lat, lon and elevation_m',
    })
  }
  return { series, problems }
}

interface Row {
  from: ObservationFile
  row: number
}

interface Gathered {
  station: Station
  rows: Row[]
}

/** Rows by station. Places tell stations apart that share an id; a station without a place joins its namesake. */
function gather(files: ObservationFile[], problems: Problem[]): Map<string, Gathered> {
  const gathered = new Map<string, Gathered>()
  const sameId = new Map<string, Gathered[]>()
  const entryFor = (station: Station, from: ObservationFile): Gathered => {
    const namesakes = sameId.get(station.id) ?? []
    const known = station.onRoad ? undefined : namesakes.find((g) => !g.station.onRoad && samePlace(g.station, station))
    if (known) {
      if (Number.isNaN(known.station.latitude)) known.station = station
      return known
    }
    const id = namesakes.length === 0 ? station.id : `${station.id} (${namesakes.length + 1})`
    if (namesakes.length > 0 && !station.onRoad) {
      const message = `the station id ${station.id} stands for two places; this file's is taken as another station, ${id}`
      problems.push({ code: 'station-id-reused', severity: 'warning', file: from.file, message })
    }
    const entry: Gathered = { station: { ...station, id }, rows: [] }
    sameId.set(station.id, [...namesakes, entry])
    gathered.set(id, entry)
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

const SAME_PLACE_DEG = 0.05

const samePlace = (a: Station, b: Station): boolean =>
  Number.isNaN(a.latitude) ||
  Number.isNaN(b.latitude) ||
  (Math.abs(a.latitude - b.latitude) < SAME_PLACE_DEG && Math.abs(a.longitude - b.longitude) < SAME_PLACE_DEG)

function placeOf(
  station: Station,
  settings: StationSettings[],
  lookUp: (icao: string) => StationPlace | null,
): Station | null {
  const own = settings.find((s) => s.id.toUpperCase() === station.id.toUpperCase())
  const stated = own && Number.isFinite(own.latitude) ? { ...own, onRoad: false } : null
  const place: Partial<StationPlace> | null =
    stated ?? (station.onRoad || Number.isFinite(station.latitude) ? {} : lookUp(station.id))
  if (!place) return null
  const known = (value: number | undefined, otherwise: number): number =>
    value !== undefined && Number.isFinite(value) ? value : otherwise
  return {
    ...station,
    ...place,
    id: station.id,
    elevationM: known(own?.elevationM, place.elevationM ?? station.elevationM),
    anemometerHeightM: known(own?.anemometerHeightM, station.anemometerHeightM),
  }
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
