import { MEASURED } from '../read/types.ts'
import { timeReachOf } from './blend.ts'
import type { StationSeries } from './series.ts'

/** Beyond the reach of a report, s; less than what `withinTimeReach` keeps, or what other drives need would show here. */
const MARGIN_S = 600

/** One report of a station with all its values. */
type ReportRow = readonly (number | string | null)[]

interface SeriesRows {
  /** What is the same for all its reports: the station, and in what steps it tells temperatures. */
  station: object
  rows: ReportRow[]
}

const rowsOfSeries = new WeakMap<StationSeries, SeriesRows>()

/** The same objects each time: whoever keeps something by a row, such as its digest, finds it again. */
function rowsOf(series: StationSeries): SeriesRows {
  const known = rowsOfSeries.get(series)
  if (known) return known
  const { station, onlyForRun, temperatureStepK } = series
  const made = {
    station: { station, onlyForRun, stepK: temperatureStepK.find((k) => Number.isFinite(k)) ?? null },
    rows: Array.from(series.time, (time, i) => [
      time,
      ...MEASURED.map((name) => series[name][i]),
      series.presentWeather[i],
    ]),
  }
  rowsOfSeries.set(series, made)
  return made
}

/**
 * All that the air of a drive can depend on: of each series the station, and then those of its reports that bear on the
 * time of the drive. Reports that are too early or too late for it change nothing here, as they change nothing of its air.
 * @param from start of the drive, seconds since 1970
 * @param to its end
 */
export function reportsAbout(series: readonly StationSeries[], from: number, to: number): object[] {
  return series.flatMap((one) => {
    const { station, rows } = rowsOf(one)
    const byS = timeReachOf(one.station) + MARGIN_S
    return [station, ...rows.slice(countBefore(one.time, from - byS), countBefore(one.time, to + byS))]
  })
}

/** How many entries of a column in order are below a value. */
function countBefore(inOrder: Float64Array, value: number): number {
  let [low, high] = [0, inOrder.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (inOrder[middle] < value) low = middle + 1
    else high = middle
  }
  return low
}
