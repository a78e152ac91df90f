import { between } from '../base/arithmetic.ts'
import { courseDeg } from '../track/geodesy.ts'
import { type Drive, GAP } from '../track/types.ts'
import type { Path } from './types.ts'

const LEAST_SPACING_M = 20
const MOST_POINTS = 2500

/** The path of a drive at even steps of its distance, standing left out. */
export function pathOf(drive: Drive): Path {
  const lengthM = drive.motion.distanceM[drive.motion.count - 1]
  return sampledPath(drive, Math.max(LEAST_SPACING_M, lengthM / MOST_POINTS))
}

/** The path of a drive at steps of `spacingM`, standing left out. */
export function sampledPath(drive: Drive, spacingM: number): Path {
  const { motion } = drive
  const lengthM = motion.distanceM[motion.count - 1]
  const count = Math.max(2, Math.floor(lengthM / spacingM) + 1)
  const path: Path = {
    distanceM: new Float64Array(count),
    latitude: new Float64Array(count),
    longitude: new Float64Array(count),
    courseDeg: new Float64Array(count),
    inGap: new Uint8Array(count),
    spacingM,
    lengthM,
    corridorM: corridorOf(drive),
    doubt: drive.gapShare + drive.positionNoiseM / 50 + Math.max(0, drive.medianFixIntervalS - 2) / 50,
  }
  let row = 0
  for (let i = 0; i < count; i++) {
    const wanted = Math.min(i * spacingM, lengthM)
    while (row < motion.count - 2 && motion.distanceM[row + 1] < wanted) row++
    const step = motion.distanceM[row + 1] - motion.distanceM[row]
    const share = step > 0 ? Math.min(1, Math.max(0, (wanted - motion.distanceM[row]) / step)) : 0
    path.distanceM[i] = wanted
    path.inGap[i] = motion.state[share > 0 ? row + 1 : row] === GAP ? 1 : 0
    path.latitude[i] = between(motion.latitude[row], motion.latitude[row + 1], share)
    path.longitude[i] = between(motion.longitude[row], motion.longitude[row + 1], share)
  }
  for (let i = 0; i < count; i++) {
    const from = Math.max(0, i - 1)
    const to = Math.min(count - 1, i + 1)
    path.courseDeg[i] = courseDeg(path.latitude[from], path.longitude[from], path.latitude[to], path.longitude[to])
  }
  return path
}

/**
 * 35 m for a good receiver on a dual carriageway; more where positions scatter, or fixes are so far apart that bends are
 * cut. Common practice, no source; held against real roads in test/road/real-roads.test.ts.
 */
function corridorOf(drive: Drive): number {
  const cutBendsM = Math.min(40, Math.max(0, drive.medianFixIntervalS - 3) * 3)
  return 35 + Math.min(60, 2 * drive.positionNoiseM) + cutBendsM
}

/** The same path driven the other way. */
export function reversed(path: Path): Path {
  return {
    ...path,
    distanceM: path.distanceM.map((_, i) => path.lengthM - path.distanceM[path.distanceM.length - 1 - i]),
    latitude: path.latitude.slice().reverse(),
    longitude: path.longitude.slice().reverse(),
    inGap: path.inGap.slice().reverse(),
    courseDeg: path.courseDeg
      .slice()
      .reverse()
      .map((c) => (c + 180) % 360),
  }
}

/** Part of a path between two points, as a path of its own. */
export function cut(path: Path, from: number, to: number): Path {
  const startM = path.distanceM[from]
  return {
    ...path,
    distanceM: path.distanceM.slice(from, to).map((d) => d - startM),
    latitude: path.latitude.slice(from, to),
    longitude: path.longitude.slice(from, to),
    courseDeg: path.courseDeg.slice(from, to),
    inGap: path.inGap.slice(from, to),
    lengthM: path.distanceM[to - 1] - startM,
  }
}
