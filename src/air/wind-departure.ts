import { square } from '../base/arithmetic.ts'
import { stepM } from '../track/geodesy.ts'
import {
  departureGapS,
  growthWithWind,
  MODEL,
  type StationWeight,
  windDepartureVariance,
  windVarianceFrom,
} from './blend.ts'

/** What the air at a place has for itself, (m/s)²: half of what two places side by side differ by. */
const PLACE_VARIANCE = windDepartureVariance(0, 0) / 2

/**
 * Standard deviation of one component of the wind's departure from the stations' mean, m/s: what each station is off the
 * road by, less what the stations differ by from each other. Stations on all sides of the road tell more of it than as
 * many in one place. It grows with the wind: hills and woods take a share of it.
 * @param weights of the stations; they add up to 1
 * @param windMps 10 m wind
 * @param disagreement how many times as large as usual the variance is here and now
 * @returns NaN without a station
 * @source variance of a weighted mean in ordinary kriging: Cressie, Statistics for Spatial Data, rev. ed. 1993, section 3.2
 */
export function windDepartureSd(weights: readonly StationWeight[], windMps: number, disagreement: number): number {
  if (weights.length === 0) return Number.NaN
  let variance = 0
  for (const [i, one] of weights.entries()) {
    variance += one.weight * windVarianceFrom(one.station, one.distanceM, departureGap(one))
    for (let j = i + 1; j < weights.length; j++) {
      variance -= one.weight * weights[j].weight * varianceBetween(one, weights[j])
    }
  }
  return Math.sqrt(disagreement * Math.max(PLACE_VARIANCE, variance) * growthWithWind(windMps))
}

const departureGap = ({ station, gapS }: StationWeight): number => departureGapS(station, gapS)

/** By how much two stations differ, (m/s)² of one component. Neighbouring cells of a weather model miss the air alike. */
function varianceBetween(a: StationWeight, b: StationWeight): number {
  const [p, q] = [a.station.series.station, b.station.series.station]
  const betweenM = p.onRoad
    ? b.distanceM
    : q.onRoad
      ? a.distanceM
      : stepM(p.latitude, p.longitude, q.latitude, q.longitude)
  const areBothModelsOrNeither = (p.quality === 'model') === (q.quality === 'model')
  const gapS = Math.abs(departureGap(a) - departureGap(b))
  return windDepartureVariance(betweenM, gapS) + (areBothModelsOrNeither ? 0 : square(MODEL.windSdMps))
}
