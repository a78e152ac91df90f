import { airDensityKgM3 } from '../air/density.ts'
import { windProfileFactor } from '../air/profile.ts'
import { kelvinFromCelsius, MPS_PER_KMH, MPS_PER_MPH } from '../base/units.ts'

/**
 * Weather limits of published road-test procedures, and a run held against them. This is information, not certification:
 * a run within these lines has not met the procedure, which asks for much more than weather. Only figures seen in a source
 * are here; "second-hand" marks a summary of the procedure by others. Left out because their text was not seen: UN GTR 15
 * and ISO 10521-1. Left out because they are not about one run's weather: limits on grade, track length, the number of runs
 * and the change of wind from run to run.
 */
export type ProcedureId =
  | 'sae-j1321-2012'
  | 'epa-j1321-interim-1986'
  | 'sae-j1263-2010'
  | 'cfr-1066-310'
  | 'un-r83-road'

/** The conditions of a run that a limit can bear on. NaN or left out: not known. */
export interface RunConditions {
  meanWindMps?: number
  /** Highest gust. */
  gustMps?: number
  /** Of either sign. */
  meanCrosswindMps?: number
  /** Height above ground at which the three wind figures hold. */
  windHeightM?: number
  /** Of the terrain between that height and a procedure's own: brings mean winds to it by the logarithmic law. */
  roughnessM?: number
  temperatureK?: number
  densityKgM3?: number
  precipitationMm?: number
  /** 1 wet, 0 dry. */
  roadWet?: number
  /** Highest point of the run above mean sea level. */
  highestElevationM?: number
}

export type Measured = Exclude<keyof RunConditions, 'windHeightM' | 'roughnessM'>

export interface LimitLine {
  quantity: string
  condition: Measured
  /** The limit in words, in the source's units and in ours. */
  limit: string
  atLeast?: number
  atMost?: number
  below?: number
  /** Height above the road at which the procedure measures wind, where the source says so. */
  windHeightM?: number
}

export interface Procedure {
  title: string
  source: string
  lines: LimitLine[]
}

/** A value as it was held against a limit. */
export interface LimitReading {
  condition: Measured
  /** In the unit of its condition. */
  value: number
  /** Of a wind: the height that it holds at; null where it is not known, or for another condition. */
  heightM: number | null
  /** Of a wind: the same at the procedure's height; null where it was not brought there. */
  brought: { value: number; heightM: number } | null
  /** The procedure asks for a height, and that of the value is not known. */
  heightUnknown: boolean
}

/** One line of a procedure held against a run. */
export interface LimitResult {
  procedure: string
  quantity: string
  limit: string
  /** null where the value is not known. */
  reading: LimitReading | null
  /** null where it cannot be told. */
  ok: boolean | null
}

const UN_R83_WIND_HEIGHT_M = 0.7
const UN_R83_REFERENCE_DENSITY = airDensityKgM3(293.2, 100000, 0)

const dryRoad: LimitLine = { quantity: 'road surface', condition: 'roadWet', limit: 'dry', atMost: 0 }

export const procedures: Record<ProcedureId, Procedure> = {
  'sae-j1321-2012': {
    title: 'SAE J1321 (February 2012), fuel consumption test procedure, type II',
    source: 'excerpt of the document, m.mydoc123.com/p-1026264.html',
    lines: [
      atMostMph('mean wind', 'meanWindMps', 12),
      {
        quantity: 'gusts',
        condition: 'gustMps',
        limit: 'shorter than 2 s, below 6.71 m/s (15 mph)',
        below: 15 * MPS_PER_MPH,
      },
      temperatureRange('4.4 to 37.8 °C (40 to 100 °F)', 40 / 9, 340 / 9),
    ],
  },
  'epa-j1321-interim-1986': {
    title: 'EPA interim modification of SAE J1321 (October 1986)',
    source: 'US EPA, nepis.epa.gov, document P1004T21',
    lines: [
      atMostMph('mean wind', 'meanWindMps', 12),
      atMostMph('gusts', 'gustMps', 15),
      temperatureRange('20 to 30 °C (68 to 86 °F)', 20, 30),
      { quantity: 'altitude', condition: 'highestElevationM', limit: 'at most 1219 m (4000 ft)', atMost: 1219.2 },
      { quantity: 'precipitation', condition: 'precipitationMm', limit: 'none', atMost: 0 },
      dryRoad,
    ],
  },
  'sae-j1263-2010': {
    title: 'SAE J1263 (2010), road load measurement by coast-down',
    source: 'summary at tnlab.org (second-hand)',
    lines: [
      {
        quantity: 'mean wind',
        condition: 'meanWindMps',
        limit: 'at most 4.44 m/s (16 km/h)',
        atMost: 16 * MPS_PER_KMH,
      },
      {
        quantity: 'mean crosswind',
        condition: 'meanCrosswindMps',
        limit: 'at most 2.22 m/s (8 km/h)',
        atMost: 8 * MPS_PER_KMH,
      },
      temperatureRange('5 to 35 °C', 5, 35),
      dryRoad,
    ],
  },
  'cfr-1066-310': {
    title: '40 CFR 1066.310, coast-down of heavy vehicles',
    source: 'US Code of Federal Regulations, 40 CFR 1066.310 (a recommendation for the forecast)',
    lines: [atMostMph('mean wind (recommended)', 'meanWindMps', 6)],
  },
  'un-r83-road': {
    title: 'UN Regulation 83 / Directive 70/220/EEC, resistance to progress on the road',
    source: 'German text of the regulation, regelwerke.vbg.de, nstvzo_533_',
    lines: [
      {
        quantity: 'mean wind',
        condition: 'meanWindMps',
        limit: 'at most 3 m/s, 0.7 m above the road',
        atMost: 3,
        windHeightM: UN_R83_WIND_HEIGHT_M,
      },
      {
        quantity: 'gusts',
        condition: 'gustMps',
        limit: 'below 5 m/s, 0.7 m above the road',
        below: 5,
        windHeightM: UN_R83_WIND_HEIGHT_M,
      },
      {
        quantity: 'mean crosswind',
        condition: 'meanCrosswindMps',
        limit: 'below 2 m/s, 0.7 m above the road',
        below: 2,
        windHeightM: UN_R83_WIND_HEIGHT_M,
      },
      {
        quantity: 'air density',
        condition: 'densityKgM3',
        limit: '1.099 to 1.278 kg/m³ (within 7.5 % of that at 100 kPa and 293.2 K)',
        atLeast: UN_R83_REFERENCE_DENSITY * 0.925,
        atMost: UN_R83_REFERENCE_DENSITY * 1.075,
      },
      dryRoad,
    ],
  },
}

function atMostMph(quantity: string, condition: Measured, mph: number): LimitLine {
  const mps = mph * MPS_PER_MPH
  return { quantity, condition, limit: `at most ${mps.toFixed(2)} m/s (${mph} mph)`, atMost: mps }
}

function temperatureRange(limit: string, lowC: number, highC: number): LimitLine {
  return {
    quantity: 'temperature',
    condition: 'temperatureK',
    limit,
    atLeast: kelvinFromCelsius(lowC),
    atMost: kelvinFromCelsius(highC),
  }
}

/** Whether a text, as written in a setting, is the id of a procedure. */
export function isProcedureId(text: string): text is ProcedureId {
  return Object.hasOwn(procedures, text)
}

/**
 * One run held against a published procedure's weather limits, line by line. Information, not certification.
 *
 * Where the procedure says at which height it measures wind and the figures hold at another, a mean wind is brought there by
 * the logarithmic law if the roughness is given. Otherwise, and always for gusts, only what is sure is said: wind grows with
 * height, so a wind within the limit higher up is within it lower down; the rest stays open (`ok` null).
 */
export function holdAgainst(procedureId: ProcedureId, conditions: RunConditions): LimitResult[] {
  return procedures[procedureId].lines.map((line) => {
    const { quantity, limit } = line
    const known = conditions[line.condition] ?? Number.NaN
    const measured = line.condition === 'meanCrosswindMps' ? Math.abs(known) : known
    if (Number.isNaN(measured)) return { procedure: procedureId, quantity, limit, reading: null, ok: null }
    return { procedure: procedureId, quantity, limit, ...judge(line, measured, conditions) }
  })
}

function judge(line: LimitLine, value: number, conditions: RunConditions): Pick<LimitResult, 'reading' | 'ok'> {
  const { condition, windHeightM: wantedM } = line
  const stated: LimitReading = { condition, value, heightM: null, brought: null, heightUnknown: false }
  if (!isWind(condition)) return { reading: stated, ok: isWithin(line, value) }
  const heightM = conditions.windHeightM ?? Number.NaN
  const reading = { ...stated, heightM: Number.isNaN(heightM) ? null : heightM }
  if (wantedM === undefined || wantedM === heightM) return { reading, ok: isWithin(line, value) }
  if (Number.isNaN(heightM)) return { reading: { ...reading, heightUnknown: true }, ok: null }
  const factor = windProfileFactor(wantedM, heightM, conditions.roughnessM ?? Number.NaN)
  if (condition !== 'gustMps' && !Number.isNaN(factor)) {
    const there = value * factor
    return { reading: { ...reading, brought: { value: there, heightM: wantedM } }, ok: isWithin(line, there) }
  }
  const within = isWithin(line, value)
  return { reading, ok: within === heightM > wantedM ? within : null }
}

function isWind(condition: Measured): boolean {
  return condition === 'meanWindMps' || condition === 'gustMps' || condition === 'meanCrosswindMps'
}

function isWithin({ atLeast, atMost, below }: LimitLine, value: number): boolean {
  return !(value < (atLeast ?? value) || value > (atMost ?? value) || (below !== undefined && value >= below))
}
