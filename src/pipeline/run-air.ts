import { type AirField, airAlong } from '../air/field.ts'
import type { StationSeries } from '../air/series.ts'
import type { RunAir } from '../air/types.ts'
import type { Steps } from '../demand/types.ts'
import type { RunRow } from '../read/types.ts'

/** The air is asked for at least this often along a run, s. */
const NODE_S = 60

/** The air along a run, at a node a minute. */
export function runAirOf(field: AirField, runId: string, steps: Steps): RunAir {
  const nodes: number[] = []
  const last = steps.time.length - 1
  for (let i = 0; i <= last; i++) {
    if (nodes.length === 0 || i === last || steps.time[i] - steps.time[nodes[nodes.length - 1]] >= NODE_S) nodes.push(i)
  }
  if (nodes.length === 1) nodes.push(last)
  const pick = (column: Float64Array): Float64Array => Float64Array.from(nodes, (i) => column[i])
  return airAlong(field, runId, {
    time: pick(steps.time),
    latitude: pick(steps.latitude),
    longitude: pick(steps.longitude),
    elevationM: pick(steps.elevationM),
  })
}

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
