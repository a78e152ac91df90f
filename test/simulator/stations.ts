import { gaussMarkov, randomOf } from './random.ts'
import { vapourPressurePa, type Weather } from './weather.ts'

/**
 * A station as its owner describes it. Its own errors are drawn from its id: trees and buildings near it (14 % of the wind's
 * speed, 5° of its direction), and its instruments.
 */
export interface SimulatedStation {
  id: string
  latitudeDeg: number
  longitudeDeg: number
  elevationM: number
  /** Time between reports, 60 or 30 min for a METAR. */
  intervalMin: number
  /** Minute of the hour of the first report. */
  minutePast?: number
  /** Scale of the station's own errors; 1 as in nature, 0 for none. */
  errors?: number
}

/** What the station measured, before rounding, and the report's time. */
export interface Reading {
  timeS: number
  windSpeedMps: number
  windFromDeg: number
  gustMps: number
  temperatureC: number
  dewPointC: number
  stationPressureHpa: number
  altimeterHpa: number
  rainMmPerHour: number
  precipitationMm: number
}

export interface StationReports {
  readings: Reading[]
  /** FM 15 bodies, one a line, each behind a 12-digit UTC date (`YYYYMMDDhhmm`) if `dated`. */
  metar(dated?: boolean): string
  csv(options?: CsvOptions): string
}

const KNOTS_PER_MPS = 3600 / 1852

/** Reports of one station between two times (seconds since 1970 UTC, both included). */
export function stationReports(
  weather: Weather,
  station: SimulatedStation,
  fromS: number,
  toS: number,
): StationReports {
  const readings = readingsOf(weather, station, fromS, toS)
  return {
    readings,
    metar: (dated = true) =>
      readings
        .map((reading) => metarLine(station.id, reading, dated))
        .join('\n')
        .concat('\n'),
    csv: (options = {}) => csvText(station, readings, options),
  }
}

function readingsOf(weather: Weather, station: SimulatedStation, fromS: number, toS: number): Reading[] {
  const scale = station.errors ?? 1
  const own = randomOf(`${weather.seed}/station/${station.id}`)
  const bias = {
    windFactor: Math.exp(scale * 0.14 * own.normal()),
    windDeg: scale * 5 * own.normal(),
    temperatureK: scale * 0.25 * own.normal(),
    dewPointK: scale * 0.4 * own.normal(),
    pressureHpa: scale * 0.25 * own.normal(),
  }
  const gusts = [gaussMarkov(own), gaussMarkov(own)]
  const stepS = station.intervalMin * 60
  const first = Math.ceil((fromS - (station.minutePast ?? 0) * 60) / stepS) * stepS + (station.minutePast ?? 0) * 60
  const readings: Reading[] = []
  for (let timeS = first; timeS <= toS; timeS += stepS) {
    const { east, north } = tenMinuteMean(weather, station, timeS)
    const mean = Math.hypot(east, north)
    // What is left of turbulence (a quarter of the mean, 25 s long) in a 10 min mean.
    const left = scale * 0.25 * mean * Math.sqrt((2 * 25) / 600)
    const u = bias.windFactor * (east + left * gusts[0](stepS / 25))
    const v = bias.windFactor * (north + left * gusts[1](stepS / 25))
    const speed = Math.hypot(u, v)
    const air = weather.at(timeS, station.latitudeDeg, station.longitudeDeg, station.elevationM)
    const temperatureC = air.temperatureK - 273.15 + bias.temperatureK + scale * 0.1 * own.normal()
    const stationPressureHpa = air.pressurePa / 100 + bias.pressureHpa
    readings.push({
      timeS,
      windSpeedMps: speed,
      windFromDeg: ((((Math.atan2(-u, -v) * 180) / Math.PI + bias.windDeg) % 360) + 360) % 360,
      gustMps: speed * (1 + scale * (0.6 + 0.12 * Math.abs(own.normal()))),
      temperatureC,
      dewPointC: Math.min(temperatureC, air.dewPointK - 273.15 + bias.dewPointK),
      stationPressureHpa,
      altimeterHpa: altimeterHpa(stationPressureHpa, station.elevationM),
      rainMmPerHour: air.rainMmPerHour,
      precipitationMm: (air.rainMmPerHour * station.intervalMin) / 60,
    })
  }
  return readings
}

function tenMinuteMean(weather: Weather, station: SimulatedStation, timeS: number) {
  let east = 0
  let north = 0
  for (const back of [0, 150, 300, 450, 600]) {
    const air = weather.windAt(timeS - back, station.latitudeDeg, station.longitudeDeg)
    east += air.windEastMps / 5
    north += air.windNorthMps / 5
  }
  return { east, north }
}

/** QNH: station pressure brought to sea level through the ICAO standard atmosphere. */
function altimeterHpa(stationPressureHpa: number, elevationM: number): number {
  const exponent = 0.190263
  return (stationPressureHpa ** exponent + ((1013.25 ** exponent * 0.0065) / 288.15) * elevationM) ** (1 / exponent)
}

function metarLine(id: string, r: Reading, dated: boolean): string {
  const iso = new Date(r.timeS * 1000).toISOString()
  const stamp = iso.slice(0, 16).replace(/[-T:]/g, '')
  const rain = r.rainMmPerHour > 2.5 ? 'RA ' : r.rainMmPerHour > 0 ? '-RA ' : ''
  const sky = rain ? `7000 ${rain}BKN025` : '9999 SCT045'
  const body = `${id} ${stamp.slice(6)}Z ${windGroup(r)} ${sky} ${wholeDegrees(r.temperatureC)}/${wholeDegrees(r.dewPointC)} Q${String(Math.floor(r.altimeterHpa)).padStart(4, '0')}`
  return `${dated ? `${stamp} ` : ''}METAR ${body}=`
}

/** Calm below 1 kt, variable up to 2 kt, gusts where they exceed the mean by 10 kt. */
function windGroup(r: Reading): string {
  const two = (value: number, digits = 2) => String(value).padStart(digits, '0')
  const knots = Math.round(r.windSpeedMps * KNOTS_PER_MPS)
  const gust = Math.round(r.gustMps * KNOTS_PER_MPS)
  if (knots < 1) return '00000KT'
  if (knots <= 2) return `VRB${two(knots)}KT`
  const tens = Math.round(r.windFromDeg / 10) * 10
  return `${two(tens === 0 ? 360 : tens, 3)}${two(knots)}${gust >= knots + 10 ? `G${two(gust)}` : ''}KT`
}

function wholeDegrees(celsius: number): string {
  const whole = Math.round(celsius)
  return `${celsius < 0 && whole <= 0 ? 'M' : ''}${String(Math.abs(whole)).padStart(2, '0')}`
}

/** What a table of observations carries besides the measured columns. */
export interface CsvOptions {
  /** False leaves out where the station stands. */
  positions?: boolean
  /** False leaves out what fell. */
  precipitation?: boolean
  /** A road-weather station: wet while it rains and until the next report after it. */
  roadWet?: boolean
}

const POSITION_COLUMNS = ['lat', 'lon', 'elevation_m', 'anemometer_height_m']
const MEASURED_COLUMNS = [
  'temperature_c',
  'relative_humidity_pct',
  'station_pressure_hpa',
  'wind_speed_mps',
  'wind_from_deg',
  'wind_gust_mps',
  'precipitation_mm',
]

function csvText(station: SimulatedStation, readings: Reading[], options: CsvOptions): string {
  const { positions = true, precipitation = true, roadWet = false } = options
  const told = precipitation ? MEASURED_COLUMNS : MEASURED_COLUMNS.slice(0, -1)
  const header = ['time', 'station', ...(positions ? POSITION_COLUMNS : []), ...told]
  const place = positions ? [station.latitudeDeg, station.longitudeDeg, station.elevationM, 10] : []
  const rows = readings.map((r, i) => {
    const wet = r.rainMmPerHour > 0 || (i > 0 && readings[i - 1].rainMmPerHour > 0)
    const iso = new Date(r.timeS * 1000).toISOString()
    return [
      `${iso.slice(0, 16)}Z`,
      station.id,
      ...place,
      ...measured(r).slice(0, told.length),
      ...(roadWet ? [wet] : []),
    ].join(',')
  })
  return [[...header, ...(roadWet ? ['road_wet'] : [])].join(','), ...rows].join('\n').concat('\n')
}

function measured(r: Reading): (string | number)[] {
  return [
    r.temperatureC.toFixed(1),
    Math.round((100 * vapourPressurePa(r.dewPointC + 273.15)) / vapourPressurePa(r.temperatureC + 273.15)),
    r.stationPressureHpa.toFixed(1),
    r.windSpeedMps.toFixed(1),
    Math.round(r.windFromDeg) % 360,
    r.gustMps.toFixed(1),
    r.precipitationMm.toFixed(1),
  ]
}
