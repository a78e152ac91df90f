import { kelvinFromCelsius } from '../../../base/units.ts'
import { decodeMetar } from '../metar/metar-groups.ts'
import { automaticWeather, mannedWeather, reportedWeather } from '../metar/present-weather.ts'
import { emptyStationReport, type StationReport } from '../station-reports.ts'

/**
 * The coded fields of one record of NOAA's Integrated Surface Data, each split at its parts as the hourly CSV separates
 * them (`WND` "250,5,N,0015,5"); the fixed-width reader cuts the same parts.
 */
export interface IsdFields {
  /** Direction, its quality, type, speed in tenths of m/s, its quality. */
  wnd: string[]
  /** Tenths of °C, quality. */
  tmp: string[]
  dew: string[]
  /** Sea-level pressure, tenths of hPa, quality. */
  slp: string[]
  /** Altimeter setting, its quality, station pressure, its quality; tenths of hPa. */
  ma1: string[]
  /** Gust, tenths of m/s, quality. */
  oc1: string[]
  /** Groups AA1 to AA4: hours, tenths of mm, condition, quality. */
  aa: string[][]
  /** Groups MW1 to MW4: manned present weather code, quality. */
  mw: string[][]
  /** Groups AW1 to AW4: automated present weather code, quality. */
  aw: string[][]
  /** Groups AU1 to AU4, weather as reported: intensity, descriptor, precipitation, obscuration, other, combination, quality. */
  au: string[][]
  /** Free text, which holds the report as it was sent. */
  rem: string
}

/** How many values a file's quality codes took out. */
export interface QualityCount {
  dropped: number
}

const LONGEST_TOTAL_H = 3

/** Suspect or erroneous, by the sender's (2, 3) or NCEI's (6, 7) checks. */
const BAD_QUALITY = new Set(['2', '3', '6', '7'])

/**
 * Decodes one record. Missing values (all nines) are NaN; values of bad quality are NaN and counted.
 * @source NOAA NCEI, "Federal Climate Complex Data Documentation for Integrated Surface Data", mandatory and additional data
 *   sections (from memory, held against the METAR that each record carries)
 */
export function decodeIsd(fields: IsdFields, report: StationReport, count: QualityCount): StationReport {
  const good = (value: number, quality: string | undefined): number => {
    if (Number.isNaN(value) || !BAD_QUALITY.has(quality ?? '')) return value
    count.dropped++
    return Number.NaN
  }
  const [direction, directionQuality, windType, speed, speedQuality] = fields.wnd
  const [altimeter, altimeterQuality, pressure, pressureQuality] = fields.ma1
  const metar = metarIn(fields.rem)
  // Totals of 6, 12 or 24 hours would stand for rain that fell long before.
  const rain = fields.aa.find(([hours]) => Number(hours) <= LONGEST_TOTAL_H)
  const tenths = (part: string | undefined) => scaled(part, 10)
  return {
    ...report,
    windSpeedMps: good(tenths(speed), speedQuality),
    windFromDeg: windType === 'C' ? Number.NaN : good(scaled(direction, 1), directionQuality),
    // A type of V with a direction is a steady wind that turned; only one without is variable as METAR means it.
    windVariable: windType === 'V' && Number.isNaN(scaled(direction, 1)),
    windGustMps: good(tenths(fields.oc1[0]), fields.oc1[1]),
    temperatureK: kelvinFromCelsius(good(tenths(fields.tmp[0]), fields.tmp[1])),
    temperatureStepK: metar ? metar.temperatureStepK : 0.1,
    dewPointK: kelvinFromCelsius(good(tenths(fields.dew[0]), fields.dew[1])),
    seaLevelPressurePa: good(scaled(fields.slp[0], 0.1), fields.slp[1]),
    altimeterPa: good(scaled(altimeter, 0.1), altimeterQuality),
    stationPressurePa: good(scaled(pressure, 0.1), pressureQuality),
    precipitationMm: good(tenths(rain?.[1]), rain?.[3]),
    // Specials of one hour repeat the total of METAR's group P.
    rainIsHourlyTotal: Number(rain?.[0]) === 1,
    presentWeather: metar?.presentWeather ?? codedWeather(fields),
  }
}

/** A report that holds nothing but its station and time. */
export const isdReport = (stationId: string, time: number, line: number): StationReport =>
  emptyStationReport(stationId, time, line)

/** The number in a field, divided by its scale; NaN when it is blank or all nines. */
function scaled(part: string | undefined, scale: number): number {
  const written = part?.trim() ?? ''
  if (!/^[+-]?\d+$/.test(written) || /^[+-]?9+$/.test(written)) return Number.NaN
  return Number(written) / scale
}

/** The METAR or SPECI that a record's remarks carry, with its T-group and its weather as reported. */
function metarIn(rem: string) {
  // The section of original values follows without a space.
  const [remarks] = rem.split(/EQD(?=[A-Z]\d\d)/)
  const text = /(?:METAR|SPECI) (?:COR )?[A-Z][A-Z0-9]{3} \d{6}Z .*/.exec(remarks)?.[0]
  return text ? decodeMetar(text.replace(/\s+/g, ' ').replace(/=.*$/, '').trim()) : null
}

function codedWeather({ au, mw, aw }: IsdFields): string | null {
  if (au.length > 0) return reportedWeather(au)
  const codes = (groups: string[][]) => groups.filter(([, quality]) => !BAD_QUALITY.has(quality)).map(([code]) => code)
  if (mw.length > 0) return joined(codes(mw).map(mannedWeather))
  return aw.length > 0 ? joined(codes(aw).map(automaticWeather)) : null
}

const joined = (groups: string[]): string => [...new Set(groups.filter((group) => group !== ''))].join(' ')
