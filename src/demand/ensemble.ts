import { drawsOf } from '../base/draws.ts'
import { standardDeviation } from '../base/statistics.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { GUST_SHARE, leastDrawnJ, MOST_YAW_TERM, SIN2_10_DEG } from './force.ts'
import {
  type AirDraws,
  airDraws,
  DEPARTURE_KNOT_S,
  type DepartureDraws,
  departureDraws,
  trafficDraws,
} from './run-draws.ts'
import { EXTRAS, type SharedDraws, withBestEstimates } from './shared-draws.ts'
import type { Demand, EnsembleRun } from './types.ts'
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
  const constants = packed(run, p, air)
  for (let i = 0; i < steps.distanceM.length; i++) {
    if (steps.distanceM[i] <= 0) {
      for (let k = 0; k < drawn.length; k++) drawn[k] += p.idlePowerW[k] * steps.durationS[i]
      continue
    }
    addStep(run, i, p, constants, departure, drawn, headM)
  }
  const distanceM = steps.distanceM.reduce((sum, d) => sum + d, 0)
  return {
    ...energyPerMetre(run, drawn, distanceM, shared),
    headwindMps: headM[count] / distanceM,
    headwindSdMps: standardDeviation(headM.subarray(0, count)) / distanceM,
  }
}

/** Added to a squared air speed so that still air at rest has no yaw, in place of 0/0; changes no other figure. */
const NO_AIRSPEED2 = 1e-300

/** Numbers that `packed` puts side by side for each draw. */
const STRIDE = 14

/**
 * What is the same at every step of a run, side by side for each draw: one array in place of fourteen is what makes the
 * innermost loop quick. In order: the instrument's gain times cosine and sine of its turn; the unknown direction, east
 * and north; exposure; half the drag area times the factor on the density, m²; rise of drag with yaw; what a squared wind
 * adds by its gusts; rolling force over gravity at ROLLING_REFERENCE_K, kg; its divisor there, by the stations' errors
 * alone; its fall per kelvin; mass, kg; idle power, W; recovery.
 */
function packed({ payloadKg }: EnsembleRun, p: SharedDraws, air: AirDraws): Float64Array {
  const out = new Float64Array(STRIDE * p.massKg.length)
  for (let k = 0; k < p.massKg.length; k++) {
    const massKg = p.massKg[k] + payloadKg
    const values = [
      air.windGain[k] * air.windTurnCos[k],
      air.windGain[k] * air.windTurnSin[k],
      air.undirectedEast[k],
      air.undirectedNorth[k],
      p.exposure[k],
      0.5 * p.dragAreaM2[k] * air.density[k],
      p.dragYawRise[k],
      GUST_SHARE * p.turbulence[k] * p.turbulence[k],
      p.rolling[k] * massKg,
      1 + p.rollingTemperaturePerK[k] * air.temperatureK[k],
      p.rollingTemperaturePerK[k],
      massKg,
      p.idlePowerW[k],
      p.recovery[k],
    ]
    out.set(values, k * STRIDE)
  }
  return out
}

/**
 * Energy drawn over one step for each draw, J, and the headwind times its length. The air velocity at 10 m has the
 * instrument's gain and turn, the departure from the station and the unknown direction. The formulas are those of
 * `dragTerm` and `drawnJ`, written out: this loop is most of a report's time.
 */
function addStep(
  run: EnsembleRun,
  i: number,
  { vehicle }: SharedDraws,
  constants: Float64Array,
  departure: DepartureDraws,
  drawn: Float64Array,
  headM: Float64Array,
): void {
  const { steps, air } = run
  const position = steps.time[i] / DEPARTURE_KNOT_S - departure.firstKnot
  const knot = Math.max(0, Math.min(departure.knots.length - 2, Math.floor(position)))
  const share = Math.min(1, Math.max(0, position - knot))
  const w0 = air.departureSdMps[i] * Math.sqrt(1 - share)
  const w1 = air.departureSdMps[i] * Math.sqrt(share)
  const before = departure.knots[knot]
  const after = departure.knots[knot + 1]
  const e = air.windEastMps[i]
  const n = air.windNorthMps[i]
  const undirected = air.undirectedMps[i] * Math.SQRT1_2
  const ds = steps.distanceM[i]
  const v = steps.speedMps[i]
  const densityDs = air.densityKgM3[i] * ds
  const ce = steps.courseEast[i]
  const cn = steps.courseNorth[i]
  const t = air.temperatureK[i] - ROLLING_REFERENCE_K
  const slope = Math.min(0.5, Math.abs(steps.climbM[i] / ds))
  const rollingG = STANDARD_GRAVITY * ds * Math.sqrt(1 - slope * slope)
  const lift = STANDARD_GRAVITY * steps.climbM[i] + (1 + vehicle.rotatingShare) * steps.kineticJPerKg[i]
  const speedTermJ = vehicle.speedForceNPerMps * v * ds
  const { efficiency, stores, frictionN, idlePowerW } = vehicle.powertrain
  const perEfficiency = 1 / efficiency
  const least = leastDrawnJ(stores)
  // The engine's friction is drawn together with its idling: one factor for both.
  const engineS = steps.durationS[i] + (frictionN * ds) / idlePowerW.value
  const yawScale = 1 / SIN2_10_DEG
  for (let k = 0, c = 0; k < drawn.length; k++, c += STRIDE) {
    const cos = constants[c]
    const sin = constants[c + 1]
    const east = e * cos + n * sin + w0 * before[2 * k] + w1 * after[2 * k] + undirected * constants[c + 2]
    const north = n * cos - e * sin + w0 * before[2 * k + 1] + w1 * after[2 * k + 1] + undirected * constants[c + 3]
    const exposure = constants[c + 4]
    const head = exposure * (east * ce + north * cn)
    const across = exposure * (east * cn - north * ce)
    headM[k] -= ds * head
    const along = v - head
    const across2 = across * across
    const airspeed2 = along * along + across2
    const dynamic = Math.sqrt(airspeed2) * along + constants[c + 7] * (east * east + north * north)
    const yaw = Math.min(MOST_YAW_TERM, (yawScale * across2) / (airspeed2 + NO_AIRSPEED2))
    const drag = densityDs * constants[c + 5] * (1 + constants[c + 6] * yaw) * dynamic
    const roll = (constants[c + 8] * rollingG) / (constants[c + 9] + constants[c + 10] * t)
    const work = drag + roll + constants[c + 11] * lift + speedTermJ
    const idleJ = constants[c + 12] * engineS
    const given = idleJ + constants[c + 13] * efficiency * work
    drawn[k] += work > 0 ? idleJ + work * perEfficiency : Math.max(least, given)
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
