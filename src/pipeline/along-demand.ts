import { STANDARD_GRAVITY } from '../base/units.ts'
import type { RunOnAxis } from '../compare/contributions.ts'
import { dragTerm, drawnJ, leastDrawnJ } from '../demand/force.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import { ROLLING_REFERENCE_K } from '../demand/vehicle.ts'

/**
 * Energy that the unchanged vehicle draws in each cell of the road, every uncertain input at its best estimate, J/m; the
 * formula is that of `demandOf`. NaN where the run did not drive or its air is not known.
 */
export function demandOfCells(run: RunOnAxis, { vehicle, bestExposure, bestTurbulence }: SharedDraws): Float64Array {
  const { efficiency, stores, frictionN, idlePowerW, recovery } = vehicle.powertrain
  const massKg = vehicle.massKg.value + run.payloadKg
  return run.speedMps.map((speedMps, i) => {
    const gustMps = bestTurbulence * Math.hypot(run.headMps[i], run.crossMps[i])
    const along = speedMps + bestExposure * run.headMps[i]
    const dynamic = dragTerm(along, bestExposure * run.crossMps[i], vehicle.dragYawRise.value, gustMps)
    const dragN = 0.5 * run.densityKgM3[i] * vehicle.dragAreaM2.value * dynamic
    const warmth = 1 + vehicle.rollingTemperaturePerK.value * (run.temperatureK[i] - ROLLING_REFERENCE_K)
    const rollingN = (massKg * STANDARD_GRAVITY * vehicle.rollingResistance.value) / warmth
    const liftJ =
      massKg * STANDARD_GRAVITY * run.climbM[i] + massKg * (1 + vehicle.rotatingShare) * run.kineticJPerKg[i]
    const workJ = (dragN + rollingN + vehicle.speedForceNPerMps * speedMps) * run.cellM + liftJ
    const engineJ = idlePowerW.value * run.durationS[i] + frictionN * run.cellM
    return drawnJ(workJ, engineJ, efficiency, recovery.value, leastDrawnJ(stores)) / run.cellM
  })
}
