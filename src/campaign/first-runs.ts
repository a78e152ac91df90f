import type { Roads } from './load/routes.ts'
import { shownTime, zoneOffsetS } from './load/rows/stated-times.ts'
import type { Run } from './load/runs.ts'

/** The columns of a first runs.csv; all but the first are left for the user to fill in. */
const COLUMNS = ['track', 'setup', 'fuel_l', 'fuel_temperature_c', 'odometer_km', 'fill_group', 'note']

/** A row of a first runs.csv: a drive, or the laps of a stint. */
interface FirstRow {
  track: string
  runs: { run: Run; road: string }[]
}

/**
 * A first runs.csv: a row per drive with its name alone, the laps of a stint in one, and above each row what the track says
 * (when, which road, how far, where) as a comment. Nothing is filled in that the user has not said.
 * @param timeZone in which the drives are named; null for UTC
 */
export function firstRunsCsv(runs: Run[], { contexts }: Pick<Roads, 'contexts'>, timeZone: string | null): string {
  const rows = firstRows(runs.map((run, i) => ({ run, road: contexts[i].name })))
  const lines = rows.flatMap((row) => [
    `# ${rowTold(row, timeZone)}`,
    csvCell(row.track) + ','.repeat(COLUMNS.length - 1),
  ])
  const head = runs.some(({ track }) => WITH_TIME.test(track)) ? `${RUNS_HEAD}\n${namesHead(timeZone)}` : RUNS_HEAD
  return `${[head, COLUMNS.join(','), ...lines].join('\n')}\n`
}

/** A first table of drives for a workbook: the local day and time of each drive beside its name, the rest to be filled in. */
export interface FirstTable {
  comments: string[]
  header: string[]
  /** Seconds of the local clock since 1970, read as if it were UTC. */
  rows: { track: string; localStart: number }[]
}

/** Likewise as a table; the columns say their units as people write them, and are read back by `ourColumns`. */
export function firstDrives(runs: Run[], timeZone: string | null): FirstTable {
  const rows = firstRows(runs.map((run) => ({ run, road: '' }))).map(({ track, runs: [{ run }] }) => {
    const { startTime } = run.summary
    return { track, localStart: startTime + (timeZone === null ? 0 : zoneOffsetS(startTime, timeZone)) }
  })
  const head = runs.some(({ track }) => WITH_TIME.test(track)) ? `${RUNS_HEAD}\n${namesHead(timeZone)}` : RUNS_HEAD
  const zone = `# date and time: when the drive began, ${timeZone === null ? 'in UTC' : `in ${timeZone}`}; they are only there to know it by.`
  return {
    comments: [...head.split('\n'), zone],
    header: [
      'track',
      'date',
      'time',
      'setup',
      'fuel (l)',
      'fuel temperature (°C)',
      'odometer (km)',
      'fill group',
      'note',
    ],
    rows,
  }
}

const WITH_TIME = /@[\dT]+(\.\d+)?$/
const LAP = /^(.*@[\dT]+)\.(\d+)$/

/** Fuel belongs to a stint: its laps are one row. */
function firstRows(runs: FirstRow['runs']): FirstRow[] {
  const rows: FirstRow[] = []
  const stints = new Map<string, FirstRow>()
  for (const told of runs) {
    const [, stint, lap] = LAP.exec(told.run.track) ?? []
    const known = stint === undefined ? undefined : stints.get(stint)
    if (known) {
      known.runs.push(told)
      known.track = `${stint}.1-${lap}`
      continue
    }
    const row = { track: told.run.track, runs: [told] }
    if (stint !== undefined) stints.set(stint, row)
    rows.push(row)
  }
  return rows
}

/** "2026-05-12 09:09 to 09:16, route-1, 8.0 km, 6 min, from 47.30, 8.10 to 47.35, 8.15". */
function rowTold({ runs }: FirstRow, timeZone: string | null): string {
  const [first, last] = [runs[0], runs[runs.length - 1]]
  const start = shownTime(first.run.summary.startTime, timeZone)
  const { endTime } = last.run.summary
  const end = shownTime(endTime, timeZone).slice(11)
  const distanceM = runs.reduce((sum, { run }) => sum + run.summary.distanceM, 0)
  const minutes = Math.round((endTime - first.run.summary.startTime) / 60)
  const laps = runs.length > 1 ? [`${runs.length} laps`] : []
  // A recording that is one drive as a whole may begin at somebody's door.
  const places = first.run.part === null ? [] : [`from ${placeOf(first.run, 0)} to ${placeOf(last.run, -1)}`]
  return [
    `${start.slice(0, 16)} to ${end}`,
    first.road,
    ...laps,
    `${(distanceM / 1000).toFixed(1)} km`,
    `${minutes} min`,
    ...places,
  ].join(', ')
}

/** Degrees north and east to about a kilometre, of the first point (0) or the last (-1). */
const placeOf = ({ drive: { trace } }: Run, at: 0 | -1): string =>
  `${trace.latitude.at(at)?.toFixed(2)} ${trace.longitude.at(at)?.toFixed(2)}`

const namesHead = (timeZone: string | null): string =>
  `# A file that holds several drives has a row for each: behind @ stands when the drive begins, ${timeZone === null ? 'in UTC' : `in ${timeZone}`}; .1-6 are laps 1 to 6,
#   measured together. ${timeZone === null ? 'With a time_zone in campaign.yaml the names are local times: set it, delete this file and call init again.' : 'With another time_zone in campaign.yaml the names are other times.'}`

/**
 * A name as it is read back: in quotation marks where it could be taken for several cells or for a comment, and begun with
 * "./" where a spreadsheet would take it for a formula.
 */
function csvCell(name: string): string {
  const path = /^[=+\-@\t\r]/.test(name) ? `./${name}` : name
  return /[",;\t\r\n]|^#/.test(path) ? `"${path.replaceAll('"', '""')}"` : path
}

const RUNS_HEAD = `# A row per drive. An empty cell means "not known"; lines that begin with # are not read.
# setup: your name for what was fitted (define it in campaign.yaml). fuel_l: what the drive used, by the fill after it
#   (or fuel_gal_us, fuel_gal_imp, fuel_kg, energy_kwh). odometer_km: the trip's distance by the odometer.
# fill_group: the same word for drives filled at one pump, each fill the start of the next.
# More columns that can be added: trip_computer_l_per_100km, payload_kg, tyre_pressure_kpa, accessories_w, photo,
#   exclude (a reason to leave the drive out), test_vehicle (no: another vehicle's), vehicle and control (yes: an unchanged vehicle
#   that drives at the same time), and your own note of the weather where there is no station:
#   temperature_c, relative_humidity_pct, wind_speed_mps, wind_from_deg. road_wet: wet or dry, as you saw it.`
