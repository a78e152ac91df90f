import { type AirField, prepareField } from '../air/field.ts'
import { type ObservationFile, seriesOf } from '../air/series.ts'
import { present } from '../base/present.ts'
import type { Problem } from '../base/problem.ts'
import { sum } from '../base/statistics.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import type { RunRecord } from '../campaign/drive/run-record.ts'
import type { MappedFile } from '../campaign/load/map-file.ts'
import { stationKnowledge } from '../campaign/load/station-knowledge.ts'
import { isWeatherKind, readWeather } from '../read/weather/read.ts'
import { loadStations } from '../read/weather/stations/stations.ts'

export interface ForecastField {
  field: AirField
  /** Seconds since 1970; NaN where there is no row. */
  firstTime: number
  lastTime: number
}

/** The forecast files as an air that can be asked. A table without positions is taken to be for the road itself. */
export async function forecastOf(
  files: MappedFile[],
  state: WorkingState,
  reference: RunRecord,
): Promise<{ forecast: ForecastField | null; problems: Problem[] }> {
  const problems: Problem[] = []
  const observations: ObservationFile[] = []
  for (const file of files) {
    problems.push(...file.problems.map((p) => ({ ...p, file: file.path })))
    if (!isWeatherKind(file.kind)) {
      const message = 'this is no table of weather; expected a CSV table with times ahead'
      if (file.kind !== 'unrecognised' && file.kind !== 'html')
        problems.push({ code: 'not-a-forecast', severity: 'error', message, file: file.path })
      continue
    }
    const context = {
      timeZone: state.campaign.timeZone,
      fileName: file.path,
      coverFrom: null,
      coverTo: null,
      coverSpans: [],
    }
    const read = readWeather(file.kind, present(file.text), context)
    // That no instrument measured it is what a forecast is.
    const told = read.problems.filter(({ code }) => code !== 'weather-model')
    problems.push(...told.map((p) => ({ ...p, file: file.path })))
    if (read.value) observations.push({ file: file.path, observations: read.value })
  }
  const stations = seriesOf(observations, state.campaign.stations, stationKnowledge(await loadStations()))
  problems.push(...stations.problems)
  const middle = reference.steps.time.length >> 1
  const onRoad = {
    onRoad: false,
    latitude: reference.steps.latitude[middle],
    longitude: reference.steps.longitude[middle],
    elevationM: reference.steps.elevationM[middle],
  }
  const placed = stations.series.map((s) => ({
    ...s,
    station: { ...s.station, ...(s.station.onRoad ? onRoad : {}), quality: 'forecast' as const },
  }))
  const times = placed.flatMap((s) => [s.time[0], s.time[s.time.length - 1]]).filter(Number.isFinite)
  if (times.length === 0) return { forecast: null, problems }
  const forecast = { field: prepareField(placed), firstTime: Math.min(...times), lastTime: Math.max(...times) }
  return { forecast, problems }
}

/** How a forecast's rows lie about a drive. */
export interface RowsAbout {
  /** The widest step between two times of a wind that the drive falls into, hours. */
  stepH: number
  /** What falls in the steps that the drive touches, mm; NaN where the forecast does not say. A row's rain fell before it. */
  precipitationMm: number
}

/** @param stations those that speak of the drive; where there is none, all are looked at */
export function rowsAbout({ field }: ForecastField, stations: { id: string }[], fromS: number, toS: number): RowsAbout {
  const used = field.stations.filter(
    ({ series }) => stations.length === 0 || stations.some(({ id }) => id === series.station.id),
  )
  const steps = used.flatMap(({ windEastMps: { time } }) =>
    time.slice(1).flatMap((after, i) => (time[i] < toS && after > fromS ? [(after - time[i]) / 3600] : [])),
  )
  const rain = used.flatMap(({ series: { time, precipitationMm } }) => {
    const fallen = [...precipitationMm].filter(
      (mm, i) => Number.isFinite(mm) && (i === 0 || time[i - 1] < toS) && time[i] > fromS,
    )
    return fallen.length > 0 ? [sum(fallen)] : []
  })
  return {
    stepH: steps.length > 0 ? Math.max(...steps) : Number.NaN,
    precipitationMm: rain.length > 0 ? Math.max(...rain) : Number.NaN,
  }
}
