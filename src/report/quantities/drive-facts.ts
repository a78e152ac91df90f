import type { RunAir } from '../../air/types.ts'
import type { Demand, StepAir, Steps } from '../../demand/types.ts'
import type { DriveSummary } from '../../track/types.ts'

/** What is computed of a drive and its air before anything is told of it: the campaign fills it. */
export interface DriveFacts {
  summary: DriveSummary
  /** The drive from node to node, and the air there. */
  steps: Steps
  air: StepAir
  /** The air by the observations about it. */
  runAir: RunAir
  means: AirMeans
  wind: WindMet
  sun: SunOver
  heights: Heights
  /** null when temperature or wind is missing. */
  demand: Demand | null
  /** Standard deviation of the demand with that from the noise of the recorded speeds, percent; NaN without a demand. */
  demandSdPct: number
}

/** Of temperature and density over the distance, of humidity and pressure over the air's nodes in time; NaN where unknown. */
export interface AirMeans {
  temperatureK: number
  relativeHumidity: number
  pressurePa: number
  densityKgM3: number
  densitySdKgM3: number
}

/** Means of the wind that a run met, weighted by distance. */
export interface WindMet {
  /** Mean speed at 10 m. */
  speedMps: number
  /** Direction of the vector mean at 10 m; NaN where most of the wind has no known direction. */
  fromDeg: number
  /** At the vehicle's height, positive against the motion; like the crosswind and the yaw NaN without a direction. */
  headwindMps: number
  crosswindAbsMps: number
  /** The same at 10 m. */
  crosswindAtTenMetresMps: number
  /** Yaw of the air over the vehicle, without its sign, degrees. */
  yawAbsDeg: number
}

/** The sun over a drive: in its middle, at its start and at its end. */
export interface SunOver {
  altitudeDeg: number
  azimuthDeg: number
  startAltitudeDeg: number
  endAltitudeDeg: number
  phase: 'day' | 'twilight' | 'night' | null
}

/** Climbs from the road's shared profile; NaN where nobody knows them. */
export interface Heights {
  gainM: number
  lossM: number
  netM: number
}
