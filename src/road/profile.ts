import { median } from '../base/statistics.ts'
import type { Drive } from '../track/types.ts'
import type { ElevationProfile, Match, Path } from './types.ts'

const ROUNDS = 4
/** At most this many drives are asked: more change the profile by less than the grade's noise. */
const MOST_WITNESSES = 25

/** Half-width of the triangular mean that takes out the small steps where the median passes from one drive to another. */
const SMOOTHING_M = 100

/** One drive's own elevation at the points of its path, on its route's axis. */
export interface ElevationWitness {
  axisM: Float64Array
  elevationM: Float64Array
}

export function witnessOf(drive: Drive, path: Path, match: Match): ElevationWitness {
  const { distanceM, elevationM } = drive.motion
  const out = new Float64Array(path.distanceM.length)
  let row = 0
  for (let i = 0; i < out.length; i++) {
    while (row < distanceM.length - 2 && distanceM[row + 1] < path.distanceM[i]) row++
    const step = distanceM[row + 1] - distanceM[row]
    const share = step > 0 ? Math.min(1, Math.max(0, (path.distanceM[i] - distanceM[row]) / step)) : 0
    out[i] = elevationM[row] + share * (elevationM[row + 1] - elevationM[row])
  }
  return { axisM: match.axisM, elevationM: out }
}

/**
 * One profile for a road from all its drives: each drive's heights are shifted by its own constant (two receivers may
 * differ by the geoid's height, tens of metres), then the median over the drives is taken at every place.
 *
 * @returns null when no drive has elevations
 */
export function profileOf(witnesses: ElevationWitness[], lengthM: number, spacingM: number): ElevationProfile | null {
  const count = Math.max(2, Math.round(lengthM / spacingM) + 1)
  const axisM = Float64Array.from({ length: count }, (_, i) => (i * lengthM) / (count - 1))
  const rows = witnesses
    .slice(0, MOST_WITNESSES)
    .map((w) => onAxis(w, axisM, lengthM))
    .filter((row) => row.some((v) => Number.isFinite(v)))
  if (rows.length === 0) return null
  const offsets = new Float64Array(rows.length)
  let profile: Float64Array = new Float64Array(count)
  for (let round = 0; round < ROUNDS; round++) {
    profile = acrossRows(rows, offsets, median)
    rows.forEach((row, r) => {
      const differences = Array.from(row, (v, i) => v - profile[i]).filter((v) => Number.isFinite(v))
      offsets[r] = median(differences)
    })
    const middle = median(Array.from(offsets))
    for (let r = 0; r < offsets.length; r++) offsets[r] -= middle
  }
  profile = acrossRows(rows, offsets, median)
  fillHoles(profile)
  profile = smoothed(profile, Math.round(SMOOTHING_M / spacingM))
  const spread = acrossRows(rows, offsets, (values) => {
    if (values.length < 2) return Number.NaN
    const centre = median(values)
    return median(values.map((v) => Math.abs(v - centre)))
  })
  return { axisM, elevationM: profile, spreadM: spread, witnesses: rows.length }
}

function acrossRows(rows: Float64Array[], offsets: Float64Array, of: (values: number[]) => number): Float64Array {
  return Float64Array.from(rows[0], (_, i) => {
    const values: number[] = []
    for (let r = 0; r < rows.length; r++) if (Number.isFinite(rows[r][i])) values.push(rows[r][i] - offsets[r])
    return values.length > 0 ? of(values) : Number.NaN
  })
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
      out[cell] = witness.elevationM[i - 1] + share * (witness.elevationM[i] - witness.elevationM[i - 1])
    }
  }
  return out
}

/** Triangular mean over `reach` cells to either side, narrower towards the ends so that these keep their value. */
function smoothed(values: Float64Array, reach: number): Float64Array {
  return values.map((_, i) => {
    const width = Math.min(reach, i, values.length - 1 - i)
    let sum = 0
    let total = 0
    for (let k = -width; k <= width; k++) {
      const weight = width + 1 - Math.abs(k)
      sum += weight * values[i + k]
      total += weight
    }
    return sum / total
  })
}

/** Bridges places nobody knows by a straight line, and holds the end values. */
function fillHoles(values: Float64Array): void {
  let last = -1
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue
    for (let j = last + 1; j < i; j++) {
      values[j] = last < 0 ? values[i] : values[last] + ((j - last) / (i - last)) * (values[i] - values[last])
    }
    last = i
  }
  for (let j = last + 1; j < values.length; j++) values[j] = values[last]
}

/** The profile at a place on the axis, m. */
export function elevationAt(profile: ElevationProfile, axisM: number): number {
  const { axisM: axis, elevationM } = profile
  const position = (axisM / axis[axis.length - 1]) * (axis.length - 1)
  const i = Math.min(axis.length - 2, Math.max(0, Math.floor(position)))
  const share = Math.min(1, Math.max(0, position - i))
  return elevationM[i] + share * (elevationM[i + 1] - elevationM[i])
}
