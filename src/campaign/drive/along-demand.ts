import type { RunOnAxis } from '../../compare/run-on-axis.ts'
import { neededAtBestJ } from '../../demand/piece.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'

/** What the unchanged vehicle draws in each cell of the road, J/m; NaN where the run did not drive or its air is not known. */
export function demandOfCells(run: RunOnAxis, shared: SharedDraws): Float64Array {
  return run.speedMps.map((speedMps, i) => {
    const piece = {
      distanceM: run.cellM,
      idlingS: run.idlingS[i],
      speedMps,
      climbM: run.climbM[i],
      kineticJPerKg: run.kineticJPerKg[i],
      densityKgM3: run.densityKgM3[i],
      temperatureK: run.temperatureK[i],
      headMps: run.headMps[i],
      crossMps: run.crossMps[i],
    }
    return neededAtBestJ(piece, run, shared) / run.cellM
  })
}
