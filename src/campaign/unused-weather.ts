import { FAR_REACH } from '../air/blend.ts'
import type { ObservationFile, StationSeries } from '../air/series.ts'
import type { Problem } from '../base/problem.ts'
import { stepM } from '../track/geodesy.ts'
import type { KeptRecord } from './drive/run-record.ts'

/**
 * A warning for each weather file that spoke for no run: of another region or of other days.
 * @param told what was told of the files already: that one has no wind is not told twice
 */
export function unusedWeather(
  records: KeptRecord[],
  files: ObservationFile[],
  series: StationSeries[],
  told: readonly Problem[],
): Problem[] {
  if (records.length === 0) return []
  const used = new Set(records.flatMap((r) => r.runAir.stations.map((s) => s.id)))
  return files.flatMap(({ file }) => {
    const own = series.filter((s) => s.files.includes(file))
    if (own.length === 0 || own.some((s) => used.has(s.station.id))) return []
    if (!own.some(holdsWindOrTemperature)) {
      if (told.some((problem) => problem.code === 'weather-wind-missing' && problem.file === file)) return []
      const message = 'covers no drive: its reports hold neither wind speed nor temperature'
      const hint = 'Add their columns, such as wind_speed_kmh and temperature_c, or reports of another station.'
      return [{ code: 'weather-out-of-reach', severity: 'warning' as const, file, message, hint }]
    }
    return [
      {
        code: 'weather-out-of-reach',
        severity: 'warning' as const,
        file,
        message: `covers no drive: ${whyOutOfReach(records, own)}`,
        hint: 'Check the stations\u2019 positions, the dates and the time zone. Positions can be stated under "stations" in campaign.yaml.',
      },
    ]
  })
}

const holdsWindOrTemperature = (series: StationSeries): boolean =>
  [series.windSpeedMps, series.temperatureK].some((column) => column.some((value) => !Number.isNaN(value)))

function whyOutOfReach(records: KeptRecord[], series: StationSeries[]): string {
  const placed = series.filter((s) => !s.station.onRoad)
  const distances = placed.flatMap(({ station }) =>
    records.map((r) => ({
      station,
      farM: stepM(r.start.latitude, r.start.longitude, station.latitude, station.longitude),
    })),
  )
  const nearest = distances.reduce((least, one) => (one.farM < least.farM ? one : least), distances[0])
  if (placed.length === series.length && nearest.farM > FAR_REACH.distanceM) {
    const { id, latitude, longitude } = nearest.station
    const where = `${latitude.toFixed(2)}\u00b0, ${longitude.toFixed(2)}\u00b0`
    return `its nearest station, "${id}" at ${where}, is ${Math.round(nearest.farM / 1000)} km from the nearest drive, and a report counts within ${FAR_REACH.distanceM / 1000} km`
  }
  return `none of its reports was made within ${FAR_REACH.gapS / 3600} hours of a drive near by`
}
