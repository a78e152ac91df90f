import type { Problem } from '../base/problem.ts'
import { turnDegrees } from '../base/units.ts'
import { stepM } from '../track/geodesy.ts'
import type { Gathered, Row } from './gathered.ts'

/** An aerodrome's reference point and its instruments, as two archives state them, lie within this. Common practice, no source. */
const SAME_FIELD_M = 5000
/** What rounding to whole degrees, knots and tens of degrees leaves between two forms of one report, and a little. */
const ROUNDING = { temperatureK: 0.56, windSpeedMps: 0.3, windFromDeg: 5.1 }
/** A report here and there may have been corrected in one archive and not in the other. */
export const LEAST_SHARE_EQUAL = 0.9

/**
 * Joins stations that are one, seen through two services under names that do not show it: they lie within 5 km, and
 * in the minutes that both report they say the same wind and temperature. Each report then counts once.
 * Two stations that share no minute stay apart.
 */
export function withoutTwins(gathered: readonly Gathered[]): { stations: Gathered[]; problems: Problem[] } {
  const problems: Problem[] = []
  const stations: Gathered[] = []
  for (const entry of gathered) {
    const twin = stations.find((other) => areTwins(other, entry))
    if (!twin) {
      stations.push({ ...entry, rows: [...entry.rows] })
      continue
    }
    twin.rows.push(...entry.rows)
    const { file } = entry.rows[0].from
    const message = `the station ${entry.station.id} of this file reports what ${twin.station.id} reports, to the minute and beside it: they are taken as one station, and each report counts once`
    problems.push({ code: 'station-twice', severity: 'note', file, message })
  }
  return { stations, problems }
}

function areTwins(a: Gathered, b: Gathered): boolean {
  if (a.station.quality !== 'instrument' || b.station.quality !== 'instrument') return false
  if (a.station.onRoad || b.station.onRoad || Math.abs(a.station.latitude - b.station.latitude) > 0.05) return false
  const apartM = stepM(a.station.latitude, a.station.longitude, b.station.latitude, b.station.longitude)
  return apartM <= SAME_FIELD_M && sayTheSame(a, b)
}

/** Whether nearly all reports of the same minute agree, of those that speak of both wind and temperature. */
function sayTheSame(a: Gathered, b: Gathered): boolean {
  const isFull = ({ from: { observations }, row }: Row): boolean =>
    !Number.isNaN(observations.temperatureK[row] + observations.windSpeedMps[row])
  const timeOf = ({ from, row }: Row): number => from.observations.time[row]
  const byTime = new Map(a.rows.filter(isFull).map((row) => [timeOf(row), row]))
  let [common, equal] = [0, 0]
  for (const row of b.rows) {
    const other = isFull(row) ? byTime.get(timeOf(row)) : undefined
    if (!other) continue
    common++
    if (isSame(row, other)) equal++
  }
  return common > 0 && equal >= LEAST_SHARE_EQUAL * common
}

/** Whether two reports of one moment agree in temperature and wind, but for rounding; what one does not tell contradicts nothing. */
export function isSame(a: Row, b: Row): boolean {
  const value = (name: keyof typeof ROUNDING, { from, row }: Row): number => from.observations[name][row]
  const within = (name: keyof typeof ROUNDING, difference: number): boolean => !(Math.abs(difference) > ROUNDING[name])
  return (
    within('temperatureK', value('temperatureK', a) - value('temperatureK', b)) &&
    within('windSpeedMps', value('windSpeedMps', a) - value('windSpeedMps', b)) &&
    within('windFromDeg', turnDegrees(value('windFromDeg', a), value('windFromDeg', b)))
  )
}
