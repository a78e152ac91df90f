import { type Drawing, drawingOf } from '../base/draws.ts'
import { normalQuantile } from '../base/normal.ts'
import { standardDeviation, sum } from '../base/statistics.ts'
import { STANDARD_GRAVITY } from '../base/units.ts'
import { departureDraws } from './departure-draws.ts'
import { drawnWind } from './drawn-wind.ts'
import { CHANCE_OF_LONG_IDLING } from './engine.ts'
import { exposureAt } from './exposure.ts'
import { engineTimeS } from './piece.ts'
import {
  accessoryPowerW,
  GUST_SHARE,
  leastNeededJ,
  levelShare,
  liftJPerKg,
  rollingAt,
  SIN2_10_DEG,
  SIN2_25_DEG,
} from './road-load.ts'
import { type AirDraws, airDraws, trafficDraws } from './run-draws.ts'
import { EXTRAS, type SharedDraws, withBestEstimates } from './shared-draws.ts'
import { windyPlace } from './step-air.ts'
import type { Demand, EnsembleRun } from './types.ts'
import type { Vehicle } from './vehicle.ts'

/**
 * Demand of the reference vehicle over one run, K times: the terms of `road-load.ts`, energy over distance by the
 * powertrain's line. Behind the draws every column holds the best estimate, with and without drag: they pass through the
 * same formula.
 *
 * @source draws: JCGM 101:2008
 */
export function demandOf(run: EnsembleRun, shared: SharedDraws): Demand {
  const count = shared.settings.draws
  const { steps, air } = run
  const neededJ = new Float64Array(count + EXTRAS)
  const headM = new Float64Array(count + EXTRAS)
  const names = new Set(shared.names)
  const draw = drawingOf(shared.settings, names)
  const departure = departureDraws(run, shared, draw)
  const draws = withBestEstimates(shared)
  const ofAir = airDraws(run, shared, draw)
  const ofDraws = drawTerms(run, draws, ofAir)
  const ofSteps = stepTerms(run, shared)
  for (let from = 0, to = 0; from < steps.time.length; from = to) {
    while (to < steps.time.length && air.node[to] === air.node[from]) to++
    setSpellTerms(ofDraws, run, from, draws, ofAir, drawnWind(run, from, ofAir, departure))
    const spell = ofSteps.subarray(from * STEP_STRIDE, to * STEP_STRIDE)
    addHeadwind(ofDraws, spell, headM)
    addNeeded(ofDraws, spell, shared.vehicle, neededJ)
  }
  const distanceM = sum(steps.distanceM)
  return {
    ...energyPerMetre(run, neededJ, distanceM, shared, draw),
    headwindMps: headM[count] / distanceM,
    headwindSdMps: standardDeviation(headM.subarray(0, count)) / distanceM,
    drawnFrom: [...names],
  }
}

/** Added to a squared air speed, (m/s)², so that air at rest against the vehicle has no yaw, in place of 0/0; changes no figure by 1e-9. */
const NO_AIRSPEED2 = 1e-9

/**
 * Numbers side by side for each draw, which is what makes the innermost loop quick. The same at every step of a run: half
 * the drag area times the factor on the density, m²; rise of drag with yaw; mass, kg; idle power, W; friction along the
 * road, N, and what it gains with speed, N/(m/s); recovery. The same over the steps of one air: wind at the vehicle towards
 * east and north, m/s; variance of the gusts, (m/s)²; rolling force over gravity, kg.
 */
const HALF_AREA = 0
const YAW_RISE = 1
const MASS = 2
const IDLE_POWER = 3
const FRICTION = 4
const FRICTION_RISE = 5
const RECOVERY = 6
const WIND_EAST = 7
const WIND_NORTH = 8
const GUSTS = 9
const ROLLING = 10
const DRAW_STRIDE = 11

/** Sets what is the same at every step of a run. */
function drawTerms(load: EnsembleRun, p: SharedDraws, air: AirDraws): Float64Array {
  const accessoriesW = accessoryPowerW(load, p.vehicle.powertrain)
  const out = new Float64Array(DRAW_STRIDE * p.massKg.length)
  for (let k = 0, c = 0; k < p.massKg.length; k++, c += DRAW_STRIDE) {
    out[c + HALF_AREA] = 0.5 * p.dragAreaM2[k] * air.density[k]
    out[c + YAW_RISE] = p.dragYawRise[k]
    out[c + MASS] = p.massKg[k] + load.payloadKg
    out[c + IDLE_POWER] = p.idlePowerW[k] + accessoriesW
    out[c + FRICTION] = p.frictionN[k]
    out[c + FRICTION_RISE] = p.frictionNPerMps[k]
    out[c + RECOVERY] = p.recovery[k]
  }
  return out
}

/** Sets what is the same over the steps of one air. */
function setSpellTerms(
  out: Float64Array,
  { steps, air, payloadKg }: EnsembleRun,
  step: number,
  p: SharedDraws,
  { tyreK }: AirDraws,
  wind: Float64Array,
): void {
  const exposure = exposureAt(windyPlace(steps, air, step), p)
  for (let k = 0, c = 0; k < tyreK.length; k++, c += DRAW_STRIDE) {
    const east = wind[2 * k]
    const north = wind[2 * k + 1]
    out[c + WIND_EAST] = exposure[k] * east
    out[c + WIND_NORTH] = exposure[k] * north
    out[c + GUSTS] = p.turbulence[k] * p.turbulence[k] * (east * east + north * north)
    const onReferenceKg = p.rolling[k] * (p.massKg[k] + payloadKg)
    out[c + ROLLING] = rollingAt(onReferenceKg, p.rollingTemperaturePerK[k], tyreK[k] + air.temperatureK[step])
  }
}

/**
 * Numbers side by side for each step, the same for every draw: its length, m; speed, m/s; course, east and north; density
 * times length, kg/m²; weight over mass on the slope times length, m²/s²; energy per kilogram to lift and quicken, J/kg;
 * energy that grows with speed alone, J; time that the engine runs, s.
 */
const LENGTH = 0
const SPEED = 1
const COURSE_EAST = 2
const COURSE_NORTH = 3
const AIR_COLUMN = 4
const PRESSING = 5
const LIFT = 6
const SPEED_ENERGY = 7
const ENGINE_TIME = 8
const STEP_STRIDE = 9

function stepTerms({ steps, air }: EnsembleRun, { vehicle }: SharedDraws): Float64Array {
  const out = new Float64Array(STEP_STRIDE * steps.time.length)
  for (let i = 0, s = 0; i < steps.time.length; i++, s += STEP_STRIDE) {
    const distanceM = steps.distanceM[i]
    out[s + ENGINE_TIME] = engineTimeS(steps, i)
    if (!(distanceM > 0)) continue
    out[s + LENGTH] = distanceM
    out[s + SPEED] = steps.speedMps[i]
    out[s + COURSE_EAST] = steps.courseEast[i]
    out[s + COURSE_NORTH] = steps.courseNorth[i]
    out[s + AIR_COLUMN] = air.densityKgM3[i] * distanceM
    out[s + PRESSING] = STANDARD_GRAVITY * distanceM * levelShare(steps.climbM[i], distanceM)
    out[s + LIFT] = liftJPerKg(steps.climbM[i], steps.kineticJPerKg[i], vehicle.rotatingShare)
    out[s + SPEED_ENERGY] = vehicle.speedForceNPerMps * steps.speedMps[i] * distanceM
  }
  return out
}

/** Adds the headwind of each draw times the length of the steps of one air, m²/s. */
function addHeadwind(ofDraws: Float64Array, ofSteps: Float64Array, headM: Float64Array): void {
  let [eastM, northM] = [0, 0]
  for (let s = 0; s < ofSteps.length; s += STEP_STRIDE) {
    eastM += ofSteps[s + LENGTH] * ofSteps[s + COURSE_EAST]
    northM += ofSteps[s + LENGTH] * ofSteps[s + COURSE_NORTH]
  }
  for (let k = 0, c = 0; k < headM.length; k++, c += DRAW_STRIDE) {
    headM[k] -= ofDraws[c + WIND_EAST] * eastM + ofDraws[c + WIND_NORTH] * northM
  }
}

/**
 * Adds the energy of each draw over the steps of one air, J. The formulas are those of `dragTerm` and `neededJ`, written
 * out, with what the engine takes in idling summed apart: this loop is most of a run's time.
 */
function addNeeded(ofDraws: Float64Array, ofSteps: Float64Array, { powertrain }: Vehicle, neededJ: Float64Array): void {
  const { efficiency, stores } = powertrain
  const least = leastNeededJ(stores)
  let [idlingS, lengthM, speedLengthM2PerS] = [0, 0, 0]
  for (let s = 0; s < ofSteps.length; s += STEP_STRIDE) {
    idlingS += ofSteps[s + ENGINE_TIME]
    lengthM += ofSteps[s + LENGTH]
    speedLengthM2PerS += ofSteps[s + LENGTH] * ofSteps[s + SPEED]
  }
  for (let k = 0, c = 0; k < neededJ.length; k++, c += DRAW_STRIDE) {
    const halfDragArea = ofDraws[c + HALF_AREA]
    const yawRise = (halfDragArea * ofDraws[c + YAW_RISE]) / SIN2_10_DEG
    const massKg = ofDraws[c + MASS]
    const idlePowerW = ofDraws[c + IDLE_POWER]
    const frictionN = ofDraws[c + FRICTION]
    const frictionNPerMps = ofDraws[c + FRICTION_RISE]
    const recovery = ofDraws[c + RECOVERY] * efficiency
    const east = ofDraws[c + WIND_EAST]
    const north = ofDraws[c + WIND_NORTH]
    const gust2 = ofDraws[c + GUSTS]
    const gusts = GUST_SHARE * gust2
    const rollingKg = ofDraws[c + ROLLING]
    const wind2 = east * east + north * north
    let worked = 0
    let givenBack = 0
    for (let s = 0; s < ofSteps.length; s += STEP_STRIDE) {
      const head = -east * ofSteps[s + COURSE_EAST] - north * ofSteps[s + COURSE_NORTH]
      const along = ofSteps[s + SPEED] + head
      const across2 = wind2 - head * head
      const airspeed2 = along * along + across2 + NO_AIRSPEED2
      const sin2Yaw = (across2 + gust2) / (airspeed2 + gust2)
      const area = halfDragArea + yawRise * Math.min(SIN2_25_DEG, sin2Yaw)
      const drag = ofSteps[s + AIR_COLUMN] * area * (Math.sqrt(airspeed2) * along + gusts)
      const work = drag + rollingKg * ofSteps[s + PRESSING] + massKg * ofSteps[s + LIFT] + ofSteps[s + SPEED_ENERGY]
      if (work > 0) worked += work
      else {
        const frictionHereN = frictionN + frictionNPerMps * ofSteps[s + SPEED]
        const idled = idlePowerW * ofSteps[s + ENGINE_TIME] + frictionHereN * ofSteps[s + LENGTH]
        givenBack += Math.max(least - idled, recovery * work)
      }
    }
    const frictionJ = frictionN * lengthM + frictionNPerMps * speedLengthM2PerS
    neededJ[k] += idlePowerW * idlingS + frictionJ + worked / efficiency + givenBack
  }
}

/** Energy neededJ per metre, with the recording's own error and what steady physics leaves out of the traffic. */
function energyPerMetre(
  run: EnsembleRun,
  neededJ: Float64Array,
  distanceM: number,
  shared: SharedDraws,
  draw: Drawing,
): Pick<Demand, 'drawsJPerM' | 'nominalJPerM' | 'nominalDragJPerM'> {
  const { draws: count } = shared.settings
  const recording = draw(`recording/${run.recording}`)
  const traffic = trafficDraws(run, shared, draw)
  const doubtfulS = sum(run.steps.doubtfulIdlingS)
  if (doubtfulS > 0) {
    // It ran on in all doubtful stands, or in none: the best estimate holds the mean of the two.
    const accessoriesW = accessoryPowerW(run, shared.vehicle.powertrain)
    const ranOn = draw(`engine-ran-on/${run.recording}`)
    for (let k = 0; k < count; k++) {
      const ran = ranOn[k] < normalQuantile(CHANCE_OF_LONG_IDLING) ? 1 : 0
      neededJ[k] += (shared.idlePowerW[k] + accessoriesW) * doubtfulS * (ran - CHANCE_OF_LONG_IDLING)
    }
  }
  const drawsJPerM = Float64Array.from(
    recording,
    (z, k) => (neededJ[k] / distanceM) * (1 + run.recordingSd * z + traffic[k]),
  )
  return {
    drawsJPerM,
    nominalJPerM: neededJ[count] / distanceM,
    nominalDragJPerM: (neededJ[count] - neededJ[count + 1]) / distanceM,
  }
}
