/** What may be recorded among the drives of a car: a walk, a bicycle, a bus, a train, and a car in a jam. */
import { DT_S, drive, type TrueMotion } from './driver.ts'
import { gaussMarkov, randomOf } from './random.ts'
import type { Road } from './road.ts'

const columns = (distance: number[], speed: number[]): TrueMotion => ({
  dtS: DT_S,
  count: distance.length,
  distanceM: Float64Array.from(distance),
  speedMps: Float64Array.from(speed),
})

/** Goes on at a pace that a function of place and time gives, and stands now and then. */
function goOn(
  road: Road,
  seed: string,
  paceMps: (distanceM: number, mps: number) => number,
  stopEveryM: number,
): TrueMotion {
  const random = randomOf(`${seed}/mover`)
  const unrest = gaussMarkov(random)
  const [distance, speed]: [number[], number[]] = [[], []]
  let [at, mps, standing, nextStop] = [0, 0, 20, random.between(0.5, 1.5) * stopEveryM]
  while (at < road.lengthM) {
    distance.push(at)
    speed.push(mps)
    if (standing > 0) {
      standing--
      mps = 0
      continue
    }
    mps = Math.max(0.3, paceMps(at, mps))
    at += mps * (1 + 0.05 * unrest(DT_S / 20)) * DT_S
    if (at < nextStop) continue
    standing = Math.round(random.between(5, 40) / DT_S)
    nextStop = at + random.between(0.5, 1.5) * stopEveryM
  }
  return columns(distance, speed)
}

/**
 * A walk at 1.4 m/s.
 * @source usual walking speed: Bohannon, "Comfortable and maximum walking speed of adults", Age and Ageing 26 (1997) 15 (from memory)
 */
export const walk = (road: Road, seed: string): TrueMotion =>
  goOn(road, seed, (_, mps) => mps + Math.min(0.3, 1.4 - mps) * DT_S, 600)

/**
 * A cyclist who holds a power up and down the hills: 85 kg, 0.5 m² drag area, rolling resistance 0.006, at most 0.6 m/s²
 * and 14 m/s.
 * @source balance of power on a bicycle: Wilson, "Bicycling Science" (MIT Press), chapter 4 (sizes from memory)
 */
export function ride(road: Road, seed: string, powerW = 130): TrueMotion {
  return goOn(
    road,
    seed,
    (at, mps) => {
      const grade = road.grade[Math.min(road.count - 1, Math.floor(at / road.stepM))]
      const v = Math.max(1.5, mps)
      const force = powerW / v - 85 * 9.81 * (grade + 0.006) - 0.5 * 1.2 * 0.5 * v * v
      return Math.min(14, mps + Math.max(-1, Math.min(0.6, force / 85)) * DT_S)
    },
    2500,
  )
}

/** A bus: a car's driver at a bus's pace who stops every 250 to 500 m. */
export function rideBus(road: Road, seed: string): TrueMotion {
  const random = randomOf(`${seed}/stops`)
  const junctions: Road['junctions'] = []
  for (let m = 200; m < road.lengthM - 200; m += random.between(250, 500))
    junctions.push({ node: Math.round(m / road.stepM), probability: 1 })
  return drive({ ...road, junctions }, { seed, pace: 0.95 })
}

/** A car in a jam over the whole road: no faster than a walker in the middle, on and off. */
export function jam(road: Road, seed: string): TrueMotion {
  const random = randomOf(`${seed}/jam`)
  const wave = gaussMarkov(random)
  const [distance, speed]: [number[], number[]] = [[], []]
  let [at, mps] = [0, 0]
  while (at < road.lengthM) {
    distance.push(at)
    speed.push(mps)
    const wanted = Math.max(0, 1.6 + 2.2 * wave(DT_S / 12))
    mps = Math.max(0, mps + Math.max(-2, Math.min(1.3, (wanted - mps) / 1.5)) * DT_S)
    at += mps * DT_S
  }
  return columns(distance, speed)
}

/** A regional train on a line without sharp bends: 0.5 m/s² up to the line's speed, stations every few kilometres. */
export function rideTrain(line: Road, seed: string, topMps = 33): TrueMotion {
  const random = randomOf(`${seed}/stations`)
  const stations: number[] = []
  for (let m = random.between(2000, 4000); m < line.lengthM - 1500; m += random.between(2000, 5000)) stations.push(m)
  stations.push(line.lengthM)
  const [distance, speed]: [number[], number[]] = [[], []]
  let [at, mps, standing] = [0, 0, 60]
  while (stations.length > 0) {
    distance.push(at)
    speed.push(mps)
    if (standing > 0) {
      standing--
      continue
    }
    const leftM = stations[0] - at
    if (leftM < 1) {
      stations.shift()
      standing = Math.round(random.between(30, 70) / DT_S)
      mps = 0
      continue
    }
    mps = Math.max(0.5, Math.min(mps + 0.5 * DT_S, topMps, Math.sqrt(2 * 0.6 * leftM)))
    at += mps * DT_S
  }
  return columns(distance, speed)
}
