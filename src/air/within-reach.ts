import type { Span } from '../base/time.ts'
import { MEASURED, type Observations } from '../read/types.ts'
import { timeReachOf } from './blend.ts'

/** Beyond the reach of observations, s: nothing that is asked about a drive may lie at the very edge of what is kept. */
const MARGIN_S = 3600

/**
 * Leaves aside the observations that are too long before or after every drive to say anything of its air. Of each station
 * the first one stays, and the first with a temperature, which says in what steps it reports: where stations are and how
 * fine their instruments read does not change with the days of the drives.
 * @param drives when somebody drove; without any, nothing is left aside
 */
export function withinTimeReach(
  observations: Observations,
  drives: readonly Span[],
): { observations: Observations; leftAside: number } {
  const isKept = keptRows(observations, drives)
  const kept = isKept.reduce((sum, keep) => sum + keep, 0)
  const leftAside = observations.count - kept
  if (drives.length === 0 || leftAside === 0) return { observations, leftAside: 0 }
  const { stations, presentWeather, places } = observations
  const measured = Object.fromEntries(MEASURED.map((name) => [name, picked(observations[name], isKept)]))
  return {
    observations: {
      ...(measured as Pick<Observations, (typeof MEASURED)[number]>),
      stations,
      count: kept,
      station: observations.station.filter((_, i) => isKept[i] === 1),
      time: picked(observations.time, isKept),
      windVariable: observations.windVariable.filter((_, i) => isKept[i] === 1),
      presentWeather: presentWeather.filter((_, i) => isKept[i] === 1),
      ...(places ? { places } : {}),
    },
    leftAside,
  }
}

const picked = (column: Float64Array, isKept: Uint8Array): Float64Array => column.filter((_, i) => isKept[i] === 1)

/** 1 for each row that is kept. Rows are in time order. */
function keptRows({ stations, station, time, temperatureStepK, count }: Observations, drives: readonly Span[]) {
  const isKept = new Uint8Array(count)
  const spans = stations.map((place) => joined(drives, timeReachOf(place) + MARGIN_S))
  const nextSpan = new Int32Array(stations.length)
  const firstTime = new Float64Array(stations.length).fill(Number.NaN)
  const firstStepTime = new Float64Array(stations.length).fill(Number.NaN)
  for (let i = 0; i < count; i++) {
    const s = station[i]
    if (Number.isNaN(firstTime[s])) firstTime[s] = time[i]
    if (Number.isNaN(firstStepTime[s]) && !Number.isNaN(temperatureStepK[i])) firstStepTime[s] = time[i]
    while (nextSpan[s] < spans[s].length && spans[s][nextSpan[s]].to < time[i]) nextSpan[s]++
    const isWithin = nextSpan[s] < spans[s].length && spans[s][nextSpan[s]].from <= time[i]
    // A correction of the same moment goes with it.
    if (isWithin || time[i] === firstTime[s] || time[i] === firstStepTime[s]) isKept[i] = 1
  }
  // A correction may have come before the first row of its moment that has a temperature.
  for (let i = 0; i < count; i++) if (time[i] === firstStepTime[station[i]]) isKept[i] = 1
  return isKept
}

/** The spans widened on both sides, in order, those that touch made one. */
function joined(spans: readonly Span[], byS: number): Span[] {
  const wide = spans.map(({ from, to }) => ({ from: from - byS, to: to + byS })).sort((a, b) => a.from - b.from)
  const apart: Span[] = []
  for (const span of wide) {
    const last = apart.at(-1)
    if (last && span.from <= last.to) last.to = Math.max(last.to, span.to)
    else apart.push(span)
  }
  return apart
}
