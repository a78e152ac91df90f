import { drawsOf } from '../base/draws.ts'
import { standardDeviation } from '../base/statistics.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, leastDrawnJ } from './force.ts'
import {
  type AirDraws,
  airDraws,
  DEPARTURE_KNOT_S,
  type DepartureDraws,
  departureDraws,
  trafficDraws,
} from './run-draws.ts'
import { EXTRAS, type SharedDraws, withBestEstimates } from './shared-draws.ts'
import type { Demand, EnsembleRun, StepAir } from './types.ts'
import { ROLLING_REFERENCE_K } from './vehicle.ts'

/**
 * Demand of the reference vehicle over one run, K times:
 * F = ½ρ·CdA(ψ)·Va·(V + h) + m·g·(Crr(T)·cosθ + sinθ) + m·(1 + ε)·a, energy over distance by the powertrain's line.
 * Behind the draws every column holds the best estimate, with and without drag: they pass through the same formula.
 *
 * @source force: the road-load equation, e.g. Hucho, Aerodynamics of Road Vehicles (from memory); draws: JCGM 101:2008
 */
export function demandOf(run: EnsembleRun, shared: SharedDraws): Demand {
  const count = shared.settings.draws
  const p = withBestEstimates(shared)
  const air = airDraws(run, shared)
  const drawn = new Float64Array(count + EXTRAS)
  const headM = new Float64Array(count + EXTRAS)
  const { steps } = run
  const departure = departureDraws(run, shared)
  const east = new Float64Array(count + EXTRAS)
  const north = new Float64Array(count + EXTRAS)
  for (let i = 0; i < steps.distanceM.length; i++) {
    if (steps.distanceM[i] <= 0) {
      for (let k = 0; k < drawn.length; k++) drawn[k] += p.idlePowerW[k] * steps.durationS[i]
      continue
    }
    windAtStep(run.air, i, steps.time[i], air, departure, east, north)
    addStep(run, i, p, air, east, north, { drawn, headM })
  }
  const distanceM = steps.distanceM.reduce((sum, d) => sum + d, 0)
  return {
    ...energyPerMetre(run, drawn, distanceM, shared),
    headwindMps: headM[count] / distanceM,
    headwindSdMps: standardDeviation(headM.subarray(0, count)) / distanceM,
  }
}

/** Air velocity at 10 m for each draw: instrument's gain and turn, departure from the station, unknown direction. */
function windAtStep(
  stepAir: StepAir,
  i: number,
  time: number,
  air: AirDraws,
  departure: DepartureDraws,
  east: Float64Array,
  north: Float64Array,
): void {
  const e = stepAir.windEastMps[i]
  const n = stepAir.windNorthMps[i]
  const undirected = stepAir.undirectedMps[i] * Math.SQRT1_2
  const position = time / DEPARTURE_KNOT_S - departure.firstKnot
  const knot = Math.max(0, Math.min(departure.east.length - 2, Math.floor(position)))
  const share = Math.min(1, Math.max(0, position - knot))
  const w0 = stepAir.departureSdMps[i] * Math.sqrt(1 - share)
  const w1 = stepAir.departureSdMps[i] * Math.sqrt(share)
  const e0 = departure.east[knot]
  const e1 = departure.east[knot + 1]
  const n0 = departure.north[knot]
  const n1 = departure.north[knot + 1]
  const { windGain, windTurnCos, windTurnSin, undirectedEast, undirectedNorth } = air
  for (let k = 0; k < east.length; k++) {
    const g = windGain[k]
    east[k] = g * (e * windTurnCos[k] + n * windTurnSin[k]) + w0 * e0[k] + w1 * e1[k] + undirected * undirectedEast[k]
    north[k] = g * (n * windTurnCos[k] - e * windTurnSin[k]) + w0 * n0[k] + w1 * n1[k] + undirected * undirectedNorth[k]
  }
}

/** Energy drawn over one step for each draw, J, and the headwind times its length. */
function addStep(
  run: EnsembleRun,
  i: number,
  p: SharedDraws,
  air: AirDraws,
  east: Float64Array,
  north: Float64Array,
  sums: { drawn: Float64Array; headM: Float64Array },
): void {
  const { drawn, headM } = sums
  const { steps, payloadKg } = run
  const ds = steps.distanceM[i]
  const v = steps.speedMps[i]
  const halfRhoDs = 0.5 * run.air.densityKgM3[i] * ds
  const ce = steps.courseEast[i]
  const cn = steps.courseNorth[i]
  const t = run.air.temperatureK[i] - ROLLING_REFERENCE_K
  const slope = Math.min(0.5, Math.abs(steps.climbM[i] / ds))
  const rollingG = STANDARD_GRAVITY * ds * Math.sqrt(1 - slope * slope)
  const lift = STANDARD_GRAVITY * steps.climbM[i] + (1 + p.vehicle.rotatingShare) * steps.kineticJPerKg[i]
  const speedTermJ = p.vehicle.speedForceNPerMps * v * ds
  const { massKg, dragAreaM2, rolling, rollingTemperaturePerK, dragYawRise, exposure, turbulence } = p
  const { idlePowerW, recovery } = p
  const { efficiency, stores, frictionN, idlePowerW: idle } = p.vehicle.powertrain
  const least = leastDrawnJ(stores)
  // The engine's friction is drawn together with its idling: one factor for both.
  const engineS = steps.durationS[i] + (frictionN * ds) / idle.value
  for (let k = 0; k < east.length; k++) {
    const s = exposure[k]
    const we = s * east[k]
    const wn = s * north[k]
    const along = v - (we * ce + wn * cn)
    const across = we * cn - wn * ce
    headM[k] += ds * (along - v)
    const gustMps = turbulence[k] * Math.sqrt(east[k] * east[k] + north[k] * north[k])
    const drag = halfRhoDs * air.density[k] * dragAreaM2[k] * dragTerm(along, across, dragYawRise[k], gustMps)
    const mass = massKg[k] + payloadKg
    const roll = (mass * rolling[k] * rollingG) / (1 + rollingTemperaturePerK[k] * (t + air.temperatureK[k]))
    const work = drag + roll + mass * lift + speedTermJ
    drawn[k] += drawnJ(work, idlePowerW[k] * engineS, efficiency, recovery[k], least)
  }
}

/** Energy drawn per metre, with the recording's own error and what steady physics leaves out of the traffic. */
function energyPerMetre(
  run: EnsembleRun,
  drawn: Float64Array,
  distanceM: number,
  shared: SharedDraws,
): Pick<Demand, 'drawsJPerM' | 'nominalJPerM' | 'nominalDragJPerM'> {
  const { draws: count, seed } = shared.settings
  const recording = drawsOf(`recording/${run.recording}`, count, seed)
  const traffic = trafficDraws(run, shared)
  const drawsJPerM = Float64Array.from(
    recording,
    (z, k) => (drawn[k] / distanceM) * (1 + run.recordingSd * z + traffic[k]),
  )
  return {
    drawsJPerM,
    nominalJPerM: drawn[count] / distanceM,
    nominalDragJPerM: (drawn[count] - drawn[count + 1]) / distanceM,
  }
}
