import {
  kelvinFromCelsius,
  MPS_PER_KMH,
  MPS_PER_KNOT,
  PASCALS_PER_INHG,
  PASCALS_PER_MMHG,
} from '../../../base/units.ts'
import type { Measured } from '../../types.ts'

/** One decoded METAR or SPECI; NaN where the report does not say. */
export interface MetarGroups {
  /** ICAO code. */
  station: string
  /** Day of the month, hour and minute, UTC. */
  day: number
  hour: number
  minute: number
  corrected: boolean
  automatic: boolean
  /** The station sent no observation. */
  nil: boolean
  windSpeedMps: number
  /** Degrees true, where it comes from; NaN when missing, variable or calm. */
  windFromDeg: number
  windVariable: boolean
  /** True where the speed is given as "more than" (P49MPS); the speed is then that bound. */
  windAboveRange: boolean
  windGustMps: number
  /** A group with a unit of speed that is no wind, in a report without another; null elsewhere. */
  windUnreadable: string | null
  /** Extremes of a direction that varies by 60 degrees or more, clockwise; null when not reported. */
  windSectorDeg: [from: number, to: number] | null
  temperatureK: number
  /** 0.1 where the remark carries tenths (T-group), else 1; NaN without a temperature. */
  temperatureStepK: number
  dewPointK: number
  /** As reported: a Q group is whole hectopascals rounded down, an A group hundredths of an inch of mercury. */
  altimeterPa: number
  seaLevelPressurePa: number
  /** Pressure at the aerodrome's elevation (QFE remark). */
  stationPressurePa: number
  /** Since the last hourly report (P remark). */
  precipitationMm: number
  presentWeather: string | null
}

/** What a report measures, as fields of a weather file. */
export const METAR_MEASURED = [
  'temperatureK',
  'dewPointK',
  'altimeterPa',
  'seaLevelPressurePa',
  'stationPressurePa',
  'windSpeedMps',
  'windFromDeg',
  'windGustMps',
  'precipitationMm',
] as const satisfies readonly (keyof MetarGroups & Measured)[]

const HEADER = /^(?:(?:METAR|SPECI) )?(?:(COR) )?([A-Z][A-Z0-9]{3}) (?:(COR) )?(\d\d)(\d\d)(\d\d)Z?(?: |$)/
const WIND = /^(\d{3}|VRB|\/\/\/)(P?\d{2,3}|\/\/)(?:G(P?\d{2,3}|\/\/))?(KT|MPS|KMH|KPH)$/
const LIKE_WIND = /^[^/\s]*\d[^/\s]*(?:KT|MPS|KMH|KPH)$/
const SECTOR = /^(\d{3})V(\d{3})$/
const TEMPERATURES = /^(M?\d\d|\/\/|XX)\/(M?\d\d|\/\/|XX)?$/
const TENTHS = /^T([01])(\d{3})(?:([01])(\d{3}))?$/
const WEATHER =
  /^(?:[+-]|VC|RE)?(?=[A-Z])(?:MI|PR|BC|DR|BL|SH|TS|FZ)?(?:DZ|RA|SN|SG|IC|PL|GR|GS|UP|BR|FG|FU|VA|DU|SA|HZ|PY|PO|SQ|FC|SS|DS)*$/
/** From here on a report no longer tells what was observed now. */
const TREND = /^(?:NOSIG|BECMG|TEMPO|INTER|PROB\d\d|FM\d{4,6})$/

/** Half a degree of rounding and a tenth for rounding half up or away from zero. */
const T_GROUP_AGREES_K = 0.6

/**
 * A setting in whole hectopascals is rounded down (ICAO Annex 3, from memory) or, in some countries, to the nearest: half a
 * hectopascal above it, the exact one is at most a whole one away, and a hundredth of an inch is another 0.2.
 */
const HALF_HECTOPASCAL_PA = 50
const ALTIMETER_AGREES_PA = 120

const MPS_PER: Record<string, number> = { KT: MPS_PER_KNOT, MPS: 1, KMH: MPS_PER_KMH, KPH: MPS_PER_KMH }
const PASCALS_PER_HUNDREDTH_INHG = PASCALS_PER_INHG / 100
const MILLIMETRES_PER_HUNDREDTH_INCH = 0.254

/**
 * Decodes one METAR or SPECI, without its terminator, words separated by single spaces.
 *
 * Own decoder, because the library at hand reads km/h as knots, leaves tenths, sea-level pressure and precipitation in the
 * remarks as text, and gives up a whole report over one unknown group; here an unknown group is passed over.
 * @returns null where the text does not begin with a station and a time, or a time that cannot be
 * @source WMO-No. 306, Manual on Codes, vol. I.1, FM 15/16; US Federal Meteorological Handbook No. 1, chapter 12 (remarks)
 */
export function decodeMetar(text: string): MetarGroups | null {
  const header = HEADER.exec(text)
  if (!header) return null
  const [day, hour, minute] = header.slice(4, 7).map(Number)
  if (day < 1 || day > 31 || hour > 23 || minute > 59) return null

  const words = text.slice(header[0].length).split(' ')
  const remarkAt = words.indexOf('RMK')
  const body = remarkAt < 0 ? words : words.slice(0, remarkAt)
  const trendAt = body.findIndex((word) => TREND.test(word))
  const now = trendAt < 0 ? body : body.slice(0, trendAt)
  const remarks = remarkAt < 0 ? [] : words.slice(remarkAt + 1)

  return {
    station: header[2],
    day,
    hour,
    minute,
    corrected: header[1] !== undefined || header[3] !== undefined || now.slice(0, 2).some(isCorrection),
    automatic: now.includes('AUTO'),
    nil: now.includes('NIL'),
    ...windOf(now),
    ...temperaturesOf(now, remarks),
    ...pressuresOf(body, remarks),
    precipitationMm: precipitationOf(remarks),
    presentWeather: presentWeatherOf(now, remarks),
  }
}

const isCorrection = (word: string): boolean => word === 'COR' || /^CC[A-Z]$/.test(word)

function windOf(words: string[]) {
  const wind = firstMatch(words, WIND)
  const [, direction, speed, gust, unit] = wind ?? []
  const perUnit = MPS_PER[unit] ?? Number.NaN
  // Without a unit (22005) the speed cannot be told, unless it is calm.
  const windSpeedMps = words.includes('00000') ? 0 : numberIn(speed) * perUnit
  const hasDirection = direction !== undefined && /^\d/.test(direction) && windSpeedMps > 0
  const sector = firstMatch(words, SECTOR)
  return {
    windSpeedMps,
    windFromDeg: hasDirection ? Number(direction) : Number.NaN,
    windVariable: direction === 'VRB',
    windAboveRange: [speed, gust].some((value) => value?.startsWith('P')),
    windGustMps: numberIn(gust) * perUnit,
    windUnreadable: wind ? null : (firstMatch(words, LIKE_WIND)?.[0] ?? null),
    windSectorDeg: sector ? ([Number(sector[1]), Number(sector[2])] as [number, number]) : null,
  }
}

function temperaturesOf(body: string[], remarks: string[]) {
  const [, air, dew] = firstMatch(body, TEMPERATURES) ?? []
  const tenths = firstMatch(remarks, TENTHS)
  const fine = tenths ? signedTenths(tenths[1], tenths[2]) : Number.NaN
  const fineDew = tenths?.[4] ? signedTenths(tenths[3], tenths[4]) : Number.NaN
  const contradicts = (exact: number, whole: number): boolean => Math.abs(exact - whole) > T_GROUP_AGREES_K
  // A T-group that does not round to the body's degrees, of the air or the dew point, is a mistake: the body counts.
  const isWrong = contradicts(fine, wholeDegrees(air)) || contradicts(fineDew, wholeDegrees(dew))
  const isFine = !isWrong && !Number.isNaN(fine)
  const celsius = isFine ? fine : wholeDegrees(air)
  const dewCelsius = isFine && !Number.isNaN(fineDew) ? fineDew : wholeDegrees(dew)
  // Five-minute reports of the MADIS feed carry whole degrees, written as a T-group with zero tenths.
  // @source Iowa Environmental Mesonet, docs/datasets/metar.md (HF-METAR)
  const step = isFine && !remarks.includes('MADISHF') ? 0.1 : 1
  return {
    temperatureK: kelvinFromCelsius(celsius),
    temperatureStepK: Number.isNaN(celsius) ? Number.NaN : step,
    dewPointK: kelvinFromCelsius(dewCelsius),
  }
}

function pressuresOf(body: string[], remarks: string[]) {
  const hectopascals = firstMatch(body, /^(?:Q|QNH)(\d{3,4})$/)?.[1] ?? wordAfter(body, 'QNH')
  const wholePa = numberIn(hectopascals) * 100
  const inches = firstMatch(body, /^A(\d{4})$/)
  // Some countries repeat the setting in the remark in the finer unit; an A group there may also be something else.
  const repeated = firstMatch(remarks, /^A(\d{4})$/)
  const repeatedPa = repeated ? Number(repeated[1]) * PASCALS_PER_HUNDREDTH_INHG : Number.NaN
  const isOther = Math.abs(repeatedPa - wholePa - HALF_HECTOPASCAL_PA) > ALTIMETER_AGREES_PA
  const remarkPa = isOther || !repeated ? wholePa : repeatedPa
  const seaLevel = firstMatch(remarks, /^SLP(\d{3})$/)
  const atAerodrome = firstMatch(remarks, /^QFE(\d{3,4})(?:[.,]\d)?(?:\/(\d{3,4}))?$/)
  return {
    altimeterPa: inches ? Number(inches[1]) * PASCALS_PER_HUNDREDTH_INHG : remarkPa,
    seaLevelPressurePa: seaLevel ? seaLevelPascals(Number(seaLevel[1])) : Number.NaN,
    stationPressurePa: atAerodrome ? aerodromePascals(atAerodrome[1], atAerodrome[2]) : Number.NaN,
  }
}

/** Tens, units and tenths of hPa: 125 is 1012.5, 862 is 986.2. @source Federal Meteorological Handbook No. 1, 12.7.1 */
const seaLevelPascals = (code: number): number => (code < 500 ? 100_000 : 90_000) + code * 10

/** Millimetres of mercury, or hectopascals after a slash. */
function aerodromePascals(first: string, second: string | undefined): number {
  if (second) return Number(second) * 100
  return Number(first) < 850 ? Number(first) * PASCALS_PER_MMHG : Number(first) * 100
}

function precipitationOf(remarks: string[]): number {
  return numberIn(firstMatch(remarks, /^P(\d{4})$/)?.[1]) * MILLIMETRES_PER_HUNDREDTH_INCH
}

/**
 * Present and recent (`RERA`) weather: '' where it was looked for and none found; null where the sensor is missing (`//`),
 * does not work (`PWINO` in the remarks) or the report ends early.
 */
function presentWeatherOf(now: string[], remarks: string[]): string | null {
  if (now.includes('NIL') || now.includes('//')) return null
  const told = now.filter((word) => word.split('/').every((part) => WEATHER.test(part))).join(' ')
  return told === '' && remarks.includes('PWINO') ? null : told
}

const wordAfter = (words: string[], before: string): string | undefined =>
  words.includes(before) ? words[words.indexOf(before) + 1] : undefined

function firstMatch(words: string[], pattern: RegExp): RegExpExecArray | null {
  for (const word of words) {
    const match = pattern.exec(word)
    if (match) return match
  }
  return null
}

const numberIn = (digits: string | undefined): number => {
  const match = digits === undefined ? null : /^P?(\d+)$/.exec(digits)
  return match ? Number(match[1]) : Number.NaN
}

const wholeDegrees = (written: string | undefined): number =>
  written?.startsWith('M') ? -numberIn(written.slice(1)) : numberIn(written)

const signedTenths = (sign: string, digits: string): number => ((sign === '1' ? -1 : 1) * Number(digits)) / 10
