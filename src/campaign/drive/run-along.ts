import type { AirField } from '../../air/field.ts'
import type { RunOnAxis } from '../../compare/run-on-axis.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { AlongRun, Strip } from '../../report/along-data.ts'
import { demandOfCells } from './along-demand.ts'
import { standsOf } from './along-stands.ts'
import { weatherMet } from './along-weather.ts'
import { apparentWindMet, windAlong } from './along-wind.ts'
import type { RunRecord } from './run-record.ts'

const MOST_CELLS = 300
const LEAST_CELL_M = 50
/** Energy comes and goes with every bend: over less than this share of the road the demand is not readable. */
export const DEMAND_WINDOW_SHARE = 0.02

/** Into so many even cells a road is cut for the page. */
export const cellsAlong = (lengthM: number): number =>
  Math.max(1, Math.min(MOST_CELLS, Math.floor(lengthM / LEAST_CELL_M)))

/** What the page shows of a run along its road and in time; it needs no ensemble. */
export function runAlong(
  { run, steps, air, runAir, wind }: RunRecord,
  axis: RunOnAxis,
  { name, lengthM }: { name: string; lengthM: number },
  field: AirField,
  shared: SharedDraws,
): AlongRun {
  const { bestExposure } = shared
  const directed = Number.isFinite(wind.headwindMps)
  const cells = cellsAlong(lengthM)
  const thin = (column: Float64Array): Float64Array => thinned(column, cells)
  const unknown = (): Float64Array => new Float64Array(cells).fill(Number.NaN)
  const strips: Record<Strip, Float64Array> = {
    speedMps: thin(axis.speedMps),
    headwindMps: directed ? thin(axis.headMps.map((w) => bestExposure * w)) : unknown(),
    crosswindMps: directed ? thin(axis.crossMps.map((w) => bestExposure * w)) : unknown(),
    densityKgM3: thin(axis.densityKgM3),
    demandJPerM:
      runAir.missing.length === 0 ? thin(windowed(demandOfCells(axis, shared), DEMAND_WINDOW_SHARE)) : unknown(),
  }
  return {
    run: run.id,
    road: name,
    strips,
    stoodAt: standsOf(steps),
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
