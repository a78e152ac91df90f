import type { StationSeries } from '../../air/series.ts'
import type { RunRow } from '../../read/types.ts'

/** The driver's own note in runs.csv as a station that speaks of that run alone; null when the row notes no weather. */
export function noteSeries(runId: string, row: RunRow, middleTime: number, file: string): StationSeries | null {
  const noted = [row.temperatureK, row.relativeHumidity, row.windSpeedMps]
  if (!noted.some((v) => Number.isFinite(v))) return null
  const one = (value: number): Float64Array => Float64Array.of(value)
  const nothing = (): Float64Array => Float64Array.of(Number.NaN)
  return {
    station: {
      id: `note for ${runId}`,
      latitude: Number.NaN,
      longitude: Number.NaN,
      elevationM: Number.NaN,
      anemometerHeightM: Number.NaN,
      onRoad: true,
      quality: 'note',
    },
    files: [file],
    onlyForRun: runId,
    time: one(middleTime),
    temperatureK: one(row.temperatureK),
    temperatureStepK: one(1),
    dewPointK: nothing(),
    relativeHumidity: one(row.relativeHumidity),
    stationPressurePa: nothing(),
    seaLevelPressurePa: nothing(),
    altimeterPa: nothing(),
    windSpeedMps: one(row.windSpeedMps),
    windFromDeg: one(row.windFromDeg),
    windGustMps: nothing(),
    precipitationMm: nothing(),
    roadWet: nothing(),
    presentWeather: [null],
  }
}
