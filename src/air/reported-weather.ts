import type { StationSeries } from './series.ts'
import type { RunAir } from './types.ts'

/** Gusts, rain and weather groups in the reports from half an hour before the start to half an hour after the end. */
export function reportedWeather(
  used: StationSeries[],
  startTime: number,
  endTime: number,
): Pick<RunAir, 'gustMps' | 'precipitationMm' | 'roadWet' | 'presentWeather' | 'weatherObserved'> {
  let gustMps = Number.NaN
  let precipitationMm = Number.NaN
  let roadWet = Number.NaN
  const presentWeather = new Set<string>()
  let weatherObserved = false
  const larger = (a: number, b: number): number => (Number.isNaN(a) ? b : Number.isNaN(b) ? a : Math.max(a, b))
  for (const series of used) {
    let fallenMm = Number.NaN
    for (let i = 0; i < series.time.length; i++) {
      if (series.time[i] < startTime - 1800 || series.time[i] > endTime + 1800) continue
      gustMps = larger(gustMps, series.windGustMps[i])
      roadWet = larger(roadWet, series.roadWet[i])
      if (Number.isFinite(series.precipitationMm[i]))
        fallenMm = (Number.isNaN(fallenMm) ? 0 : fallenMm) + series.precipitationMm[i]
      const weather = series.presentWeather[i]
      if (weather !== null) weatherObserved = true
      if (weather) presentWeather.add(weather)
    }
    precipitationMm = larger(precipitationMm, fallenMm)
  }
  return { gustMps, precipitationMm, roadWet, presentWeather: [...presentWeather].sort(), weatherObserved }
}
