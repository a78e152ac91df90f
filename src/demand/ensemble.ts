import { saturationPressurePa } from '../air/humidity.ts'
import { windProfileFactor } from '../air/profile.ts'
import type { RunAir } from '../air/types.ts'
import { drawsOf } from '../base/draws.ts'
import { mean, standardDeviation } from '../base/statistics.ts'
import { radians, STANDARD_GRAVITY } from '../base/units.ts'
import { dragTerm, drawnJ, leastDrawnJ } from './force.ts'
import type { Demand, StepAir, Steps } from './types.ts'
import { ROLLING_REFERENCE_K, type Uncertain, type Vehicle } from './vehicle.ts'

export interface EnsembleSettings {
  draws: number
  seed: number
  /** Roughness length of the land along the road, m. */
  roughnessM: number
}

/** Sizes of what is shared by all runs. */
export const SHARED_SD = {
  /**
   * Relative, of the wind at the vehicle against the log law: hedges, cuttings, open stretches. Below 2 m the law itself
   * is not better than 20 %; common practice, no source.
   */
  exposure: 0.22,
}
/**
 * Standard deviation of the gusts along the road as a share of the 10 m wind: 2.4 friction velocities over open land.
 * @source Panofsky and Dutton, Atmospheric Turbulence, 1984 (from memory)
 */
const TURBULENCE: Uncertain = { value: 0.17, sd: 0.05 }
/**
 * Pulling away, slowing down and slipstreams that a drive's recorded speed does not tell in full: relative, for each ten
 * minutes. Its size is common practice, no source; it is held against simulated truth in the tests.
 */
const TRAFFIC = { knotS: 600, sd: 0.0065 }
/** Departures from station to road are drawn at instants this far apart and joined: the wind's own memory. */
const DEPARTURE_KNOT_S = 1200
const UNDIRECTED_KNOT_S = 21_600
/** K draws of everything that belongs to the vehicle and the land: the same for every run of a campaign. */
export interface SharedDraws {
  settings: EnsembleSettings
  massKg: Float64Array
  dragAreaM2: Float64Array
  rolling: Float64Array
  rollingTemperaturePerK: Float64Array
  dragYawRise: Float64Array
  idlePowerW: Float64Array
  recovery: Float64Array
  /** Wind at the vehicle over wind at 10 m. */
  exposure: Float64Array
  /** Its best estimate, by the log law alone. */
  bestExposure: number
  turbulence: Float64Array
  bestTurbulence: number
  vehicle: Vehicle
}

export function sharedDraws(vehicle: Vehicle, settings: EnsembleSettings): SharedDraws {
  const draw = (name: string): Float64Array => drawsOf(name, settings.draws, settings.seed)
  const normal = (name: string, { value, sd }: Uncertain): Float64Array => draw(name).map((z) => value + sd * z)
  const positive = (name: string, { value, sd }: Uncertain): Float64Array =>
    draw(name).map((z) => (value === 0 ? 0 : value * Math.exp((sd / value) * z)))
  const heightFactor = exposureFactor(vehicle, settings)
  return {
    settings,
    vehicle,
    massKg: positive('vehicle/mass', vehicle.massKg),
    dragAreaM2: positive('vehicle/drag-area', vehicle.dragAreaM2),
    rolling: positive('vehicle/rolling-resistance', vehicle.rollingResistance),
    rollingTemperaturePerK: normal('vehicle/rolling-temperature', vehicle.rollingTemperaturePerK),
    dragYawRise: normal('vehicle/drag-yaw-rise', vehicle.dragYawRise),
    idlePowerW: positive('vehicle/idle-power', vehicle.powertrain.idlePowerW),
    recovery: normal('vehicle/recovery', vehicle.powertrain.recovery).map((r) => Math.min(0.95, Math.max(0, r))),
    exposure: positive('road/exposure', { value: heightFactor, sd: SHARED_SD.exposure * heightFactor }),
    bestExposure: heightFactor,
    turbulence: normal('air/turbulence', TURBULENCE).map((t) => Math.max(0, t)),
    bestTurbulence: TURBULENCE.value,
  }
}

/** Wind at the vehicle over wind at 10 m by the log law; among obstacles, where the law says nothing, a tenth. */
function exposureFactor(vehicle: Vehicle, { roughnessM }: EnsembleSettings): number {
  const factor = windProfileFactor(vehicle.referenceHeightM, 10, roughnessM)
  return Number.isNaN(factor) ? LEAST_EXPOSURE : Math.max(LEAST_EXPOSURE, factor)
}
const LEAST_EXPOSURE = 0.1

/** One run made ready for the ensemble. */
export interface EnsembleRun {
  id: string
  /** Names the neighbourhood: runs there at the same time met the same departures from the stations. */
  region: string
  steps: Steps
  air: StepAir
  runAir: RunAir
  payloadKg: number
  /** Relative standard deviation of the demand from this recording's own noise, sampling and gaps. */
  recordingSd: number
}

/** K draws of what belongs to one run's air, beside what is shared. */
interface AirDraws {
  /** Factor on the density. */
  density: Float64Array
  temperatureK: Float64Array
  windGain: Float64Array
  windTurnCos: Float64Array
  windTurnSin: Float64Array
  undirectedEast: Float64Array
  undirectedNorth: Float64Array
}

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
  const recording = drawsOf(`recording/${run.id}`, count, seed)
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

/** Relative, drawn for each stretch of time and averaged over the run: long runs average it out, one drive seen by two devices shares it. */
function trafficDraws({ steps, region }: EnsembleRun, shared: SharedDraws): Float64Array {
  const { draws: count, seed } = shared.settings
  const shareOfKnot = new Map<number, number>()
  const durationS = steps.durationS.reduce((sum, s) => sum + s, 0)
  for (let i = 0; i < steps.time.length; i++) {
    const knot = Math.floor(steps.time[i] / TRAFFIC.knotS)
    shareOfKnot.set(knot, (shareOfKnot.get(knot) ?? 0) + steps.durationS[i] / durationS)
  }
  const sum = new Float64Array(count)
  for (const [knot, share] of shareOfKnot) {
    const draws = drawsOf(`traffic/${region}/${knot}`, count, seed)
    for (let k = 0; k < count; k++) sum[k] += TRAFFIC.sd * share * draws[k]
  }
  return sum
}

/** Elements behind the K draws of every column: the best estimate, and the best estimate of a vehicle without drag. */
const EXTRAS = 2

const withExtras = (draws: Float64Array, best: number, withoutDrag = best): Float64Array => {
  const out = new Float64Array(draws.length + EXTRAS)
  out.set(draws)
  out[draws.length] = best
  out[draws.length + 1] = withoutDrag
  return out
}

const extended = new WeakMap<SharedDraws, SharedDraws>()

/** The shared draws with the best estimates behind them. */
function withBestEstimates(shared: SharedDraws): SharedDraws {
  const known = extended.get(shared)
  if (known) return known
  const { vehicle } = shared
  const out: SharedDraws = {
    ...shared,
    massKg: withExtras(shared.massKg, vehicle.massKg.value),
    dragAreaM2: withExtras(shared.dragAreaM2, vehicle.dragAreaM2.value, 0),
    rolling: withExtras(shared.rolling, vehicle.rollingResistance.value),
    rollingTemperaturePerK: withExtras(shared.rollingTemperaturePerK, vehicle.rollingTemperaturePerK.value),
    dragYawRise: withExtras(shared.dragYawRise, vehicle.dragYawRise.value),
    idlePowerW: withExtras(shared.idlePowerW, vehicle.powertrain.idlePowerW.value),
    recovery: withExtras(shared.recovery, vehicle.powertrain.recovery.value),
    exposure: withExtras(shared.exposure, shared.bestExposure),
    turbulence: withExtras(shared.turbulence, shared.bestTurbulence),
  }
  extended.set(shared, out)
  return out
}

function airDraws(run: EnsembleRun, shared: SharedDraws): AirDraws {
  const { draws: count, seed } = shared.settings
  const { runAir, region } = run
  const { along } = runAir
  const zero = (): Float64Array => new Float64Array(count + EXTRAS)
  const add = (to: Float64Array, name: string, sd: number): void => {
    if (sd === 0) return
    const z = drawsOf(name, count, seed)
    for (let k = 0; k < count; k++) to[k] += sd * z[k]
  }
  const temperatureK = zero()
  const pressurePa = zero()
  const humidity = zero()
  const gain = zero()
  const turnDeg = zero()
  for (const { id, weight, errors } of runAir.stations) {
    add(temperatureK, `station/${id}/temperature`, weight * errors.temperatureK)
    add(pressurePa, `station/${id}/pressure`, weight * errors.pressurePa)
    add(humidity, `station/${id}/humidity`, weight * errors.relativeHumidity)
    add(gain, `station/${id}/wind-speed`, weight * errors.windSpeed)
    add(turnDeg, `station/${id}/wind-direction`, weight * errors.windFromDeg)
  }
  const middleTime = along.time[along.time.length >> 1]
  const day = Math.floor(middleTime / 86_400)
  const hour = Math.floor(middleTime / 3600)
  add(pressurePa, `assumed-pressure/${region}/${day}`, runAir.assumed.pressureSdPa)
  add(humidity, `assumed-humidity/${region}/${day}`, runAir.assumed.humiditySd)
  add(temperatureK, `temperature-departure/${region}/${hour}`, mean(along.temperatureDepartureSdK))
  const undirected = Math.floor(middleTime / UNDIRECTED_KNOT_S)
  return {
    density: densityFactors(runAir, temperatureK, pressurePa, humidity),
    temperatureK,
    windGain: gain.map((g) => Math.exp(g)),
    windTurnCos: turnDeg.map((d) => Math.cos(radians(d))),
    windTurnSin: turnDeg.map((d) => Math.sin(radians(d))),
    undirectedEast: withExtras(drawsOf(`undirected/${region}/${undirected}/east`, count, seed), 0),
    undirectedNorth: withExtras(drawsOf(`undirected/${region}/${undirected}/north`, count, seed), 0),
  }
}

/** Relative standard deviation of a run's mean density, from its stations' errors, the departure from them and what was assumed. */
export function densityRelativeSd(run: EnsembleRun, shared: SharedDraws): number {
  return standardDeviation(airDraws(run, shared).density.subarray(0, shared.settings.draws))
}

/** Relative change of the density for errors of its inputs: ideal gas with the lighter vapour in place of dry air. */
function densityFactors(
  { along }: RunAir,
  temperatureK: Float64Array,
  pressurePa: Float64Array,
  humidity: Float64Array,
): Float64Array {
  const t = mean(along.temperatureK)
  const p = mean(along.pressurePa)
  const vapourShare = (0.378 * saturationPressurePa(t)) / p
  return temperatureK.map((dT, k) => (1 + pressurePa[k] / p) / (1 + dT / t) - vapourShare * humidity[k])
}

interface DepartureDraws {
  firstKnot: number
  east: Float64Array[]
  north: Float64Array[]
}

function departureDraws(run: EnsembleRun, shared: SharedDraws): DepartureDraws {
  const { draws: count, seed } = shared.settings
  const { time } = run.steps
  const firstKnot = Math.floor(time[0] / DEPARTURE_KNOT_S)
  const lastKnot = Math.floor(time[time.length - 1] / DEPARTURE_KNOT_S) + 1
  const east: Float64Array[] = []
  const north: Float64Array[] = []
  for (let knot = firstKnot; knot <= lastKnot; knot++) {
    east.push(withExtras(drawsOf(`wind-departure/${run.region}/${knot}/east`, count, seed), 0))
    north.push(withExtras(drawsOf(`wind-departure/${run.region}/${knot}/north`, count, seed), 0))
  }
  return { firstKnot, east, north }
}
