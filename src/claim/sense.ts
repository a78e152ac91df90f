import { hypotenuse } from '../base/arithmetic.ts'
import { mean } from '../base/statistics.ts'
import type { FuelRun, Interval95 } from './types.ts'

/**
 * How well the ratio of drag to all else is known of a vehicle that was not measured, standard deviation of its
 * logarithm: 10 % of the drag area, 15 % of the rolling resistance, and the wind. Common practice, no source.
 */
const DRAG_RATIO_SD = 0.2

/**
 * `possible`: vanishing drag would give at least as much. `estimate beyond`: it would not, but the interval leaves room.
 * `beyond`: the whole interval lies beyond, so drag cannot be what made the change.
 */
export type SenseVerdict = 'possible' | 'estimate beyond' | 'beyond'

export interface Sense {
  /** Share of the drag in what the unchanged vehicle needs on this road, 0 to 1. */
  dragShare: number
  dragShareLow95: number
  dragShareHigh95: number
  /** Change of the drag area that would make this change of consumption, percent; below -100 is more than there is. */
  impliedDragAreaChangePct: Interval95
  /** Change of consumption if drag vanished, percent: its estimate, and the largest that the doubt of the share allows. */
  mostSavingPct: number
  mostSavingBoundPct: number
  verdict: SenseVerdict
}

/**
 * Holds a change of consumption against what drag can do on this road: a change of the drag area changes the demand by
 * its share of it. Changes of weight, tyres or engine are not meant; for them the implied drag area says nothing.
 * @param runs of the road, with their demand
 * @param change of consumption, percent, negative for a saving
 * @returns null where no run knows its drag
 * @source linear share of the road-load equation; e.g. Hucho, Aerodynamics of Road Vehicles (from memory)
 */
export function senseOf(runs: readonly FuelRun[], change: Interval95): Sense | null {
  const shares = runs
    .map(({ nominalDragJPerM, nominalDemandJPerM }) => nominalDragJPerM / nominalDemandJPerM)
    .filter((share) => share > 0 && share < 1)
  if (shares.length === 0) return null
  const dragShare = mean(shares)
  const [low, high] = [-1, 1].map((side) =>
    logistic(Math.log(dragShare / (1 - dragShare)) + side * 1.959964 * DRAG_RATIO_SD),
  )
  const implied = impliedChange(change, dragShare, (high - low) / 2)
  const verdict =
    change.high95 < -100 * high ? 'beyond' : change.estimate < -100 * high ? 'estimate beyond' : 'possible'
  return {
    dragShare,
    dragShareLow95: low,
    dragShareHigh95: high,
    impliedDragAreaChangePct: implied,
    mostSavingPct: -100 * dragShare,
    mostSavingBoundPct: -100 * high,
    verdict,
  }
}

/** Change over share, with the doubts of both added as independent on either side. */
function impliedChange({ estimate, low95, high95 }: Interval95, share: number, shareHalf95: number): Interval95 {
  const implied = estimate / share
  const byShare = (implied * shareHalf95) / share
  return {
    estimate: implied,
    low95: implied - hypotenuse((estimate - low95) / share, byShare),
    high95: implied + hypotenuse((high95 - estimate) / share, byShare),
  }
}

const logistic = (x: number): number => 1 / (1 + Math.exp(-x))
