import type { Problem } from '../base/problem.ts'
import { mean } from '../base/statistics.ts'
import type { Observations } from '../read/types.ts'

const HOUR_S = 3600
const DAY_S = 24 * HOUR_S
/** So much must be known of a daily course before anything is said of it: days, reports, and K of half its range. */
const LEAST = { days: 3, reports: 24, amplitudeK: 2.5 }
/** The warmest hour by the sun, and how far it may be off by weather, coasts and fog, h. Common practice, no source. */
const WARMEST_H = 15
const MOST_OFF_H = 5

/**
 * Stations whose days are warmest at an hour when no place is: their times are of another zone than was taken.
 * @returns warnings without a file
 */
export function dailyCourseProblems(observations: Observations): Problem[] {
  const { stations, station, time, temperatureK } = observations
  return stations.flatMap(({ id, longitude, onRoad }, s): Problem[] => {
    if (onRoad || Number.isNaN(longitude)) return []
    const rows = [...time.keys()].filter((i) => station[i] === s && Number.isFinite(temperatureK[i]))
    const found = warmestHour(
      rows.map((i) => time[i] + (longitude / 15) * HOUR_S),
      rows.map((i) => temperatureK[i]),
    )
    if (found === null) return []
    const offH = ((found - WARMEST_H + 36) % 24) - 12
    if (Math.abs(offH) < MOST_OFF_H) return []
    const message = `by the sun, the days of ${id} are warmest at ${found.toFixed(0)} h, expected about ${WARMEST_H} h: its times are probably off by about ${Math.abs(offH).toFixed(0)} hours`
    const hint =
      'Are these local times that were taken as UTC, or the other way round? Write them with their offset, or a first line "# time zone: Europe/Vienna". Nothing was changed.'
    return [{ code: 'weather-zone-doubtful', severity: 'warning', message, hint }]
  })
}

/** The hour of the warmest time of day by a wave of 24 hours; null where the days show none. */
function warmestHour(localS: number[], kelvin: number[]): number | null {
  if (localS.length < LEAST.reports) return null
  const days = new Map<number, number[]>()
  localS.forEach((t, i) => {
    const day = Math.floor(t / DAY_S)
    days.set(day, [...(days.get(day) ?? []), i])
  })
  let [cosine, sine, count] = [0, 0, 0]
  let whole = 0
  for (const rows of days.values()) {
    const quarters = new Set(rows.map((i) => Math.floor((((localS[i] % DAY_S) + DAY_S) % DAY_S) / (DAY_S / 4))))
    // A day that was not observed throughout says nothing of its course.
    if (quarters.size < 4 || rows.length < 8) continue
    const middle = mean(rows.map((i) => kelvin[i]))
    whole++
    for (const i of rows) {
      const angle = (2 * Math.PI * (localS[i] % DAY_S)) / DAY_S
      cosine += (kelvin[i] - middle) * Math.cos(angle)
      sine += (kelvin[i] - middle) * Math.sin(angle)
      count++
    }
  }
  if (whole < LEAST.days) return null
  const amplitudeK = (2 * Math.sqrt(cosine * cosine + sine * sine)) / count
  if (amplitudeK < LEAST.amplitudeK) return null
  return ((Math.atan2(sine, cosine) / (2 * Math.PI)) * 24 + 24) % 24
}
