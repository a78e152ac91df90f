import type { StationSeries } from '../../../air/series.ts'
import type { RunRow } from '../../../read/runs/rows.ts'

/** The driver's own note in runs.csv as a station that speaks of that run alone; null when the row notes no weather. */
export function noteSeries(runId: string, row: RunRow, middleTime: number, file: string): StationSeries | null {
  const noted = [row.temperatureK, row.relativeHumidity, row.windSpeedMps]
  if (!noted.some((v) => Number.isFinite(v))) return null
  const one = (value: number): Float64Array => Float64Array.of(value)
  return {
    ...saidOnTheRoad(`note for ${runId}`, runId, file, one(middleTime)),
    temperatureK: one(row.temperatureK),
    temperatureStepK: one(1),
    relativeHumidity: one(row.relativeHumidity),
    windSpeedMps: one(row.windSpeedMps),
    windFromDeg: one(row.windFromDeg),
  }
}

/** A station without a place that speaks of one run alone, with nothing observed yet. */
export function saidOnTheRoad(id: string, runId: string, file: string, time: Float64Array): StationSeries {
  const nothing = (): Float64Array => new Float64Array(time.length).fill(Number.NaN)
  return {
    station: {
      id,
      latitude: Number.NaN,
      longitude: Number.NaN,
      elevationM: Number.NaN,
      anemometerHeightM: Number.NaN,
      onRoad: true,
      quality: 'note',
    },
    files: [file],
    onlyForRun: runId,
    time,
    temperatureK: nothing(),
    temperatureStepK: nothing(),
    dewPointK: nothing(),
    relativeHumidity: nothing(),
    stationPressurePa: nothing(),
    seaLevelPressurePa: nothing(),
    altimeterPa: nothing(),
    windSpeedMps: nothing(),
    windFromDeg: nothing(),
    windGustMps: nothing(),
    precipitationMm: nothing(),
    roadWet: nothing(),
    presentWeather: Array.from(time, () => null),
  }
}
