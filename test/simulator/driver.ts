import { gaussMarkov, randomOf } from './random.ts'
import type { Road } from './road.ts'

/** The true motion along the road's axis, `dtS` apart; columns of one length. */
export interface TrueMotion {
  dtS: number
  count: number
  /** m from the road's start. */
  distanceM: Float64Array
  speedMps: Float64Array
}

export interface DriverSettings {
  seed: string
  /** Preferred speed as a share of the limit. */
  pace?: number
  /** What the engine can do with the vehicle's mass; by default a car's. */
  pull?: Pull
  /** Scale of speed noise, traffic and stops; 0 for a cruise at exactly the limit from the first to the last metre. */
  unrest?: number
}

/** The most that it quickens, m/s²; its power for that beyond what rolling, air and climbs take, W/kg; its limiter, m/s. */
export interface Pull {
  mostMps2: number
  wattPerKg: number
  limiterMps: number
}

/**
 * A lorry of 17 t with 250 kW, of which 60 kW go into rolling and air at 80 km/h; it pulls away at no more than 0.8 m/s², with
 * its many gears (common practice, no source). Its limiter holds 90 km/h.
 * @source limiter: Directives 92/6/EEC and 2002/85/EC (from memory)
 */
export const PULL_OF_LORRY: Pull = { mostMps2: 0.8, wattPerKg: 9, limiterMps: 25 }

export const DT_S = 0.5
const BRAKING_MPS2 = 1.1
const SIDEWAYS_MPS2 = 2.2

/** How one driver drives the road once: own pace, speed noise, slower traffic, stops at some junctions. */
export function drive(road: Road, settings: DriverSettings): TrueMotion {
  const { seed, pace = 1, unrest = 1, pull } = settings
  const random = randomOf(`${seed}/driver`)
  const stops = unrest > 0 ? drawStops(road, random) : []
  const envelope = speedEnvelope(road, stops, pace, unrest > 0, random)
  const noise = gaussMarkov(random)
  const columns = { distance: [] as number[], speed: [] as number[] }
  let [s, v] = [0, unrest > 0 ? 0 : envelope[0]]
  let standing = unrest > 0 ? Math.round(random.between(10, 40) / DT_S) : 0
  let nextStop = 0
  const end = road.lengthM
  while (s < end) {
    columns.distance.push(s)
    columns.speed.push(v)
    if (standing > 0) {
      standing--
      continue
    }
    const desired = envelopeAt(envelope, road.stepM, s + 0.8 * v) * (1 + 0.03 * unrest * noise(DT_S / 40))
    const wanted = Math.min(pull?.limiterMps ?? Number.POSITIVE_INFINITY, desired)
    const most = pull ? Math.min(pull.mostMps2, pull.wattPerKg / v) : 1.6 - v / 45
    const limited = unrest > 0 ? Math.min(most, Math.max(-2.2, (wanted - v) / 2)) : 0
    const next = Math.max(0.8, v + limited * DT_S)
    s += ((v + next) / 2) * DT_S
    v = next
    if (nextStop < stops.length && s > stops[nextStop].distanceM - 2) {
      standing = Math.round(stops[nextStop].durationS / DT_S)
      v = 0
      nextStop++
    }
  }
  if (unrest > 0) standStill(columns, end, Math.round(random.between(5, 30) / DT_S))
  return columnsOf(columns.distance, columns.speed)
}

function drawStops(road: Road, random: ReturnType<typeof randomOf>) {
  const stops = road.junctions
    .filter((junction) => random.uniform() < junction.probability)
    .map((junction) => ({ distanceM: junction.node * road.stepM, durationS: random.between(3, 45) }))
  if (road.turnNode > 0) stops.push({ distanceM: road.turnNode * road.stepM, durationS: random.between(20, 60) })
  return stops.sort((a, b) => a.distanceM - b.distanceM)
}

/** The speed allowed at each node by limits, bends, traffic and the braking distance to what comes. */
function speedEnvelope(
  road: Road,
  stops: { distanceM: number }[],
  pace: number,
  bends: boolean,
  random: ReturnType<typeof randomOf>,
): Float64Array {
  const envelope = road.limitMps.map((limit, i) =>
    Math.min(limit * pace, bends ? Math.sqrt(SIDEWAYS_MPS2 * road.radiusM[i]) : Number.POSITIVE_INFINITY),
  )
  if (!bends) return envelope
  for (let node = random.between(0, 4000); node < road.count; node += random.between(1500, 5000)) {
    const share = random.between(0.72, 0.95)
    const last = Math.min(road.count, Math.floor(node + random.between(60, 300)))
    for (let i = Math.floor(node); i < last; i++) envelope[i] *= share
  }
  for (const stop of stops) envelope[Math.round(stop.distanceM / road.stepM)] = 0
  envelope[road.count - 1] = 0
  for (let i = road.count - 2; i >= 0; i--)
    envelope[i] = Math.min(envelope[i], Math.sqrt(envelope[i + 1] ** 2 + 2 * BRAKING_MPS2 * road.stepM))
  return envelope
}

function envelopeAt(envelope: Float64Array, stepM: number, distanceM: number): number {
  const at = Math.min(envelope.length - 1, Math.max(0, distanceM / stepM))
  const i = Math.min(envelope.length - 2, Math.floor(at))
  return envelope[i] + (at - i) * (envelope[i + 1] - envelope[i])
}

function standStill(columns: { distance: number[]; speed: number[] }, at: number, steps: number): void {
  for (let i = 0; i < steps; i++) {
    columns.distance.push(at)
    columns.speed.push(0)
  }
}

function columnsOf(distance: number[], speed: number[]): TrueMotion {
  const count = distance.length
  return {
    dtS: DT_S,
    count,
    distanceM: Float64Array.from(distance),
    speedMps: Float64Array.from(speed),
  }
}
