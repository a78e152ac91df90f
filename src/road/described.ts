import { COVERAGE_BINS, type Match, type Path } from './types.ts'

const LEAST_DETOUR_M = 150
/** Less is scatter, or a step back at a junction. */
const LEAST_AGAIN_M = 150

/** A match from the place on the reference's axis of each point of a path: coverage, detours and ends. */
export function described(axisM: Float64Array, path: Path, reference: Path, closed = false): Match {
  const known = path.inGap.reduce((n, gap) => n + 1 - gap, 0)
  const covered = coverage(axisM, path, reference, closed)
  const first = axisM.findIndex((m) => !Number.isNaN(m))
  const last = axisM.findLastIndex((m) => !Number.isNaN(m))
  return {
    axisM,
    coveredShare: covered.reduce((n, c) => n + c, 0) / COVERAGE_BINS,
    onRoadShare: axisM.reduce((n, m, i) => n + (Number.isNaN(m) || path.inGap[i] ? 0 : 1), 0) / Math.max(1, known),
    covered,
    detours: first < 0 ? [] : detoursBetween(axisM, first, last, path),
    beforeM: first < 0 ? path.lengthM : leadsThroughGap(path, 0, first, axisM[first]) ? 0 : path.distanceM[first],
    againM: drivenAgainM(axisM, reference, closed),
    afterM: first < 0 || endsInGap(axisM, path, reference, last) ? 0 : path.lengthM - path.distanceM[last],
  }
}

/** Which parts of the axis were driven. A gap that ends where the road would have led is taken as driven along it. */
function coverage(axisM: Float64Array, path: Path, reference: Path, closed: boolean): Uint8Array {
  const covered = new Uint8Array(COVERAGE_BINS)
  const binOf = (m: number): number =>
    Math.min(COVERAGE_BINS - 1, Math.max(0, Math.floor((m / reference.lengthM) * COVERAGE_BINS)))
  const contiguousM = 4 * Math.max(path.spacingM, reference.spacingM) + 100
  let previous = -1
  for (let i = 0; i < axisM.length; i++) {
    if (Number.isNaN(axisM[i])) continue
    covered[binOf(axisM[i])] = 1
    if (previous >= 0) {
      const pastEnd = closed && axisM[i] - axisM[previous] < -reference.lengthM / 2
      const advance = axisM[i] - axisM[previous] + (pastEnd ? reference.lengthM : 0)
      const throughGap = leadsThroughGap(path, previous, i, advance)
      if (advance > 0 && (advance < contiguousM || throughGap)) {
        if (!pastEnd) covered.fill(1, binOf(axisM[previous]), binOf(axisM[i]) + 1)
        else {
          covered.fill(1, binOf(axisM[previous]))
          covered.fill(1, 0, binOf(axisM[i]) + 1)
        }
      }
    } else if (leadsThroughGap(path, 0, i, axisM[i])) covered.fill(1, 0, binOf(axisM[i]) + 1)
    previous = i
  }
  if (previous >= 0 && endsInGap(axisM, path, reference, previous)) covered.fill(1, binOf(axisM[previous]))
  return covered
}

/** How far a path goes back on the axis in all, m; past the end of a closed one is forward. */
function drivenAgainM(axisM: Float64Array, { lengthM }: Path, closed: boolean): number {
  let againM = 0
  let previous = Number.NaN
  for (const m of axisM) {
    if (Number.isNaN(m)) continue
    const backM = previous - m
    if (backM >= LEAST_AGAIN_M && !(closed && backM > lengthM / 2)) againM += backM
    previous = m
  }
  return againM
}

/** Whether a path lies in a gap from one point to another, or nearly so, and the gap is as long as the road between them. */
function leadsThroughGap(path: Path, from: number, to: number, advanceM: number): boolean {
  let silent = 0
  for (let i = from; i < to; i++) silent += path.inGap[i]
  return silent > 0 && silent >= 0.5 * (to - from) && isAsLong(advanceM, path, from, to)
}

function isAsLong(advanceM: number, { distanceM }: Path, from: number, to: number): boolean {
  const chordM = distanceM[to] - distanceM[from]
  return advanceM > 0.9 * chordM - 100 && advanceM < 1.6 * chordM + 100
}

const endsInGap = (axisM: Float64Array, path: Path, reference: Path, last: number): boolean =>
  last + 1 < axisM.length && leadsThroughGap(path, last, axisM.length - 1, reference.lengthM - axisM[last])

function detoursBetween(
  axisM: Float64Array,
  first: number,
  last: number,
  path: Path,
): { fromM: number; toM: number }[] {
  const detours: { fromM: number; toM: number }[] = []
  let offSince = -1
  for (let i = first; i <= last; i++) {
    if (Number.isNaN(axisM[i])) {
      if (offSince < 0) offSince = i
    } else if (offSince >= 0) {
      const stretch = { fromM: path.distanceM[offSince - 1], toM: path.distanceM[i] }
      const unknown = path.inGap.subarray(offSince, i).every((gap) => gap === 1)
      if (!unknown && stretch.toM - stretch.fromM >= LEAST_DETOUR_M) detours.push(stretch)
      offSince = -1
    }
  }
  return detours
}
