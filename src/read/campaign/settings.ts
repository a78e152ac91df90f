import type { Place } from '../../base/place.ts'
/** What campaign.yaml says, in SI. */

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
  /** Standard deviation of one charge, kilowatt hours; null: a share of the charge. */
  chargeSdKwh: number | null
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
  /** What the vehicle is called. */
  vehicleName: string | null
  vehicle: VehicleSettings
  battery: BatterySettings
  /** Setup name → parts fitted. */
  setups: Record<string, string[]>
  fuel: { fillRepeatabilityLitres: number | null; meterTolerancePct: number | null }
  stations: StationSettings[]
  /** None: where drives begin and end is found from the recordings. */
  gates: GateSettings[]
  /** Where the driving of a fuel log mostly was: whose weather it had. */
  place: Place | null
  /** No output shows what lies so near to where other driving begins or ends, m; 0: it is shown. */
  privateEndsRadiusM: number
  /** Places that no output shows. */
  private: PrivateSettings[]
  coastDowns: CoastDownSettings[]
  /** Recordings whose latitude and longitude are exchanged, or `all`; the line of the key, null where that is not known. */
  exchangedPositions: { names: string[]; line: number | null }
  terrain: TerrainClass
  /** Ids of published test procedures to hold runs against. */
  limits: string[]
}
