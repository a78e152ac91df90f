import { drawingOf } from '../base/draws.ts'
import { normalQuantile, normalShareBelow } from '../base/normal.ts'
import { present } from '../base/present.ts'
import { type ExposureDraws, exposureEverywhereSd, exposureFactor, SECTORS, WAVES } from './exposure.ts'
import { FRICTION_SPEED_MPS, frictionAtN } from './powertrains.ts'
import { SIN2_10_DEG, SIN2_25_DEG } from './road-load.ts'
import type { PowertrainModel, Uncertain, Vehicle } from './vehicle.ts'
import { CLASSES, type ClassValues, engineKg } from './vehicle-classes.ts'

export interface EnsembleSettings {
  draws: number
  seed: number
  /** Roughness length of the land along the road, m. */
  roughnessM: number
}

/**
 * How an engine's need beside the work divides into one that goes with time and one that goes with distance: the sum of
 * both at FRICTION_SPEED_MPS is kept, and the logit of the share of distance has this deviation. Common practice, no source.
 */
export const FRICTION_SPLIT_LOGIT_SD = 0.9
/**
 * Standard deviation of the gusts along the road as a share of the 10 m wind: 2.4 friction velocities over open land.
 * @source Panofsky and Dutton, Atmospheric Turbulence, 1984 (from memory)
 */
const TURBULENCE: Uncertain = { value: 0.17, sd: 0.05 }

/** With less the drag would push a vehicle at 25° of yaw. */
const LEAST_YAW_RISE = (-0.9 * SIN2_10_DEG) / SIN2_25_DEG

/** K draws of everything that belongs to the vehicle and the land: the same for every run of a campaign. */
export interface SharedDraws extends ExposureDraws {
  settings: EnsembleSettings
  massKg: Float64Array
  dragAreaM2: Float64Array
  rolling: Float64Array
  rollingTemperaturePerK: Float64Array
  dragYawRise: Float64Array
  idlePowerW: Float64Array
  /** Of the engine, along the road: what is the same at all speeds, and what grows with it, N/(m/s). */
  frictionN: Float64Array
  frictionNPerMps: Float64Array
  recovery: Float64Array
  /** Best estimate of the wind at the vehicle over wind at 10 m, by the log law alone. */
  bestExposure: number
  turbulence: Float64Array
  bestTurbulence: number
  vehicle: Vehicle
  /** Names of all these draws. */
  names: ReadonlySet<string>
}

export function sharedDraws(vehicle: Vehicle, settings: EnsembleSettings): SharedDraws {
  const names = new Set<string>()
  const draw = drawingOf(settings, names)
  const normal = (name: string, { value, sd }: Uncertain): Float64Array => draw(name).map((z) => value + sd * z)
  const positive = (name: string, { value, sd }: Uncertain): Float64Array =>
    draw(name).map((z) => (value === 0 ? 0 : value * Math.exp((sd / value) * z)))
  const heightFactor = exposureFactor(vehicle.referenceHeightM, settings)
  const exposureRelativeSd = exposureEverywhereSd(vehicle.referenceHeightM, settings)
  const drawn: SharedDraws = {
    settings,
    vehicle,
    names,
    massKg: positive('vehicle/mass', vehicle.massKg),
    dragAreaM2: positive('vehicle/drag-area', vehicle.dragAreaM2),
    rolling: positive('vehicle/rolling-resistance', vehicle.rollingResistance),
    rollingTemperaturePerK: normal('vehicle/rolling-temperature', vehicle.rollingTemperaturePerK),
    dragYawRise: normal('vehicle/drag-yaw-rise', vehicle.dragYawRise).map((rise) => Math.max(LEAST_YAW_RISE, rise)),
    ...engineDraws(vehicle.powertrain, draw),
    recovery: normal('vehicle/recovery', vehicle.powertrain.recovery).map((r) => Math.min(1, Math.max(0, r))),
    exposure: positive('road/exposure', { value: heightFactor, sd: exposureRelativeSd * heightFactor }),
    exposureSectors: SECTORS.map((sector) => draw(`road/exposure/${sector}`)),
    exposureWaves: WAVES.flatMap(({ name }) => [draw(`road/exposure/${name}/cos`), draw(`road/exposure/${name}/sin`)]),
    bestExposure: heightFactor,
    turbulence: normal('air/turbulence', TURBULENCE).map((t) => Math.max(0, t)),
    bestTurbulence: TURBULENCE.value,
  }
  return vehicle.classes.length > 0 ? withDrawnClass(drawn, draw('vehicle/class')) : drawn
}

/** Idling and friction: their sum by one draw, how it divides by another, how much of the friction grows with speed by a third. */
function engineDraws(
  { idlePowerW, frictionN }: PowertrainModel,
  draw: (name: string) => Float64Array,
): Pick<SharedDraws, 'idlePowerW' | 'frictionN' | 'frictionNPerMps'> {
  const speedMps = FRICTION_SPEED_MPS
  const sumW = idlePowerW.value + frictionN * speedMps
  if (sumW === 0) {
    // A rider takes nothing while standing.
    const nothing = draw('vehicle/idle-power').map(() => 0)
    return { idlePowerW: nothing, frictionN: nothing, frictionNPerMps: nothing }
  }
  const factor = draw('vehicle/idle-power').map((z) => Math.exp((idlePowerW.sd / idlePowerW.value) * z))
  const frictionShare = draw('vehicle/friction-split').map(
    // Odds of the share of distance: exact for a share of nothing.
    (z) => 1 - 1 / (1 + ((frictionN * speedMps) / idlePowerW.value) * Math.exp(FRICTION_SPLIT_LOGIT_SD * z)),
  )
  const rise = draw('vehicle/friction-rise').map(normalShareBelow)
  const wholeN = factor.map((f, k) => (f * sumW * frictionShare[k]) / speedMps)
  return {
    idlePowerW: factor.map((f, k) => f * sumW * (1 - frictionShare[k])),
    frictionN: wholeN.map((whole, k) => whole * (1 - rise[k])),
    frictionNPerMps: wholeN.map((whole, k) => (whole * rise[k]) / speedMps),
  }
}

/**
 * Each draw is a vehicle of another class, from motorcycles to lorries, brought to the mass of the one that is taken: two
 * drives differ by what drag, tyres, engine and height are to the mass, and the level stays one that can be read.
 */
function withDrawnClass(shared: SharedDraws, draws: Float64Array): SharedDraws {
  const taken = CLASSES[shared.vehicle.class]
  let below = 0
  const upTo = shared.vehicle.classes.map(({ class: of, probability }) => {
    below += probability
    return { of: CLASSES[of], z: below < 1 - 1e-9 ? normalQuantile(below) : Number.POSITIVE_INFINITY }
  })
  const classes = Array.from(draws, (z) => present(upTo.find((one) => z < one.z)).of)
  const times = (column: Float64Array, value: (of: ClassValues) => number): Float64Array =>
    column.map((drawn, k) => (drawn * value(classes[k])) / value(taken))
  return {
    ...shared,
    dragAreaM2: times(shared.dragAreaM2, ({ dragAreaM2, massKg }) => dragAreaM2 / massKg),
    rolling: times(shared.rolling, ({ rolling }) => rolling),
    rollingTemperaturePerK: times(shared.rollingTemperaturePerK, (of) => of.rollingTemperaturePerK.value),
    dragYawRise: shared.dragYawRise.map((rise, k) => rise + classes[k].yawRise.value - taken.yawRise.value),
    idlePowerW: times(shared.idlePowerW, ({ massKg }) => engineKg(massKg) / massKg),
    frictionN: times(shared.frictionN, ({ massKg }) => engineKg(massKg) / massKg),
    frictionNPerMps: times(shared.frictionNPerMps, ({ massKg }) => engineKg(massKg) / massKg),
    exposure: times(shared.exposure, ({ heightM }) => exposureFactor(heightM, shared.settings)),
  }
}

/** Elements behind the K draws of every column: the best estimate, and the best estimate of a vehicle without drag. */
export const EXTRAS = 2

export const withExtras = (draws: Float64Array, best: number, withoutDrag = best): Float64Array => {
  const out = new Float64Array(draws.length + EXTRAS)
  out.set(draws)
  out[draws.length] = best
  out[draws.length + 1] = withoutDrag
  return out
}

const extended = new WeakMap<SharedDraws, SharedDraws>()

/** The shared draws with the best estimates behind them. */
export function withBestEstimates(shared: SharedDraws): SharedDraws {
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
    frictionN: withExtras(shared.frictionN, frictionAtN(vehicle.powertrain.frictionN, 0)),
    frictionNPerMps: withExtras(
      shared.frictionNPerMps,
      frictionAtN(vehicle.powertrain.frictionN, 1) - frictionAtN(vehicle.powertrain.frictionN, 0),
    ),
    recovery: withExtras(shared.recovery, vehicle.powertrain.recovery.value),
    exposure: withExtras(shared.exposure, shared.bestExposure),
    exposureSectors: shared.exposureSectors.map((draws) => withExtras(draws, 0)),
    exposureWaves: shared.exposureWaves.map((draws) => withExtras(draws, 0)),
    turbulence: withExtras(shared.turbulence, shared.bestTurbulence),
  }
  extended.set(shared, out)
  return out
}
