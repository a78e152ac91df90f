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

/** One row of runs.csv; every quantity is NaN where the cell is empty. */
export interface RunRow {
  line: number
  /** The table that it was made from, where that is a fuel log; null: runs.csv. */
  file: string | null
  /** As written: file name, or file name + `#n`. */
  track: string
  setup: string | null
  fuelLitres: number
  fuelKg: number
  energyKwh: number
  fuelTemperatureK: number
  tripComputerLitresPer100Km: number
  gaugeMarkM: number
  obdFuelLitres: number
  odometerM: number
  payloadKg: number
  tyrePressurePa: number
  accessoriesW: number
  /** State of charge at the drive's begin and end, 0 to 1. */
  socBefore: number
  socAfter: number
  fillGroup: string | null
  /** The driver's own note of the conditions. */
  temperatureK: number
  relativeHumidity: number
  windSpeedMps: number
  windFromDeg: number
  /** Where the drive begins and ends in its recording, as written: a clock time, an instant or a distance; or null. */
  from: string | null
  to: string | null
  /** `no`: the recording is one drive, whatever is found in it. */
  split: string | null
  /** Where the engine was off while standing, as written: windows or minutes; or null. */
  engineOff: string | null
  /** Windows that are cut out of the drive, as written (a ferry, a train, a charging stop); or null. */
  without: string | null
  /** `yes`: made with the campaign's vehicle, whatever its motion looks like; `no`: with another. */
  testVehicle: string | null
  /** What the vehicle is called, where several drove; or null. */
  vehicle: string | null
  /** `yes`: of the control vehicle, which is not changed and drives at the same time as the test vehicle. */
  control: string | null
  /** A reason to leave the run out, or null. */
  exclude: string | null
  note: string | null
  photo: string | null
  /** When the drive was, by the columns date and time: seconds since 1970 UTC, of a day its begin and end; null: not said. */
  when: { fromTime: number; toTime: number } | null
  /** A consumption that was measured, l/100 km: fuel over the distance of the row, or of the track. */
  consumptionLitresPer100Km: number
  /** Columns that are not known, as they are written. */
  extra: { name: string; text: string }[]
}

/** One row of a fuel log: a fill at a pump, or a charge. Every quantity is NaN where the cell is empty. */
export interface FillRow {
  line: number
  /** When it was made, seconds since 1970 UTC; of a row with a date alone the begin and the end of that day. */
  fromTime: number
  toTime: number
  odometerM: number
  /** Driven since the fill before. */
  tripM: number
  fuelLitres: number
  fuelKg: number
  /** At the meter of the charger. */
  energyKwh: number
  /** Into the battery, as the vehicle says. */
  batteryEnergyKwh: number
  fuelTemperatureK: number
  /** State of charge, 0 to 1. */
  socBefore: number
  socAfter: number
  /** Whether it was filled to the same level as always; null: not said. */
  full: boolean | null
  /** Whether a fill before this one is not in the log. */
  missed: boolean | null
  pump: string | null
  /** What was fitted since the fill before. */
  setup: string | null
  /** As written. */
  price: string | null
  note: string | null
  photo: string | null
}

export type VehicleClass =
  | 'small_car'
  | 'car'
  | 'suv'
  | 'van'
  | 'pickup'
  | 'motorhome'
  | 'truck'
  | 'motorcycle'
  | 'bicycle'
  | 'electric_bicycle'
  | 'velomobile'
  | 'efficiency_car'
  | 'solar_car'
/** `human`: what a power meter at the pedals reads is the energy. */
export type Powertrain = 'petrol' | 'diesel' | 'hybrid' | 'electric' | 'human'
export type TerrainClass = 'sea' | 'smooth' | 'open' | 'roughly_open' | 'rough' | 'very_rough' | 'closed' | 'chaotic'

/** The vehicle as stated in campaign.yaml; null where the class's default holds. Uncertainties are standard deviations. */
export interface VehicleSettings {
  class: VehicleClass | null
  /** Nobody stated the class: it was taken from the drives, which are those of some light vehicle. */
  isClassGuessed?: boolean
  massKg: number | null
  massUncertaintyKg: number | null
  dragAreaM2: number | null
  dragAreaUncertaintyM2: number | null
  rollingResistance: number | null
  rollingResistanceUncertainty: number | null
  powertrain: Powertrain | null
  referenceHeightM: number | null
  /** Measured coast-down F = a + b·V + c·V² at the stated reference conditions, N, N/(m/s), N/(m/s)²; null when absent. */
  coastDown: {
    aN: number
    bNPerMps: number
    cNPerMps2: number
    referenceTemperatureK: number
    referenceDensityKgM3: number
    /** Standard deviations; null or left out: not stated. */
    aSdN?: number | null
    cSdNPerMps2?: number | null
  } | null
}

/** The battery as stated in campaign.yaml; null where nothing is. Uncertainties are standard deviations. */
export interface BatterySettings {
  /** Usable. */
  capacityKwh: number | null
  capacitySdKwh: number | null
  /** Into the battery over out of the socket. */
  chargingEfficiency: { value: number; sd: number } | null
  /** Litres of fuel that a kilowatt hour of the battery stands for. */
  litresPerKwh: { value: number; sd: number } | null
}

export interface StationSettings {
  id: string
  latitude: number
  longitude: number
  elevationM: number
  anemometerHeightM: number
}

/** A stated place where drives begin and end. */
export interface GateSettings {
  name: string
  /** Line of its key in campaign.yaml; null where that is not known. */
  line: number | null
  latitude: number
  longitude: number
  radiusM: number
}

/** A place that no output shows: somebody's home. */
export interface PrivateSettings {
  name: string
  latitude: number
  longitude: number
  radiusM: number
}

/** A series of coast-downs in a log. */
export interface CoastDownSettings {
  name: string
  /** Line of its key in campaign.yaml; null where that is not known. */
  line: number | null
  track: string
  /** As written; null: wherever the log shows no power. */
  windows: string | null
  /** True; `all` for laps; null: as recorded. */
  headingDeg: number | 'all' | null
}

/** campaign.yaml, checked and in SI units, with the defaults filled in. */
export interface Campaign {
  title: string | null
  timeZone: string | null
  baseline: string | null
  marginPct: number
  vehicle: VehicleSettings
  battery: BatterySettings
  /** Setup name → parts fitted. */
  setups: Record<string, string[]>
  fuel: { fillRepeatabilityLitres: number | null; meterTolerancePct: number | null }
  stations: StationSettings[]
  /** None: where drives begin and end is found from the recordings. */
  gates: GateSettings[]
  /** Where the driving of a fuel log mostly was: whose weather it had. */
  place: { latitude: number; longitude: number } | null
  /** No output shows what lies so near to where other driving begins or ends, m; 0: it is shown. */
  privateEndsRadiusM: number
  /** Places that no output shows. */
  private: PrivateSettings[]
  coastDowns: CoastDownSettings[]
  terrain: TerrainClass
  /** Ids of published test procedures to hold runs against. */
  limits: string[]
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
