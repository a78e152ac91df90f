import { drawsOf } from '../base/draws.ts'
import { standardDeviation, sum } from '../base/statistics.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { drawnWind } from './drawn-wind.ts'
import { GUST_SHARE, leastDrawnJ, SIN2_10_DEG, SIN2_25_DEG } from './force.ts'
import { type AirDraws, airDraws, departureDraws, trafficDraws } from './run-draws.ts'
import { EXTRAS, type SharedDraws, withBestEstimates } from './shared-draws.ts'
import type { Demand, EnsembleRun } from './types.ts'
import { ROLLING_REFERENCE_K, type Vehicle } from './vehicle.ts'

/**
 * Demand of the reference vehicle over one run, K times:
 * F = ½ρ·CdA(ψ)·Va·(V + h) + m·g·(Crr(T)·cosθ + sinθ) + m·(1 + ε)·a, energy over distance by the powertrain's line.
 * Behind the draws every column holds the best estimate, with and without drag: they pass through the same formula.
 *
 * @source force: the road-load equation, e.g. Hucho, Aerodynamics of Road Vehicles (from memory); draws: JCGM 101:2008
 */
export function demandOf(run: EnsembleRun, shared: SharedDraws): Demand {
  const count = shared.settings.draws
  const { steps, air } = run
  const drawnJ = new Float64Array(count + EXTRAS)
  const headM = new Float64Array(count + EXTRAS)
  const departure = departureDraws(run, shared)
  const draws = withBestEstimates(shared)
  const ofAir = airDraws(run, shared)
  const ofDraws = drawTerms(run, draws, ofAir)
  const ofSteps = stepTerms(run, shared)
  for (let from = 0, to = 0; from < steps.time.length; from = to) {
    while (to < steps.time.length && air.node[to] === air.node[from]) to++
    setSpellTerms(ofDraws, run, from, draws, ofAir, drawnWind(run, from, ofAir, departure))
    const spell = ofSteps.subarray(from * STEP_STRIDE, to * STEP_STRIDE)
    addHeadwind(ofDraws, spell, headM)
    addDrawn(ofDraws, spell, shared.vehicle, drawnJ)
  }
  const distanceM = sum(steps.distanceM)
  return {
    ...energyPerMetre(run, drawnJ, distanceM, shared),
    headwindMps: headM[count] / distanceM,
    headwindSdMps: standardDeviation(headM.subarray(0, count)) / distanceM,
  }
}

/** Added to a squared air speed, (m/s)², so that air at rest against the vehicle has no yaw, in place of 0/0; changes no figure by 1e-9. */
const NO_AIRSPEED2 = 1e-9

/** Numbers side by side for each draw: five that are the same over the whole run, four that belong to a spell of one air. */
const DRAW_STRIDE = 9
const SPELL_TERMS = 5

/**
 * What is the same at every step of a run: half the drag area times the factor on the density, m²; rise of drag with yaw;
 * mass, kg; idle power, W; recovery. Side by side in one array, which is what makes the innermost loop quick.
 */
function drawTerms({ payloadKg }: EnsembleRun, p: SharedDraws, air: AirDraws): Float64Array {
  const out = new Float64Array(DRAW_STRIDE * p.massKg.length)
  for (let k = 0, c = 0; k < p.massKg.length; k++, c += DRAW_STRIDE) {
    out[c] = 0.5 * p.dragAreaM2[k] * air.density[k]
    out[c + 1] = p.dragYawRise[k]
    out[c + 2] = p.massKg[k] + payloadKg
    out[c + 3] = p.idlePowerW[k]
    out[c + 4] = p.recovery[k]
  }
  return out
}

/**
 * What is the same over the steps of one air: wind at the vehicle towards east and north, m/s; what the gusts add to the
 * squared air speed, (m/s)²; rolling force over gravity, kg.
 */
function setSpellTerms(
  out: Float64Array,
  { air, payloadKg }: EnsembleRun,
  step: number,
  p: SharedDraws,
  { temperatureK }: AirDraws,
  wind: Float64Array,
): void {
  const warmerK = air.temperatureK[step] - ROLLING_REFERENCE_K
  for (let k = 0, c = SPELL_TERMS; k < temperatureK.length; k++, c += DRAW_STRIDE) {
    const east = wind[2 * k]
    const north = wind[2 * k + 1]
    out[c] = p.exposure[k] * east
    out[c + 1] = p.exposure[k] * north
    out[c + 2] = GUST_SHARE * p.turbulence[k] * p.turbulence[k] * (east * east + north * north)
    const warmth = 1 + p.rollingTemperaturePerK[k] * (temperatureK[k] + warmerK)
    out[c + 3] = (p.rolling[k] * (p.massKg[k] + payloadKg)) / warmth
  }
}

/** Numbers side by side for each step. */
const STEP_STRIDE = 9

/**
 * What is the same for every draw at a step: its length, m; speed, m/s; course, east and north; density times length,
 * kg/m²; weight over mass on the slope times length, m²/s²; energy per kilogram to lift and quicken, J/kg; energy that
 * grows with speed alone, J; time that the engine idles or, by its friction, as good as idles, s.
 */
function stepTerms({ steps, air }: EnsembleRun, { vehicle }: SharedDraws): Float64Array {
  const { frictionN, idlePowerW } = vehicle.powertrain
  const out = new Float64Array(STEP_STRIDE * steps.time.length)
  for (let i = 0, s = 0; i < steps.time.length; i++, s += STEP_STRIDE) {
    const distanceM = steps.distanceM[i]
    out[s + 8] = steps.durationS[i]
    if (!(distanceM > 0)) continue
    const slope = Math.min(0.5, Math.abs(steps.climbM[i] / distanceM))
    out[s] = distanceM
    out[s + 1] = steps.speedMps[i]
    out[s + 2] = steps.courseEast[i]
    out[s + 3] = steps.courseNorth[i]
    out[s + 4] = air.densityKgM3[i] * distanceM
    out[s + 5] = STANDARD_GRAVITY * distanceM * Math.sqrt(1 - slope * slope)
    out[s + 6] = STANDARD_GRAVITY * steps.climbM[i] + (1 + vehicle.rotatingShare) * steps.kineticJPerKg[i]
    out[s + 7] = vehicle.speedForceNPerMps * steps.speedMps[i] * distanceM
    // The engine's friction is drawn together with its idling: one factor for both.
    out[s + 8] += (frictionN * distanceM) / idlePowerW.value
  }
  return out
}

/** Adds the headwind of each draw times the length of the steps of one air, m²/s. */
function addHeadwind(ofDraws: Float64Array, ofSteps: Float64Array, headM: Float64Array): void {
  let [eastM, northM] = [0, 0]
  for (let s = 0; s < ofSteps.length; s += STEP_STRIDE) {
    eastM += ofSteps[s] * ofSteps[s + 2]
    northM += ofSteps[s] * ofSteps[s + 3]
  }
  for (let k = 0, c = SPELL_TERMS; k < headM.length; k++, c += DRAW_STRIDE) {
    headM[k] -= ofDraws[c] * eastM + ofDraws[c + 1] * northM
  }
}

/**
 * Adds the energy of each draw over the steps of one air, J. The formulas are those of `dragTerm` and `drawnJ`, written
 * out, with what the engine takes in idling summed apart: this loop is most of a run's time.
 */
function addDrawn(ofDraws: Float64Array, ofSteps: Float64Array, { powertrain }: Vehicle, drawnJ: Float64Array): void {
  const { efficiency, stores } = powertrain
  const least = leastDrawnJ(stores)
  let idleS = 0
  for (let s = 0; s < ofSteps.length; s += STEP_STRIDE) idleS += ofSteps[s + 8]
  for (let k = 0, c = 0; k < drawnJ.length; k++, c += DRAW_STRIDE) {
    const halfDragArea = ofDraws[c]
    const yawRise = (halfDragArea * ofDraws[c + 1]) / SIN2_10_DEG
    const massKg = ofDraws[c + 2]
    const idlePowerW = ofDraws[c + 3]
    const recovery = ofDraws[c + 4] * efficiency
    const east = ofDraws[c + 5]
    const north = ofDraws[c + 6]
    const gusts = ofDraws[c + 7]
    const rollingKg = ofDraws[c + 8]
    const wind2 = east * east + north * north
    let worked = 0
    let givenBack = 0
    for (let s = 0; s < ofSteps.length; s += STEP_STRIDE) {
      const head = -east * ofSteps[s + 2] - north * ofSteps[s + 3]
      const along = ofSteps[s + 1] + head
      const across2 = wind2 - head * head
      const airspeed2 = along * along + across2 + NO_AIRSPEED2
      const sin2Yaw = across2 / airspeed2
      const area = halfDragArea + yawRise * Math.min(SIN2_25_DEG, sin2Yaw)
      const drag = ofSteps[s + 4] * area * (Math.sqrt(airspeed2) * along + gusts)
      const work = drag + rollingKg * ofSteps[s + 5] + massKg * ofSteps[s + 6] + ofSteps[s + 7]
      if (work > 0) worked += work
      else givenBack += Math.max(least - idlePowerW * ofSteps[s + 8], recovery * work)
    }
    drawnJ[k] += idlePowerW * idleS + worked / efficiency + givenBack
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
