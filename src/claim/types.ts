import type { RunRow } from '../read/types.ts'

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
  /** By GPS, along the ellipsoid. */
  distanceM: number
  /** Its row of runs.csv: fuel, evidence, odometer, fill group, remarks. */
  row: RunRow
  /**
   * K draws of the unchanged vehicle's energy per distance, J/m, with draws shared between runs (see demand/ensemble);
   * null when temperature or wind is missing: such a run counts in the raw change only.
   */
  demandDraws: Float64Array | null
  /** At the best estimates, J/m. */
  nominalDemandJPerM: number
  /** The part of `nominalDemandJPerM` that the drag takes, J/m: for the sense check. NaN where unknown. */
  nominalDragJPerM: number
  /** Why the run is left out of every claim (runs.csv `exclude`; wet against dry baseline; only a part of the route), or null. */
  leftOut: string | null
  /** Its conditions in one line, for the statement. */
  conditions: string
  /** The same as figures, so that several runs can be told as a range; null or left out where they are not known. */
  air?: { temperatureC: number; densityKgM3: number; windMps: number } | null
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
  powertrain: 'petrol' | 'diesel' | 'hybrid' | 'electric'
  draws: number
  seed: number
  /** Correct for a linear trend in time of the baseline runs. */
  correctDrift: boolean
  /** Pool the routes' claims (DerSimonian–Laird). */
  poolRoutes: boolean
}
