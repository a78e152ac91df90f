import type { TrueMotion } from './driver.ts'
import { gaussMarkov, randomOf } from './random.ts'
import type { Road } from './road.ts'
import type { Weather } from './weather.ts'

/** The true vehicle. Nothing here is known to the program under test. */
export interface Vehicle {
  massKg: number
  dragAreaM2: number
  /** At 25 °C, warm tyres, walking pace. */
  rollingResistance: number
  /** `human`: work at the pedals. */
  powertrain: 'petrol' | 'diesel' | 'electric' | 'human'
  /** Fuel power of the idling engine, or what an electric vehicle's accessories draw, W. */
  idleW: number
  /** Share of the drag gained at 10° of yaw. */
  yawGain?: number
  /** Relative fall of rolling resistance per kelvin, about 25 °C; by default 0.0075. */
  rollingFallPerK?: number
  /** Share of the braking work that an electric vehicle gets back. */
  recovers?: number
  /** Scale of gusts, warm-up and the speed and load terms; 0 leaves the plain textbook vehicle. */
  finesse?: number
  /** Scale of what it saves behind others; by default 0. */
  slipstream?: number
}

export const delivery: Vehicle = {
  massKg: 2400,
  dragAreaM2: 1.45,
  rollingResistance: 0.0092,
  powertrain: 'diesel',
  idleW: 7500,
}
export const smallCar: Vehicle = {
  massKg: 1280,
  dragAreaM2: 0.66,
  rollingResistance: 0.0098,
  powertrain: 'petrol',
  idleW: 7000,
}

/** The same vehicle with another drag area: the effect that a campaign looks for. */
export const withDrag = (vehicle: Vehicle, changePct: number): Vehicle => ({
  ...vehicle,
  dragAreaM2: vehicle.dragAreaM2 * (1 + changePct / 100),
})

/**
 * The vehicle as it left the factory and stands on its tyres: no two of one kind are the same. Mass, drag area and rolling
 * scatter by 2, 5 and 8 %, idling by 20 % (common practice, no source); the gain of drag at 10° by 0.03, as cars in wind
 * tunnels differ (some percent to 12 %, from memory); the fall of rolling with temperature by a fifth, as the coefficients of
 * UN R117 and UN GTR 15 for several kinds of tyres do (0.006 to 0.010, from memory).
 */
export function asBuilt(vehicle: Vehicle, seed: string): Vehicle {
  const random = randomOf(`${seed}/vehicle`)
  const { yawGain = YAW_GAIN, rollingFallPerK = ROLLING_FALL_PER_K } = vehicle
  return {
    ...vehicle,
    massKg: vehicle.massKg * (1 + 0.02 * random.normal()),
    dragAreaM2: vehicle.dragAreaM2 * (1 + 0.05 * random.normal()),
    rollingResistance: vehicle.rollingResistance * (1 + 0.08 * random.normal()),
    idleW: vehicle.idleW * Math.exp(0.2 * random.normal()),
    yawGain: Math.max(0, yawGain + 0.03 * random.normal()),
    rollingFallPerK: rollingFallPerK * Math.exp(0.2 * random.normal()),
  }
}

const YAW_GAIN = 0.04
const ROLLING_FALL_PER_K = 0.0075

/** What the run truly took. */
export interface Truth {
  distanceM: number
  durationS: number
  idleS: number
  /** Work at the wheel by its cause; they sum to `wheelJ`. */
  aeroJ: number
  rollingJ: number
  gradeJ: number
  inertiaJ: number
  wheelJ: number
  /** Positive part of the wheel work. */
  energyJ: number
  /** Negative part (below zero). */
  brakingJ: number
  fuelEnergyJ: number
  /** Fuel energy per distance. */
  demandJPerM: number
  /** Positive wheel work per distance. */
  wheelDemandJPerM: number
  meanSpeedMps: number
  meanDensityKgM3: number
  meanTemperatureC: number
  /** Over distance, at the height of the vehicle, gusts included. */
  meanHeadwindMps: number
  meanCrosswindAbsMps: number
}

const GRAVITY = 9.80665
/** Weather is looked up this often and interpolated. */
const WEATHER_STEP_S = 10
/** Length of the eddies at the height of the vehicle. */
const EDDY_M = 60
/**
 * A fifth of the way is driven behind another vehicle, 3 km at a time, a second or two behind it, where the drag is 2 to 6 %
 * less: a quarter at one car length and a tenth at four in tests of platoons.
 * @source Zabat, Stabile, Frascaroli and Browand, The Aerodynamic Performance of Platoons, UCB-ITS-PRR-95-35 (1995, from memory)
 */
const FOLLOWING = { share: 0.2, lengthM: 3000, saved: [0.02, 0.06] as const, fromMps: 8 }

/** What a drive met at each node of the road: wind at the vehicle with its gusts, density, temperature of the tyres. */
export interface Met {
  head: Float64Array
  cross: Float64Array
  density: Float64Array
  tyreC: Float64Array
}

/** What the vehicle meets at a step from one node of the road, at the air speed of the step before. */
interface MetHere {
  head: number
  cross: number
  density: number
  temperatureC: number
  tyreC: number
}
type Meets = (step: number, node: number, airspeedMps: number) => MetHere

/**
 * Drives the vehicle through the motion and the weather and adds up what it takes.
 * @param met written with what the drive met
 */
export function truthOf(
  road: Road,
  motion: TrueMotion,
  weather: Weather,
  vehicle: Vehicle,
  startS: number,
  seed: string,
  met?: Met,
): Truth {
  const { finesse = 1 } = vehicle
  return driven(road, motion, vehicle, seed, meeting(road, motion, weather, startS, `${seed}/gusts`, finesse), met)
}

/** Fuel energy per distance under the conditions that other drives met at the same nodes, J/m. */
export function demandUnder(
  road: Road,
  motion: TrueMotion,
  vehicle: Vehicle,
  seed: string,
  { density, wind, warmth }: { density: Met; wind: Met; warmth: Met },
): number {
  const meets: Meets = (_, node) => ({
    head: wind.head[node],
    cross: wind.cross[node],
    density: density.density[node],
    temperatureC: Number.NaN,
    tyreC: warmth.tyreC[node],
  })
  return driven(road, motion, vehicle, seed, meets).demandJPerM
}

/** The weather along the drive, with gusts of its own. */
function meeting(
  road: Road,
  motion: TrueMotion,
  weather: Weather,
  startS: number,
  gustSeed: string,
  finesse: number,
): Meets {
  const random = randomOf(gustSeed)
  const gusts = [gaussMarkov(random), gaussMarkov(random)]
  const air = weatherAlong(road, motion, weather, startS)
  const { dtS } = motion
  return (step, node, airspeedMps) => {
    const { east, north, density, temperatureC, tyreC } = air(step * dtS)
    const { head, cross } = windAtVehicle(road, node, east, north, [
      finesse * gusts[0]((airspeedMps * dtS) / EDDY_M),
      finesse * gusts[1]((airspeedMps * dtS) / EDDY_M),
    ])
    return { head, cross, density, temperatureC, tyreC }
  }
}

function driven(road: Road, motion: TrueMotion, vehicle: Vehicle, seed: string, meets: Meets, met?: Met): Truth {
  const { yawGain = YAW_GAIN, rollingFallPerK = ROLLING_FALL_PER_K, finesse = 1, slipstream = 0, massKg } = vehicle
  const savedAt = savedBehindOthers(`${seed}/slipstream`, slipstream)
  const sum = { aero: 0, rolling: 0, grade: 0, inertia: 0, positive: 0, negative: 0, fuel: 0, idle: 0 }
  const mean = { density: 0, temperature: 0, headwind: 0, crosswind: 0 }
  const gradeAt = gradeLookup(road)
  let airspeed = 1
  for (let i = 0; i < motion.count - 1; i++) {
    const dt = motion.dtS
    const ds = motion.distanceM[i + 1] - motion.distanceM[i]
    const v = ds / dt
    const node = Math.min(road.count - 1, Math.floor(motion.distanceM[i] / road.stepM))
    const at = meets(i, node, airspeed)
    if (met) {
      met.head[node] = at.head
      met.cross[node] = at.cross
      met.density[node] = at.density
      met.tyreC[node] = at.tyreC
    }
    const along = v + at.head
    airspeed = Math.max(1, Math.hypot(along, at.cross))
    const behind = v > FOLLOWING.fromMps ? 1 - savedAt(motion.distanceM[i]) : 1
    const drag = behind * dragN(at.density, vehicle.dragAreaM2, yawGain, along, at.cross)
    const slope = gradeAt((motion.distanceM[i] + motion.distanceM[i + 1]) / 2)
    const warmth = 1 + rollingFallPerK * (25 - at.tyreC)
    const crr = warmth * rollingCoefficient(vehicle.rollingResistance, v, i * dt, finesse)
    const rolling = v > 0 ? massKg * GRAVITY * crr * Math.cos(Math.atan(slope)) : 0
    const climbing = massKg * GRAVITY * Math.sin(Math.atan(slope))
    const inertiaJ = massKg * 1.04 * 0.5 * (motion.speedMps[i + 1] ** 2 - motion.speedMps[i] ** 2)
    const powerW = (drag + rolling + climbing) * v + inertiaJ / dt
    sum.aero += drag * ds
    sum.rolling += rolling * ds
    sum.grade += climbing * ds
    sum.inertia += inertiaJ
    if (powerW > 0) sum.positive += powerW * dt
    else sum.negative += powerW * dt
    sum.fuel += fuelPowerW(vehicle, powerW, v, finesse) * dt
    if (v === 0) sum.idle += dt
    mean.density += at.density * ds
    mean.temperature += at.temperatureC * ds
    mean.headwind += at.head * ds
    mean.crosswind += Math.abs(at.cross) * ds
  }
  const distanceM = motion.distanceM[motion.count - 1]
  const durationS = (motion.count - 1) * motion.dtS
  return {
    distanceM,
    durationS,
    idleS: sum.idle,
    aeroJ: sum.aero,
    rollingJ: sum.rolling,
    gradeJ: sum.grade,
    inertiaJ: sum.inertia,
    wheelJ: sum.aero + sum.rolling + sum.grade + sum.inertia,
    energyJ: sum.positive,
    brakingJ: sum.negative,
    fuelEnergyJ: sum.fuel,
    demandJPerM: sum.fuel / distanceM,
    wheelDemandJPerM: sum.positive / distanceM,
    meanSpeedMps: distanceM / durationS,
    meanDensityKgM3: mean.density / distanceM,
    meanTemperatureC: mean.temperature / distanceM,
    meanHeadwindMps: mean.headwind / distanceM,
    meanCrosswindAbsMps: mean.crosswind / distanceM,
  }
}

/** Share of the drag that a drive saves behind others, at rising distances. */
function savedBehindOthers(seed: string, scale: number): (distanceM: number) => number {
  const random = randomOf(seed)
  const { share, lengthM } = FOLLOWING
  let [isBehind, toM, saved] = [true, 0, 0]
  return (distanceM) => {
    while (scale > 0 && distanceM >= toM) {
      isBehind = !isBehind
      toM -= (isBehind ? lengthM : (lengthM * (1 - share)) / share) * Math.log(1 - random.uniform())
      saved = isBehind ? scale * random.between(...FOLLOWING.saved) : 0
    }
    return saved
  }
}

/** Axial drag on the air speed, with a drag area that grows with yaw and levels off beyond about 20°. */
export function dragN(density: number, dragAreaM2: number, yawGain: number, along: number, cross: number): number {
  const yaw = Math.atan2(Math.abs(cross), Math.abs(along))
  const gain = 1 + yawGain * 4 * Math.tanh((yaw / 0.349) ** 2)
  return 0.5 * density * dragAreaM2 * gain * (along ** 2 + cross ** 2) * Math.sign(along)
}

/** Rises with speed, falls while the tyres warm up (12 %, 6 min). */
function rollingCoefficient(at25: number, speedMps: number, sinceStartS: number, finesse: number): number {
  const cold = 0.12 * Math.exp(-sinceStartS / 360)
  const fast = 0.18 * (speedMps / 30) ** 2
  return at25 * (1 + finesse * (cold + fast))
}

/** Fuel or battery power for a wheel power: losses that depend on load and speed, overrun that pays the engine's friction. */
export function fuelPowerW(vehicle: Vehicle, wheelW: number, speedMps: number, finesse: number): number {
  if (vehicle.powertrain === 'human') return Math.max(0, wheelW) / 0.96
  const gears = 0.95 - finesse * 0.05 * Math.exp(-Math.max(0, wheelW) / 8000)
  if (vehicle.powertrain === 'electric') {
    if (wheelW > 0) return vehicle.idleW + wheelW / (gears * (0.92 - finesse * 2e-7 * wheelW))
    return vehicle.idleW + Math.max(-40000, wheelW * (speedMps > 3 ? (vehicle.recovers ?? 0.62) : 0))
  }
  const indicated = vehicle.powertrain === 'diesel' ? 0.44 : 0.38
  const friction = vehicle.idleW * (1 + finesse * 0.6 * (speedMps / 25))
  if (wheelW >= 0) return friction + wheelW / (gears * indicated) + finesse * 6e-7 * wheelW * wheelW
  return finesse > 0 && speedMps > 6 ? Math.max(0, friction + wheelW / indicated) : friction
}

/** Wind against and across the vehicle, at its height: exposure, turning along the road, gusts of a quarter of the mean. */
function windAtVehicle(road: Road, node: number, east: number, north: number, gust: number[]) {
  const course = (road.courseDeg[node] * Math.PI) / 180
  const [sin, cos] = [Math.sin(course), Math.cos(course)]
  const mean = road.exposure[node] * Math.hypot(east, north)
  return {
    head: -road.exposure[node] * (east * sin + north * cos) + 0.28 * mean * gust[0],
    cross: road.crossShare[node] * (road.exposure[node] * (east * cos - north * sin) + 0.24 * mean * gust[1]),
  }
}

function gradeLookup(road: Road): (distanceM: number) => number {
  return (distanceM) => {
    const at = Math.min(road.count - 2, Math.max(0, distanceM / road.stepM))
    return road.grade[Math.floor(at)]
  }
}

function weatherAlong(road: Road, motion: TrueMotion, weather: Weather, startS: number) {
  const every = Math.round(WEATHER_STEP_S / motion.dtS)
  const samples = Array.from({ length: Math.floor((motion.count - 1) / every) + 2 }, (_, k) => {
    const i = Math.min(motion.count - 1, k * every)
    const node = Math.min(road.count - 1, Math.floor(motion.distanceM[i] / road.stepM))
    return weather.at(startS + i * motion.dtS, road.latitude[node], road.longitude[node], road.elevationM[node])
  })
  return (sinceStartS: number) => {
    const at = sinceStartS / WEATHER_STEP_S
    const k = Math.min(samples.length - 2, Math.floor(at))
    const share = at - k
    const mix = (a: number, b: number) => a + share * (b - a)
    const [a, b] = [samples[k], samples[k + 1]]
    return {
      east: mix(a.windEastMps, b.windEastMps),
      north: mix(a.windNorthMps, b.windNorthMps),
      density: mix(a.densityKgM3, b.densityKgM3),
      temperatureC: mix(a.temperatureK, b.temperatureK) - 273.15,
      tyreC: mix(a.temperatureK + a.sunOnTyresK, b.temperatureK + b.sunOnTyresK) - 273.15,
    }
  }
}
