import { hypotenuse } from '../base/arithmetic.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, leastDrawnJ } from './force.ts'
import type { SharedDraws } from './shared-draws.ts'
import { windOnCourse } from './step-air.ts'
import type { StepAir, Steps } from './types.ts'
import { ROLLING_REFERENCE_K } from './vehicle.ts'

/** A piece of a run over which all is taken as steady. */
export interface Piece {
  distanceM: number
  durationS: number
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

/** A run's step as a piece, in the air that it met. */
export function pieceAt(steps: Steps, air: StepAir, i: number): Piece {
  return {
    distanceM: steps.distanceM[i],
    durationS: steps.durationS[i],
    speedMps: steps.speedMps[i],
    climbM: steps.climbM[i],
    kineticJPerKg: steps.kineticJPerKg[i],
    densityKgM3: air.densityKgM3[i],
    temperatureK: air.temperatureK[i],
    ...windOnCourse(steps, air, i),
  }
}

/**
 * Energy that the unchanged vehicle draws over a piece of road, J, every uncertain input at its best estimate: the
 * formula of `demandOf`. NaN where the piece's air or motion is not known.
 */
export function drawnAtBestJ(piece: Piece, payloadKg: number, shared: SharedDraws): number {
  const { vehicle, bestExposure, bestTurbulence } = shared
  const { efficiency, stores, frictionN, idlePowerW, recovery } = vehicle.powertrain
  const engineJ = idlePowerW.value * piece.durationS + frictionN * piece.distanceM
  if (piece.distanceM === 0) return idlePowerW.value * piece.durationS
  const massKg = vehicle.massKg.value + payloadKg
  const along = piece.speedMps + bestExposure * piece.headMps
  const gustMps = bestTurbulence * hypotenuse(piece.headMps, piece.crossMps)
  const dynamic = dragTerm(along, bestExposure * piece.crossMps, vehicle.dragYawRise.value, gustMps)
  const dragN = 0.5 * piece.densityKgM3 * vehicle.dragAreaM2.value * dynamic
  const warmth = 1 + vehicle.rollingTemperaturePerK.value * (piece.temperatureK - ROLLING_REFERENCE_K)
  const slope = Math.min(0.5, Math.abs(piece.climbM / piece.distanceM))
  const weightN = massKg * STANDARD_GRAVITY * Math.sqrt(1 - slope * slope)
  const rollingN = (weightN * vehicle.rollingResistance.value) / warmth
  const liftJ = massKg * STANDARD_GRAVITY * piece.climbM + massKg * (1 + vehicle.rotatingShare) * piece.kineticJPerKg
  const forceN = dragN + rollingN + vehicle.speedForceNPerMps * piece.speedMps
  return drawnJ(forceN * piece.distanceM + liftJ, engineJ, efficiency, recovery.value, leastDrawnJ(stores))
}
