/** What the readers hand on: plain values, columns of one length, NaN for "not recorded". No physics here. */

/**
 * What loggers write beside the positions, in the unit that the name ends in: speed over ground or of the wheels, fuel and
 * air into the engine, fuel used since some begin, the battery's terminals (current and power positive out of the battery),
 * energy taken from it since some begin, its charge (0 to 1), the air outside, the odometer, the engine's speed.
 */
export const LOGGED_QUANTITIES = [
  'speedMps',
  'fuelRateLps',
  'fuelRateKgps',
  'massAirFlowKgps',
  'fuelUsedL',
  'batteryVoltageV',
  'batteryCurrentA',
  'powerW',
  'energyUsedWh',
  'stateOfCharge',
  'ambientTemperatureK',
  'odometerM',
  'engineSpeedRpm',
] as const

export type LoggedQuantity = (typeof LOGGED_QUANTITIES)[number]

/** One logged quantity of a track: a value for each row of it, NaN where none was recorded. */
export interface LoggedColumn {
  values: Float64Array
  /** As the file calls it. */
  name: string
}

export type LoggedColumns = Partial<Record<LoggedQuantity, LoggedColumn>>

/** One recording of a file, rows in the file's order, nothing repaired. */
export interface TrackColumns {
  name: string | null
  /** 1-based position of the track in its file. */
  index: number
  /** Seconds since 1970-01-01T00:00:00Z. */
  time: Float64Array
  /** Degrees north, WGS 84, as written (possibly out of range). */
  latitude: Float64Array
  /** Degrees east. */
  longitude: Float64Array
  /** Metres, whatever datum the device used. */
  elevation: Float64Array
  /** What was recorded beside the positions; empty of a file that holds nothing else. */
  logged: LoggedColumns
  /** Row at which each segment begins; the first is 0. Empty segments are left out. */
  segmentStart: Uint32Array
  /** How many times were written without a zone (read as UTC). */
  zonelessTimes: number
}

/** A named place: degrees, metres above mean sea level, seconds since 1970 in UTC; NaN where not recorded. */
export interface Waypoint {
  name: string | null
  latitude: number
  longitude: number
  elevation: number
  time: number
}

/** A file of tracks as columns. */
export interface TrackFile {
  /** The kind of its reader. */
  format: string
  /** The `version` attribute as written, or null. */
  version: string | null
  creator: string | null
  tracks: TrackColumns[]
  waypoints: Waypoint[]
  routeCount: number
}

/** Where observations were made. */
export interface Station {
  /** ICAO code, WMO/USAF-WBAN number or the file's own name; unique within one file. */
  id: string
  /** Degrees; NaN when the file does not say (looked up later in campaign.yaml, then in the ICAO table). */
  latitude: number
  longitude: number
  /** Metres above mean sea level; NaN when unknown. */
  elevationM: number
  /** Standard deviation of a height that was taken from terrain or neighbours, m; absent where the height was stated. */
  elevationSdM?: number
  /** Metres above ground; NaN when not stated (10 m is then taken). */
  anemometerHeightM: number
  /** True for a table without positions: a logger that travels with the car. */
  onRoad: boolean
  /**
   * `note`: a driver's own remark in runs.csv, with wide uncertainty. `model`: what a weather model computed for a cell of
   * its grid. `forecast`: times ahead.
   */
  quality: 'instrument' | 'note' | 'model' | 'forecast'
}

/** A station's place as a list of stations states it. */
export interface StationListing {
  id: string
  /** Degrees. */
  latitude: number
  longitude: number
  /** Metres above mean sea level; NaN when unknown. */
  elevationM: number
  /** Above ground, m; absent where the list does not say. */
  anemometerHeightM?: number
  /** First and last day at this place, seconds since 1970 UTC; NaN where the list does not say. */
  from: number
  to: number
}

/** Weather observations of one file: a table of stations and columns of one length. */
export interface Observations {
  stations: Station[]
  count: number
  /** Index into `stations`. */
  station: Int32Array
  /** Seconds since 1970 UTC. */
  time: Float64Array
  temperatureK: Float64Array
  /** The step in which the temperature was reported, K (1 for a METAR body, 0.1 for its T-group); NaN unknown. */
  temperatureStepK: Float64Array
  dewPointK: Float64Array
  /** Over water, 0 to 1. */
  relativeHumidity: Float64Array
  stationPressurePa: Float64Array
  seaLevelPressurePa: Float64Array
  /** QNH: the sea-level pressure of the ICAO standard atmosphere that gives the station's pressure. */
  altimeterPa: Float64Array
  windSpeedMps: Float64Array
  /** Degrees true, where the wind comes from; NaN when missing, variable or calm. */
  windFromDeg: Float64Array
  /** 1 where the report says that the direction varies (VRB). */
  windVariable: Uint8Array
  windGustMps: Float64Array
  /** Millimetres since the last report of that station, as reported. */
  precipitationMm: Float64Array
  /** 1 wet, 0 dry, NaN not said. */
  roadWet: Float64Array
  /** Present-weather groups as reported ("-RA BR"), '' for none reported, null for not observed. */
  presentWeather: (string | null)[]
  /** Where stations of other files are, from a list of stations. */
  places?: StationListing[]
}

/** The columns of `Observations` that hold one number per observation. */
export const MEASURED = [
  'temperatureK',
  'temperatureStepK',
  'dewPointK',
  'relativeHumidity',
  'stationPressurePa',
  'seaLevelPressurePa',
  'altimeterPa',
  'windSpeedMps',
  'windFromDeg',
  'windGustMps',
  'precipitationMm',
  'roadWet',
] as const

export type Measured = (typeof MEASURED)[number]
