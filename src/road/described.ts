import { COVERAGE_BINS, type Match, type Path } from './types.ts'

const LEAST_DETOUR_M = 150

/** A match from the place on the reference's axis of each point of a path: coverage, detours and ends. */
export function described(axisM: Float64Array, path: Path, reference: Path): Match {
  const known = path.inGap.reduce((n, gap) => n + 1 - gap, 0)
  const covered = coverage(axisM, path, reference)
  const first = axisM.findIndex((m) => !Number.isNaN(m))
  const last = axisM.findLastIndex((m) => !Number.isNaN(m))
  return {
    axisM,
    coveredShare: covered.reduce((n, c) => n + c, 0) / COVERAGE_BINS,
    onRoadShare: axisM.reduce((n, m, i) => n + (Number.isNaN(m) || path.inGap[i] ? 0 : 1), 0) / Math.max(1, known),
    covered,
    detours: first < 0 ? [] : detoursBetween(axisM, first, last, path),
    beforeM: first < 0 ? path.lengthM : path.distanceM[first],
    afterM: first < 0 ? 0 : path.lengthM - path.distanceM[last],
  }
}

/** Which parts of the axis were driven. A gap that ends where the road would have led is taken as driven along it. */
function coverage(axisM: Float64Array, path: Path, reference: Path): Uint8Array {
  const covered = new Uint8Array(COVERAGE_BINS)
  const binOf = (m: number): number =>
    Math.min(COVERAGE_BINS - 1, Math.max(0, Math.floor((m / reference.lengthM) * COVERAGE_BINS)))
  const contiguousM = 4 * Math.max(path.spacingM, reference.spacingM) + 100
  let previous = -1
  for (let i = 0; i < axisM.length; i++) {
    if (Number.isNaN(axisM[i])) continue
    covered[binOf(axisM[i])] = 1
    if (previous >= 0) {
      const advance = axisM[i] - axisM[previous]
      const chord = path.distanceM[i] - path.distanceM[previous]
      const throughGap = path.inGap[i - 1] === 1 && advance > 0.9 * chord - 100 && advance < 1.6 * chord + 100
      if (advance > 0 && (advance < contiguousM || throughGap)) {
        for (let b = binOf(axisM[previous]); b <= binOf(axisM[i]); b++) covered[b] = 1
      }
    }
    previous = i
  }
  return covered
}

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
