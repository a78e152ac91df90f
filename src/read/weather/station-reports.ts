import { MEASURED, type Measured, type Observations, type Station } from '../types.ts'
import { rainSinceReportBefore } from './hourly-rain.ts'

/** One observation on its way into columns; units and meaning of NaN as in `Observations`. */
export interface StationReport extends Record<Measured, number> {
  /** 1-based line where it begins. */
  line: number
  stationId: string
  /** Seconds since 1970 UTC. */
  time: number
  windVariable: boolean
  /** The rain is the total since the last routine hourly report, not since the report before. */
  rainIsHourlyTotal: boolean
  presentWeather: string | null
}

const { NaN: unknown } = Number

/** A report in which nothing has been observed yet. Written out, because it is made once per row. */
export function emptyStationReport(stationId: string, time: number, line: number): StationReport {
  return {
    line,
    stationId,
    time,
    temperatureK: unknown,
    temperatureStepK: unknown,
    dewPointK: unknown,
    relativeHumidity: unknown,
    stationPressurePa: unknown,
    seaLevelPressurePa: unknown,
    altimeterPa: unknown,
    windSpeedMps: unknown,
    windFromDeg: unknown,
    windVariable: false,
    windGustMps: unknown,
    precipitationMm: unknown,
    rainIsHourlyTotal: false,
    roadWet: unknown,
    presentWeather: null,
  }
}

/** Whether a report holds nothing that tells of the air. */
export function isBare(report: StationReport): boolean {
  const says = (name: Measured) => name !== 'temperatureStepK' && !Number.isNaN(report[name])
  return !MEASURED.some(says) && !report.windVariable && !report.presentWeather
}

/** A station about which only its name is known. */
export function unplacedStation(id: string): Station {
  return {
    id,
    latitude: unknown,
    longitude: unknown,
    elevationM: unknown,
    anemometerHeightM: unknown,
    onRoad: false,
    quality: 'instrument',
  }
}

/** Lays reports out as columns, in time order. Every report's station must be among `stations`. */
export function observationsOf(stations: Station[], unordered: StationReport[]): Observations {
  const reports = unordered.toSorted((a, b) => a.time - b.time)
  const indexById = new Map(stations.map(({ id }, index) => [id, index]))
  const column = (name: Measured) => Float64Array.from(reports, (report) => report[name])
  return {
    stations,
    count: reports.length,
    station: Int32Array.from(reports, ({ stationId }) => {
      const index = indexById.get(stationId)
      if (index === undefined) throw new Error(`report of a station that is not listed: ${stationId}`)
      return index
    }),
    time: Float64Array.from(reports, ({ time }) => time),
    temperatureK: column('temperatureK'),
    temperatureStepK: column('temperatureStepK'),
    dewPointK: column('dewPointK'),
    relativeHumidity: column('relativeHumidity'),
    stationPressurePa: column('stationPressurePa'),
    seaLevelPressurePa: column('seaLevelPressurePa'),
    altimeterPa: column('altimeterPa'),
    windSpeedMps: column('windSpeedMps'),
    windFromDeg: column('windFromDeg'),
    windVariable: Uint8Array.from(reports, ({ windVariable }) => Number(windVariable)),
    windGustMps: column('windGustMps'),
    precipitationMm: rainSinceReportBefore(reports),
    roadWet: column('roadWet'),
    presentWeather: reports.map(({ presentWeather }) => presentWeather),
  }
}
