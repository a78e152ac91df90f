import type { RunAir } from '../air/types.ts'

/**
 * A run in steps of a few seconds, with all that its demand needs; columns of one length.
 * A step ends where the vehicle begins or ends to stand, or after some tens of metres.
 */
export interface Steps {
  /** Seconds since 1970 UTC, middle of the step. */
  time: Float64Array
  durationS: Float64Array
  /** Of the duration: with the engine running, surely; and with nobody knowing whether it ran. */
  idlingS: Float64Array
  doubtfulIdlingS: Float64Array
  distanceM: Float64Array
  /** Mean ground speed over the step, m/s. */
  speedMps: Float64Array
  /** Half the difference of the squared speeds at the step's ends, J/kg: the kinetic energy gained per kilogram. */
  kineticJPerKg: Float64Array
  /** The same from speeds that are smoothed less, and more. */
  fineKineticJPerKg: Float64Array
  coarseKineticJPerKg: Float64Array
  /** Climb over the step, m. */
  climbM: Float64Array
  elevationM: Float64Array
  latitude: Float64Array
  longitude: Float64Array
  /** Direction of travel as a unit vector. */
  courseEast: Float64Array
  courseNorth: Float64Array
  /** Position on the route's axis at the step's ends, m; NaN off the road. */
  axisFromM: Float64Array
  axisToM: Float64Array
}

/** The air at each step; columns of the steps' length. Winds at anemometer height, see `AirAlong`. */
export interface StepAir {
  /** Which node of the run's air each step has: steps of one node have all else here in common. */
  node: Int32Array
  densityKgM3: Float64Array
  temperatureK: Float64Array
  windEastMps: Float64Array
  windNorthMps: Float64Array
  undirectedMps: Float64Array
  departureSdMps: Float64Array
}

/** One run's demand: K draws of the same unchanged vehicle driven through it. */
export interface Demand {
  /** J/m for each draw. */
  drawsJPerM: Float64Array
  /** With every uncertain input at its best estimate, J/m. */
  nominalJPerM: number
  /** What of it would fall away if the vehicle had no drag, J/m. */
  nominalDragJPerM: number
  /** Mean headwind at the vehicle over the distance: best estimate and standard deviation, m/s. */
  headwindMps: number
  headwindSdMps: number
  /** Names of all draws that `drawsJPerM` is made from. */
  drawnFrom: string[]
}

/** What a run carried and used beside the vehicle itself. */
export interface RunLoad {
  payloadKg: number
  /** Lights, heating, air conditioning, W of electricity while the engine ran; 0 where nobody says. */
  accessoriesW: number
}

/** One run made ready for the ensemble. */
export interface EnsembleRun extends RunLoad {
  /** Names the recording by what it holds, not by its file's name: the same drive under another name is the same. */
  recording: string
  /** Names the neighbourhood: runs there at the same time met the same departures from the stations. */
  region: string
  steps: Steps
  air: StepAir
  runAir: RunAir
  /** Relative standard deviation of the demand from this recording's own noise, sampling and gaps. */
  recordingSd: number
}
