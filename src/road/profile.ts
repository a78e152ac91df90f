import { between } from '../base/arithmetic.ts'
import { median, sum } from '../base/statistics.ts'
import type { Drive } from '../track/types.ts'
import { fillHoles, smoothed } from './even-columns.ts'
import { roadOnTerrain } from './terrain.ts'
import type { ElevationProfile, Path, TerrainWitness } from './types.ts'

const ROUNDS = 4
/** At most this many drives are asked: more change the profile by less than the grade's noise. */
const MOST_WITNESSES = 25

/** Half-width of the triangular mean that takes out the small steps where the median passes from one drive to another. */
const SMOOTHING_M = 100

/**
 * The terrain counts like so many drives: a drive's heights drift by several metres over minutes, the terrain's do not,
 * but its single heights scatter as much, and trees stand on it.
 */
const TERRAIN_WEIGHT = 2
/** From so many drives on the median is taken, so that drives that agree outvote the terrain; of fewer the mean. */
const DRIVES_FOR_MEDIAN = 3
/** The terrain must know this share of a road to be asked: beside drives with heights, and alone. */
const LEAST_KNOWN_SHARE = { withDrives: 0.5, alone: 0.9 }

/** One drive's own elevation at the points of its path, on its route's axis. */
export interface ElevationWitness {
  axisM: Float64Array
  elevationM: Float64Array
}

/** A drive's own heights at the points of its path, m. */
export function elevationOnPath(drive: Drive, path: Path): Float64Array {
  const { distanceM, elevationM } = drive.motion
  const out = new Float64Array(path.distanceM.length)
  let row = 0
  for (let i = 0; i < out.length; i++) {
    while (row < distanceM.length - 2 && distanceM[row + 1] < path.distanceM[i]) row++
    const step = distanceM[row + 1] - distanceM[row]
    const share = step > 0 ? Math.min(1, Math.max(0, (path.distanceM[i] - distanceM[row]) / step)) : 0
    out[i] = between(elevationM[row], elevationM[row + 1], share)
  }
  return out
}

/**
 * One profile for a road from all its drives: each drive's heights are shifted by its own constant (two receivers may
 * differ by the geoid's height, tens of metres), then the median over the drives is taken at every place. The terrain,
 * where there is any, counts like two drives, and its level is the profile's: of one or two drives and the terrain the
 * weighted mean is taken, because a median of so few would follow one of them alone.
 *
 * @returns null when no drive has elevations and the terrain does not know enough of the road
 */
export function profileOf(
  witnesses: ElevationWitness[],
  lengthM: number,
  spacingM: number,
  terrain: TerrainWitness | null = null,
): ElevationProfile | null {
  const count = Math.max(2, Math.round(lengthM / spacingM) + 1)
  const axisM = Float64Array.from({ length: count }, (_, i) => (i * lengthM) / (count - 1))
  const rows = witnesses
    .slice(0, MOST_WITNESSES)
    .map((w) => onAxis(w, axisM, lengthM))
    .filter((row) => row.some((v) => Number.isFinite(v)))
  const leastShare = rows.length > 0 ? LEAST_KNOWN_SHARE.withDrives : LEAST_KNOWN_SHARE.alone
  const asked = terrain && terrain.knownShare >= leastShare ? terrain : null
  if (rows.length === 0 && asked === null) return null
  const offsets = offsetsOf(rows, count)
  let profile = acrossRows(rows, offsets, count, median)
  if (asked) profile = joined(rows, offsets, profile, onAxis(asked, axisM, lengthM), { axisM, level: asked.level })
  fillHoles(profile)
  profile = smoothed(profile, Math.round(SMOOTHING_M / spacingM))
  const spread = acrossRows(rows, offsets, count, (values) => {
    if (values.length < 2) return Number.NaN
    const centre = median(values)
    return median(values.map((v) => Math.abs(v - centre)))
  })
  return {
    axisM,
    elevationM: profile,
    spreadM: spread,
    witnesses: rows.length,
    terrain: asked && (asked.level === 'geoid' ? 'level' : 'shape'),
  }
}

/**
 * The drives and the terrain made one. The drives are brought to the terrain's level, or the terrain to theirs where
 * its own is the ellipsoid's. The road on the terrain is added to the rows, with its offset.
 */
function joined(
  rows: Float64Array[],
  offsets: number[],
  medianM: Float64Array,
  terrainM: Float64Array,
  { axisM, level }: { axisM: Float64Array; level: TerrainWitness['level'] },
): Float64Array {
  const drivesM = rows.length > 0 ? medianM.slice() : null
  if (drivesM) fillHoles(drivesM)
  const groundM = roadOnTerrain(axisM, terrainM, drivesM)
  const shiftM = drivesM ? median(drivesM.map((height, i) => height - groundM[i])) : 0
  if (level === 'geoid') for (let r = 0; r < offsets.length; r++) offsets[r] += shiftM
  else for (let i = 0; i < groundM.length; i++) groundM[i] += shiftM
  const profile = groundM.map((ground, i) => {
    const drives = rows.map((row, r) => row[i] - offsets[r]).filter((v) => Number.isFinite(v))
    return withGround(drives, ground)
  })
  rows.push(groundM)
  offsets.push(0)
  return profile
}

/** Each drive's constant against the others, m; their median is 0. */
function offsetsOf(rows: Float64Array[], count: number): number[] {
  const offsets = rows.map(() => 0)
  for (let round = 0; round < ROUNDS; round++) {
    const profile = acrossRows(rows, offsets, count, median)
    for (let r = 0; r < rows.length; r++) offsets[r] = medianDifference(rows[r], profile)
    const middle = median(offsets)
    for (let r = 0; r < offsets.length; r++) offsets[r] -= middle
  }
  return offsets
}

/** Median of a row less another, where both are known, m. */
function medianDifference(row: Float64Array, other: Float64Array): number {
  const differences = new Float64Array(row.length)
  let count = 0
  for (let i = 0; i < row.length; i++) {
    const difference = row[i] - other[i]
    if (Number.isFinite(difference)) differences[count++] = difference
  }
  return median(differences.subarray(0, count))
}

/** The drives' heights at a place and the ground's: the weighted median, or the mean of few. */
function withGround(drives: number[], groundM: number): number {
  if (drives.length >= DRIVES_FOR_MEDIAN) return median([...drives, ...new Array(TERRAIN_WEIGHT).fill(groundM)])
  return (sum(drives) + TERRAIN_WEIGHT * groundM) / (drives.length + TERRAIN_WEIGHT)
}

/** At each place what `of` makes of the rows that know it, each less its offset; NaN where none does. */
function acrossRows(
  rows: Float64Array[],
  offsets: number[],
  count: number,
  of: (values: number[]) => number,
): Float64Array {
  const across = new Float64Array(count)
  for (let i = 0; i < count; i++) {
    const values: number[] = []
    for (let r = 0; r < rows.length; r++) if (Number.isFinite(rows[r][i])) values.push(rows[r][i] - offsets[r])
    across[i] = values.length > 0 ? of(values) : Number.NaN
  }
  return across
}

/** Linear interpolation of a witness onto the axis, NaN where it did not drive. */
function onAxis(witness: ElevationWitness, axisM: Float64Array, lengthM: number): Float64Array {
  const out = new Float64Array(axisM.length).fill(Number.NaN)
  const perMetre = (axisM.length - 1) / lengthM
  for (let i = 1; i < witness.axisM.length; i++) {
    const from = witness.axisM[i - 1]
    const to = witness.axisM[i]
    if (!(to > from) || to - from > 500) continue
    for (let cell = Math.ceil(from * perMetre); cell <= Math.floor(to * perMetre); cell++) {
      const share = (axisM[cell] - from) / (to - from)
      out[cell] = between(witness.elevationM[i - 1], witness.elevationM[i], share)
    }
  }
  return out
}

/** The profile at a place on the axis, m. */
export function elevationAt(profile: ElevationProfile, axisM: number): number {
  const { axisM: axis, elevationM } = profile
  const position = (axisM / axis[axis.length - 1]) * (axis.length - 1)
  const i = Math.min(axis.length - 2, Math.max(0, Math.floor(position)))
  const share = Math.min(1, Math.max(0, position - i))
  return between(elevationM[i], elevationM[i + 1], share)
}
