import type { BatterySettings, Powertrain } from '../read/campaign/settings.ts'
import type { RunRow } from '../read/runs/rows.ts'

/** What a claim needs to know of one run: a drive with its fuel and the demand of the unchanged vehicle over it. */
export interface FuelRun {
  id: string
  /** Index of its route: claims are made within a route. */
  route: number
  /** null where runs.csv does not say. */
  setup: string | null
  /** Seconds since 1970 UTC. */
  startTime: number
  endTime: number
  /** Of the campaign's clock at its start, seconds east of UTC; left out: the campaign names no zone, so that it is UTC. */
  utcOffsetS?: number
  /** By GPS, along the ellipsoid. */
  distanceM: number
  /** Its row of runs.csv: fuel, evidence, odometer, fill group, remarks. */
  row: RunRow
  /** What the vehicle's own log gives, where runs.csv gives none; NaN where it gives none either. */
  logged?: { fuelLitres: number; energyKwh: number }
  /**
   * K draws of the unchanged vehicle's energy per distance, J/m, with draws shared between runs (see demand/ensemble);
   * null when temperature or wind is missing: such a run counts in the raw change only.
   */
  demandDraws: Float64Array | null
  /** Names of the draws that these are made from; left out: nobody knows. */
  drawnFrom?: readonly string[]
  /** At the best estimates, J/m. */
  nominalDemandJPerM: number
  /** The part of `nominalDemandJPerM` that the drag takes, J/m: for the sense check. NaN where unknown. */
  nominalDragJPerM: number
  /** The spell of weather of a drive whose road may have been wet without anybody saying so; left out or null: it is known. */
  doubtfulSpell?: string | null
  /** Why the run is left out of every claim, or null. */
  leftOut: LeftOut | null
  /** Errors of what the battery's charge makes of its energy or fuel; left out: it makes nothing of it. */
  batteryErrors?: readonly NamedError[]
  /** How its fuel follows from a fuel log; left out: its row says what it used. */
  log?: LogFuel
}

/** Fuel that was measured between two fills of a log, of which a run has the whole or a share. */
export interface LogFuel {
  /** Names of the fills at its begin and end: two runs that share a fill share its error, with opposite signs. */
  openingFill: string
  closingFill: string
  /** All that was used between them, in the unit of the row's fuel. */
  whole: number
  /** Where it was filled in, with the shares of each pump, which add up to 1. */
  pumps: { name: string; share: number }[]
  /** K draws of the error of the logarithm of the share; null where the run has the whole. */
  shareErrors: Float64Array | null
}

/** Why a run does not count in a claim. */
export type LeftOut =
  /** In the user's own words: runs.csv `exclude`. */
  | { code: 'stated'; note: string }
  /**
   * It drove a part of the road, or a detour; its road was wet or dry where the baseline's was not; it has no fuel, no
   * wind or temperature, fuel in another unit than the others, or is another vehicle's.
   */
  | { code: 'part' | 'detour' | 'wet' | 'dry' | 'no-fuel' | 'no-conditions' | 'other-unit' | 'other-vehicle' }
  | ({ code: 'impossible-fuel' } & ImpossibleFuel)

/** Fuel that no vehicle uses on such a drive. */
export interface ImpossibleFuel {
  amount: number
  unit: 'l' | 'kg' | 'kWh'
  distanceM: number
  per100Km: number
  /** What is possible, per 100 km. */
  low: number
  high: number
  /** Middle of the other runs of the road, per 100 km, where that is what it departs from; null otherwise. */
  usual: number | null
}

/** An estimate with its 95 % interval, in percent. */
export interface Interval95 {
  estimate: number
  low95: number
  high95: number
}

/** What campaign.yaml and the user say about the way of measuring and claiming. */
export interface ClaimSettings {
  /** Setup → parts fitted. */
  setups: Record<string, string[]>
  baseline: string | null
  /** Standard deviation of one fill to the same level, litres; null: a stated default. */
  fillRepeatabilityLitres: number | null
  /** Dispenser tolerance as a half-width of a rectangular distribution, percent; null: a stated default (0.5). */
  meterTolerancePct: number | null
  powertrain: Powertrain
  draws: number
  seed: number
  /** Correct for a linear trend in time of the baseline runs. */
  correctDrift: boolean
  /** What repeats are believed to differ by before there are any; left out: drives of one road. */
  repeatabilityPrior?: { sd: number; degreesOfFreedom: number }
  /** What the usual scatter of readings other than the fuel is multiplied by; left out: 1. */
  readingFactor?: number
  /** What is known of a battery; left out: nothing. */
  battery?: BatterySettings
  /** Pool the routes' claims with a spread between them. */
  poolRoutes: boolean
  /** The drives move as no vehicle of the stated mass does, so that the correction is another vehicle's; left out: not so. */
  isVehicleDoubtful?: boolean
}

/** Where a known error of one observation comes from. */
export type KnownSource = 'fills' | 'pump_meter' | 'fuel_temperature' | 'fuel_batch' | 'distance'

/**
 * A known error, normal with mean 0: what has one name is one error, wherever it counts. The sign of `sd` says whether it
 * adds to the logarithm of the consumption or takes from it.
 */
export interface NamedError {
  source: KnownSource
  name: string
  sd: number
}
