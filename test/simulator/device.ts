import type { TrueMotion } from './driver.ts'
import { gaussMarkov, type Random, randomOf } from './random.ts'
import { curvatureRadii, type Road } from './road.ts'

/** What a device wrote down; columns of one length. */
export interface Fixes {
  timeS: number[]
  latitude: number[]
  longitude: number[]
  elevationM: number[]
}

export interface DeviceSettings {
  seed: string
  sampleS?: number
  /** Scale of all errors; 0 for a perfect device. */
  noise?: number
}

const LANE_M = 1.75

/** Fixes of the motion: slowly wandering errors of 2 to 3 m, white ones of 0.3 m, lost samples and short dropouts. */
export function recordFixes(road: Road, motion: TrueMotion, startS: number, settings: DeviceSettings): Fixes {
  const { seed, sampleS = 1, noise = 1 } = settings
  const random = randomOf(`${seed}/device`)
  const wander = [gaussMarkov(random), gaussMarkov(random), gaussMarkov(random)]
  const size = { axis: random.between(2, 3), tau: random.between(60, 200), height: random.between(2, 5) }
  const heightOffset = 5 * random.normal()
  const lost = lostSamples(random, noise)
  const fixes: Fixes = { timeS: [], latitude: [], longitude: [], elevationM: [] }
  const every = Math.round(sampleS / motion.dtS)
  for (let i = 0; i < motion.count; i += every) {
    const east = noise * (size.axis * wander[0](sampleS / size.tau) + 0.3 * random.normal())
    const north = noise * (size.axis * wander[1](sampleS / size.tau) + 0.3 * random.normal())
    const up = noise * (heightOffset + size.height * wander[2](sampleS / 300) + random.normal())
    if (lost(sampleS)) continue
    const place = placeAt(road, motion.distanceM[i], east, north, noise > 0 ? LANE_M : 0)
    fixes.timeS.push(startS + i * motion.dtS)
    fixes.latitude.push(Number(place.latitude.toFixed(7)))
    fixes.longitude.push(Number(place.longitude.toFixed(7)))
    fixes.elevationM.push(Number((place.elevationM + up).toFixed(1)))
  }
  return fixes
}

/** Three samples in a thousand are missing; about every 20 min a dropout of 3 to 15 s. */
function lostSamples(random: Random, noise: number): (sampleS: number) => boolean {
  let dropoutS = 0
  return (sampleS) => {
    if (noise === 0) return false
    if (random.uniform() < sampleS / 1200) dropoutS = random.between(3, 15)
    dropoutS -= sampleS
    return dropoutS > 0 || random.uniform() < 0.003
  }
}

/** The place on the road, moved to the right lane and by the errors given (m towards east and north). */
function placeAt(road: Road, distanceM: number, eastM: number, northM: number, laneM: number) {
  const at = Math.min(road.count - 1.000001, Math.max(0, distanceM / road.stepM))
  const i = Math.floor(at)
  const share = at - i
  const mix = (column: Float64Array) => column[i] + share * (column[i + 1] - column[i])
  const course = (road.courseDeg[i] * Math.PI) / 180
  const latitude = mix(road.latitude)
  const { meridian, across } = curvatureRadii(latitude)
  const toDeg = 180 / Math.PI
  const east = eastM + laneM * Math.cos(course)
  const north = northM - laneM * Math.sin(course)
  return {
    latitude: latitude + (north / meridian) * toDeg,
    longitude: mix(road.longitude) + (east / (across * Math.cos(latitude / toDeg))) * toDeg,
    elevationM: mix(road.elevationM),
  }
}

/** GPX 1.1, one track of one segment. */
export function gpxText(fixes: Fixes, name: string, creator = 'simulated logger'): string {
  const points = fixes.timeS.map((timeS, i) => {
    const iso = new Date(timeS * 1000).toISOString().replace('.000Z', 'Z')
    const at = `lat="${fixes.latitude[i].toFixed(7)}" lon="${fixes.longitude[i].toFixed(7)}"`
    return `<trkpt ${at}><ele>${fixes.elevationM[i].toFixed(1)}</ele><time>${iso}</time></trkpt>`
  })
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<gpx version="1.1" creator="${creator}" xmlns="http://www.topografix.com/GPX/1/1">`,
    `<trk><name>${name}</name><trkseg>`,
    ...points,
    '</trkseg></trk>',
    '</gpx>',
    '',
  ].join('\n')
}
