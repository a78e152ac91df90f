import { REACH } from '../air/blend.ts'
import { isoDay } from '../base/time.ts'
import type { MappedDrive } from '../campaign/load/mapped-drive.ts'
import type { Hidden } from '../campaign/report/privacy.ts'
import { stepM } from '../track/geodesy.ts'
import type { Span } from './types.ts'

/** Side of a cell, degrees: all that leaves the computer of where somebody drove. */
export const CELL_DEG = 0.25
/** Cells nearer to each other than this have the same stations, m. */
const ONE_AREA_M = 60_000
const DAY_S = 86_400
/** Days with no more than so many between them are asked for in one go. */
const BRIDGED_DAYS = 2
const LONGEST_DAYS = 31

/** A square of the grid in which roads lie. */
export interface Cell {
  /** Of its centre, degrees. */
  latitude: number
  longitude: number
  /** Of the roads in it, m; NaN where no drive has heights. */
  elevationM: number
}

/** Neighbouring cells, with the days on which somebody drove there. */
export interface Area {
  cells: Cell[]
  /** Whole days in UTC, in order. */
  spans: Span[]
  /** The drives' own times, with the time around them in which an observation still counts for them. */
  hours: Span[]
}

/** What the fetching works with: drives whose places may be told, in cells, and how many were left out. */
export interface Need {
  areas: Area[]
  drives: number
  /** Drives that lie within private places altogether. */
  hiddenDrives: number
}

/** The drives' places, rounded to the centres of cells, and their days. Places that are private are no part of it. */
export function needOf(drives: readonly MappedDrive[], hidden: Hidden | null): Need {
  const areas: Area[] = []
  let hiddenDrives = 0
  for (const drive of drives) {
    const cells = cellsOf(drive, hidden)
    const { time } = drive.fixes
    const hours = { fromS: time[0] - REACH.gapS, toS: time[time.length - 1] + REACH.gapS }
    if (cells.length === 0) hiddenDrives++
    else addTo(areas, { cells, spans: [], hours: [hours] })
  }
  for (const area of areas) {
    // In the order of the grid: that of the drive is nobody's business.
    area.cells.sort((a, b) => a.latitude - b.latitude || a.longitude - b.longitude)
    area.spans = daySpans(area.hours)
  }
  return { areas, drives: drives.length, hiddenDrives }
}

function cellsOf({ path, pathElevationM }: MappedDrive, hidden: Hidden | null): Cell[] {
  const heights = new Map<string, { cell: Cell; heights: number[] }>()
  for (const [i, latitude] of path.latitude.entries()) {
    const longitude = path.longitude[i]
    if (path.inGap[i] === 1 || hidden?.(latitude, longitude)) continue
    const cell = { latitude: centre(latitude), longitude: centre(longitude), elevationM: Number.NaN }
    const key = keyOf(cell)
    const there = heights.get(key) ?? { cell, heights: [] }
    heights.set(key, there)
    if (Number.isFinite(pathElevationM[i])) there.heights.push(pathElevationM[i])
  }
  return [...heights.values()].map(({ cell, heights: all }) => ({ ...cell, elevationM: middleOf(all) }))
}

const centre = (degrees: number): number => (Math.floor(degrees / CELL_DEG) + 0.5) * CELL_DEG

const keyOf = ({ latitude, longitude }: Cell): string => `${latitude},${longitude}`

const middleOf = (values: number[]): number =>
  values.length === 0 ? Number.NaN : [...values].sort((a, b) => a - b)[values.length >> 1]

/** Adds to the area that it meets; areas that it joins become one. */
function addTo(areas: Area[], added: Area): void {
  const meets = (area: Area): boolean =>
    area.cells.some((a) =>
      added.cells.some((b) => stepM(a.latitude, a.longitude, b.latitude, b.longitude) < ONE_AREA_M),
    )
  const met = areas.filter(meets)
  for (const area of met) areas.splice(areas.indexOf(area), 1)
  const all = [...met, added]
  const cells = new Map(all.flatMap((area) => area.cells).map((cell) => [keyOf(cell), cell]))
  areas.push({ cells: [...cells.values()], spans: [], hours: all.flatMap(({ hours }) => hours) })
}

/** Whole days in UTC that hold the spans; those near each other made one, so that drives share files. */
export function daySpans(hours: readonly Span[]): Span[] {
  const days = hours
    .map(({ fromS, toS }) => ({ fromS: Math.floor(fromS / DAY_S) * DAY_S, toS: Math.ceil(toS / DAY_S) * DAY_S }))
    .sort((a, b) => a.fromS - b.fromS)
  const spans: Span[] = []
  for (const day of days) {
    const last = spans.at(-1)
    const joins = last && day.fromS - last.toS <= BRIDGED_DAYS * DAY_S && day.toS - last.fromS <= LONGEST_DAYS * DAY_S
    if (joins) last.toS = Math.max(last.toS, day.toS)
    else if (!last || day.toS > last.toS) spans.push({ ...day, fromS: Math.max(day.fromS, last?.toS ?? day.fromS) })
  }
  return spans
}

/** A span's first and last day, as file names have it. */
export function daysOf({ fromS, toS }: Span): string {
  const [from, to] = [isoDay(fromS), isoDay(toS - 1)]
  return from === to ? from : `${from}_${to}`
}
