import { hypotenuse } from '../base/arithmetic.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { CHANCE_OF_LONG_IDLING } from './engine.ts'
import {
  accessoryPowerW,
  dragTerm,
  idleJ,
  leastNeededJ,
  levelShare,
  liftJPerKg,
  neededJ,
  rollingAt,
} from './road-load.ts'
import { type SharedDraws, withBestEstimates } from './shared-draws.ts'
import { windOnCourse } from './step-air.ts'
import type { RunLoad, StepAir, Steps } from './types.ts'

/** A piece of a run over which all is taken as steady. */
export interface Piece {
  distanceM: number
  /** Time over which the engine runs. */
  idlingS: number
  speedMps: number
  climbM: number
  /** Kinetic energy gained per kilogram, J/kg. */
  kineticJPerKg: number
  densityKgM3: number
  temperatureK: number
  /** Against the motion and across it, at 10 m. */
  headMps: number
  crossMps: number
}

/** Time of a step over which the engine runs, at best estimate, s. */
export const engineTimeS = (steps: Steps, i: number): number =>
  steps.idlingS[i] + CHANCE_OF_LONG_IDLING * steps.doubtfulIdlingS[i]

/** A run's step as a piece, in the air that it met. */
export function pieceAt(steps: Steps, air: StepAir, i: number): Piece {
  return {
    distanceM: steps.distanceM[i],
    idlingS: engineTimeS(steps, i),
    speedMps: steps.speedMps[i],
    climbM: steps.climbM[i],
    kineticJPerKg: steps.kineticJPerKg[i],
    densityKgM3: air.densityKgM3[i],
    temperatureK: air.temperatureK[i],
    ...windOnCourse(steps, air, i),
  }
}

/**
 * Energy that the unchanged vehicle draws over a piece of road, J, every uncertain input at its best estimate: that
 * column of the draws. NaN where the piece's air or motion is not known.
 */
export const neededAtBestJ = (piece: Piece, load: RunLoad, shared: SharedDraws): number =>
  neededOverJ(piece, load, withBestEstimates(shared), shared.settings.draws)

/** The same with the vehicle and the land of one column of the draws, in the air as the piece has it. */
function neededOverJ(piece: Piece, load: RunLoad, draws: SharedDraws, k: number): number {
  const { distanceM, idlingS, speedMps, climbM } = piece
  const { rotatingShare, speedForceNPerMps, powertrain } = draws.vehicle
  const { efficiency, stores } = powertrain
  const idlePowerW = draws.idlePowerW[k] + accessoryPowerW(load, powertrain)
  if (distanceM === 0) return idlePowerW * idlingS
  const massKg = draws.massKg[k] + load.payloadKg
  const alongMps = speedMps + draws.exposure[k] * piece.headMps
  const acrossMps = draws.exposure[k] * piece.crossMps
  const gustMps = draws.turbulence[k] * hypotenuse(piece.headMps, piece.crossMps)
  const dynamic = dragTerm(alongMps, acrossMps, draws.dragYawRise[k], gustMps)
  const dragN = 0.5 * piece.densityKgM3 * draws.dragAreaM2[k] * dynamic
  const resistance = rollingAt(draws.rolling[k], draws.rollingTemperaturePerK[k], piece.temperatureK)
  const rollingN = massKg * STANDARD_GRAVITY * levelShare(climbM, distanceM) * resistance
  const workJ =
    (dragN + rollingN + speedForceNPerMps * speedMps) * distanceM +
    massKg * liftJPerKg(climbM, piece.kineticJPerKg, rotatingShare)
  const frictionN = draws.frictionN[k] + draws.frictionNPerMps[k] * speedMps
  const idledJ = idleJ(idlePowerW, idlingS, frictionN, distanceM)
  return neededJ(workJ, idledJ, efficiency, draws.recovery[k], leastNeededJ(stores))
}
