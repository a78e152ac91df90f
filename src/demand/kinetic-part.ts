import { hypotenuse } from '../base/arithmetic.ts'
import { sum } from '../base/statistics.ts'
import { engineTimeS, neededAtBestJ, type Piece } from './piece.ts'
import type { SharedDraws } from './shared-draws.ts'
import type { RunLoad, Steps } from './types.ts'

/** What a drive's recorded changes of speed make of its demand. */
export interface KineticPart {
  /** ln of the demand less ln of what it would be at the same speeds without kinetic energy, in reference air. */
  log: number
  /** Standard deviation of that, from how much it depends on the smoothing of the speeds. */
  sd: number
  /** Standard deviation of the part of it that other recordings of the road have as well, times one draw for all of them. */
  commonSd: number
}

/**
 * Error of the kinetic part against true speeds over its change from the coarse to the fine smoothing: 0.32, 0.44 and 0.54
 * on three kinds of recording with an independent speed (a light car, city cars, motorway and town). Most of it is one bias
 * of the smoothing: within each kind the errors scattered by half of it (0.45, 0.51 and 0.52 on three kinds, 0.86 on a mixed
 * one), and telephones in one car (mobilitynet, at a fix a second) differ from each other by 0.22 each. What is common
 * cancels between drives whose recordings depend alike on the smoothing. Common practice, no source.
 */
const ERROR_PER_CONTRAST = { own: 0.22, common: 0.39 }
/** As a share of the contrast; the best recordings are no better than 0.006 in all. Common practice, no source. */
const LEAST_CONTRAST = 0.0133
/**
 * Both sizes are of drives of some ten minutes. The errors last some seconds each, so that they average out over longer
 * drives: on simulated ones with a wandering error of 2 to 3 m the kinetic part is off by 0.004 over 3 km, by 0.001 over
 * 10 and 40 km.
 */
const LONG_S = 600
/** Still air of 1.2 kg/m³ at 15 °C: one recording's motion is to be judged, not its weather. */
const REFERENCE_AIR = { densityKgM3: 1.2, temperatureK: 288.15, headMps: 0, crossMps: 0 }

/** The kinetic part of a drive's demand; NaN where its motion draws no energy at all. */
export const kineticPartOf = (steps: Steps, load: RunLoad, shared: SharedDraws): KineticPart =>
  demandInReferenceAir(steps, load, shared).kinetic

/** ln of a drive's demand in reference air, J/m, with its kinetic part. */
export function demandInReferenceAir(
  steps: Steps,
  load: RunLoad,
  shared: SharedDraws,
): { logDemand: number; kinetic: KineticPart } {
  const neededJ = (kineticJPerKg: Float64Array | null): number => {
    let total = 0
    for (let i = 0; i < steps.time.length; i++) {
      const piece: Piece = {
        distanceM: steps.distanceM[i],
        idlingS: engineTimeS(steps, i),
        speedMps: steps.speedMps[i],
        climbM: steps.climbM[i],
        kineticJPerKg: kineticJPerKg === null ? 0 : kineticJPerKg[i],
        ...REFERENCE_AIR,
      }
      total += neededAtBestJ(piece, load, shared)
    }
    return total
  }
  const logNeeded = Math.log(neededJ(steps.kineticJPerKg))
  const log = logNeeded - Math.log(neededJ(null))
  const contrast = Math.log(neededJ(steps.fineKineticJPerKg) / neededJ(steps.coarseKineticJPerKg))
  const size = Math.max(LEAST_CONTRAST, Math.abs(contrast))
  const commonSd = ERROR_PER_CONTRAST.common * size
  const ownSd = ERROR_PER_CONTRAST.own * size * averaged(steps)
  return {
    logDemand: logNeeded - Math.log(sum(steps.distanceM)),
    kinetic: { log, sd: hypotenuse(ownSd, commonSd), commonSd },
  }
}

/** What is left of errors over a drive, against one of ten minutes or less. */
function averaged({ distanceM, durationS }: Steps): number {
  const movingS = durationS.reduce((total, seconds, i) => total + (distanceM[i] > 0 ? seconds : 0), 0)
  return Math.sqrt(LONG_S / Math.max(LONG_S, movingS))
}
