import { dryingTimeS, isKnownDry } from './road-drying.ts'
import type { StationSeries } from './series.ts'
import type { RunAir } from './types.ts'

/** So long before the start and after the end reports speak for the drive, s. */
const AROUND_S = 1800

/**
 * Gusts, rain and weather groups in the reports from half an hour before the start to half an hour after the end; and
 * whether these and earlier ones show that the road was dry.
 * @param relativeHumidity of the drive, 0 to 1: in damp air roads dry slowly
 */
export function reportedWeather(
  used: StationSeries[],
  startTime: number,
  endTime: number,
  relativeHumidity: number,
): Pick<RunAir, 'gustMps' | 'precipitationMm' | 'roadWet' | 'presentWeather' | 'weatherObserved'> {
  let gustMps = Number.NaN
  let precipitationMm = Number.NaN
  let roadWet = Number.NaN
  const presentWeather = new Set<string>()
  const larger = (a: number, b: number): number => (Number.isNaN(a) ? b : Number.isNaN(b) ? a : Math.max(a, b))
  for (const series of used) {
    let fallenMm = Number.NaN
    for (let i = 0; i < series.time.length; i++) {
      if (series.time[i] < startTime - AROUND_S || series.time[i] > endTime + AROUND_S) continue
      gustMps = larger(gustMps, series.windGustMps[i])
      roadWet = larger(roadWet, series.roadWet[i])
      if (Number.isFinite(series.precipitationMm[i]))
        fallenMm = (Number.isNaN(fallenMm) ? 0 : fallenMm) + series.precipitationMm[i]
      const weather = series.presentWeather[i]
      if (weather) presentWeather.add(weather)
    }
    precipitationMm = larger(precipitationMm, fallenMm)
  }
  const around = { from: startTime - AROUND_S, past: endTime + AROUND_S }
  // Reports come every hour or half hour: half an hour less is as good.
  const drySince = Math.min(around.from, startTime - dryingTimeS(relativeHumidity) + AROUND_S)
  const weatherObserved = isKnownDry(used, around, drySince)
  return { gustMps, precipitationMm, roadWet, presentWeather: [...presentWeather].sort(), weatherObserved }
}
