import { between } from '../../base/arithmetic.ts'
import { forgetful, type Remember } from '../../base/remember.ts'
import { onAxis } from '../../compare/run-on-axis.ts'
import type { Along, AlongRoad, AlongRun, Strip } from '../../report/along-data.ts'
import { elevationAt } from '../../road/profile.ts'
import type { ElevationProfile, Path } from '../../road/types.ts'
import type { Drive } from '../../track/types.ts'
import { windMet } from '../drive/conditions.ts'
import { partsOfRuns } from '../drive/run-parts.ts'
import type { ReadySetting } from '../drive/run-result.ts'
import { stepsInAir } from '../drive/steps-in-air.ts'
import { DRAWN_RUN } from '../kept/drawn-shape.ts'
import type { DriveSource } from '../load/drive-source.ts'
import type { RouteContext } from '../load/route-context.ts'
import type { Roads } from '../load/routes.ts'
import type { Run } from '../load/runs.ts'
import { demandOfCells } from './along-demand.ts'
import { weatherMet } from './along-weather.ts'
import { apparentWindMet, windAlong } from './along-wind.ts'

/** More are not told apart in one drawing, and the page stays small. */
const MOST_RUNS = 24
const MOST_CELLS = 300
const LEAST_CELL_M = 50
/** Energy comes and goes with every bend: over less than this share of the road the demand is not readable. */
const DEMAND_WINDOW_SHARE = 0.02

/**
 * What the page draws along the road and in time, for all runs or, of many, for a stated selection. It needs no ensemble:
 * the runs' steps and their air are made once more for those that are drawn.
 */
export function alongOf(
  runs: Run[],
  roads: Roads,
  ready: ReadySetting,
  drives: DriveSource,
  remember: Remember = forgetful,
): Along {
  const chosen = chosenOf(runs, roads)
  const drawn = roads.routes.map((route, i) =>
    roadOf(
      roads.names[i],
      roads.contexts[route.reference].path,
      route.lengthM,
      roads.contexts[route.reference].profile,
    ),
  )
  const drawnRun = (run: Run, route: RouteContext): AlongRun => {
    const road = drawn[route.index]
    const task = { run, route, axisLengthM: road.lengthM, wantsSide: false, against: null }
    const [parts] = partsOfRuns(ready.setting, [task])
    return remember(DRAWN_RUN, parts, () => runOf(run, drives(run), route, road, ready))
  }
  const used = new Set(chosen.map((i) => roads.contexts[i].index))
  return {
    roads: drawn.filter((_, i) => used.has(i)),
    runs: chosen.map((i) => drawnRun(runs[i], roads.contexts[i])),
    selection:
      chosen.length === runs.length
        ? null
        : `Of ${runs.length} drives, ${chosen.length} are drawn here: the first with each setup on each road, then the earliest.`,
    demandWindowShare: DEMAND_WINDOW_SHARE,
  }
}

/** Places of the first run with each setup on each road, then of the earliest, as many as can be drawn, in order. */
function chosenOf(runs: Run[], { contexts }: Roads): number[] {
  const seen = new Set<string>()
  const firsts: number[] = []
  const others: number[] = []
  for (const [i, run] of runs.entries()) {
    const key = `${contexts[i].index}\n${run.row?.setup ?? ''}`
    ;(seen.has(key) ? others : firsts).push(i)
    seen.add(key)
  }
  return [...firsts, ...others].slice(0, MOST_RUNS).sort((a, b) => a - b)
}

function roadOf(id: string, path: Path, lengthM: number, profile: ElevationProfile | null): AlongRoad {
  const cells = Math.max(1, Math.min(MOST_CELLS, Math.floor(lengthM / LEAST_CELL_M)))
  const ends = Array.from({ length: cells + 1 }, (_, i) => (i * lengthM) / cells)
  const place = (column: Float64Array): Float64Array => Float64Array.from(ends, (m) => onPath(path, column, m))
  const middles = ends.slice(0, cells).map((m) => m + lengthM / cells / 2)
  return {
    id,
    lengthM,
    cells,
    latitude: place(path.latitude),
    longitude: place(path.longitude),
    elevation: profile && {
      heightM: Float64Array.from(middles, (m) => elevationAt(profile, m)),
      spreadM: Float64Array.from(middles, (m) => elevationAt({ ...profile, elevationM: profile.spreadM }, m)),
      witnesses: profile.witnesses,
      terrain: profile.terrain !== null,
    },
  }
}

function onPath({ distanceM, spacingM }: Path, column: Float64Array, atM: number): number {
  const i = Math.max(0, Math.min(distanceM.length - 2, Math.floor(atM / spacingM)))
  const span = distanceM[i + 1] - distanceM[i]
  const share = span > 0 ? Math.min(1, Math.max(0, (atM - distanceM[i]) / span)) : 0
  return between(column[i], column[i + 1], share)
}

function runOf(
  run: Run,
  drive: Drive,
  route: RouteContext,
  road: AlongRoad,
  { field, shared }: ReadySetting,
): AlongRun {
  const inAir = stepsInAir(run, drive, route, field)
  const { steps, runAir, air } = inAir
  const { bestExposure } = shared
  const directed = Number.isFinite(windMet(steps, air, bestExposure).headwindMps)
  const fine = onAxis({ ...inAir, region: route.region, recording: run.id, recordingSd: 0 }, road.lengthM)
  const thin = (column: Float64Array): Float64Array => thinned(column, road.cells)
  const unknown = (): Float64Array => new Float64Array(road.cells).fill(Number.NaN)
  const strips: Record<Strip, Float64Array> = {
    speedMps: thin(fine.speedMps),
    headwindMps: directed ? thin(fine.headMps.map((w) => bestExposure * w)) : unknown(),
    crosswindMps: directed ? thin(fine.crossMps.map((w) => bestExposure * w)) : unknown(),
    densityKgM3: thin(fine.densityKgM3),
    demandJPerM:
      runAir.missing.length === 0 ? thin(windowed(demandOfCells(fine, shared), DEMAND_WINDOW_SHARE)) : unknown(),
  }
  return {
    run: run.id,
    road: road.id,
    strips,
    windAt: directed ? windAlong(steps, air) : [],
    apparent: directed ? apparentWindMet(steps, air, bestExposure) : null,
    weather: weatherMet(run, runAir, field),
  }
}

/** Means over even groups of cells, of what is known in each. */
export function thinned(column: Float64Array, count: number): Float64Array {
  const out = new Float64Array(count)
  const known = new Uint32Array(count)
  for (let i = 0; i < column.length; i++) {
    if (Number.isNaN(column[i])) continue
    const cell = Math.min(count - 1, Math.floor(((i + 0.5) * count) / column.length))
    out[cell] += column[i]
    known[cell]++
  }
  return out.map((sum, i) => (known[i] > 0 ? sum / known[i] : Number.NaN))
}

/** Running mean over a share of the column, of what is known; NaN stays NaN. */
function windowed(column: Float64Array, share: number): Float64Array {
  const reach = Math.max(0, Math.round((column.length * share) / 2))
  const sums = new Float64Array(column.length + 1)
  const counts = new Float64Array(column.length + 1)
  for (let i = 0; i < column.length; i++) {
    const known = Number.isFinite(column[i])
    sums[i + 1] = sums[i] + (known ? column[i] : 0)
    counts[i + 1] = counts[i] + (known ? 1 : 0)
  }
  return column.map((value, i) => {
    if (Number.isNaN(value)) return Number.NaN
    const from = Math.max(0, i - reach)
    const to = Math.min(column.length, i + reach + 1)
    return (sums[to] - sums[from]) / (counts[to] - counts[from])
  })
}
