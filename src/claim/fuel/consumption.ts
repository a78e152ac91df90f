import { present } from '../../base/present.ts'
import { mean, standardDeviation } from '../../base/statistics.ts'
import { type Attributed, attributedErrors } from '../model/attributed.ts'
import type { ClaimSettings, FuelRun, NamedError } from '../types.ts'
import { drawKey, type FuelReading, type FuelUnit, readFuel } from './measure.ts'

/** One run's fuel per distance, as measured and at its route's reference conditions. */
export interface RunConsumption {
  run: FuelRun
  reading: FuelReading
  unit: FuelUnit
  distanceM: number
  /** By GPS, or by the odometer where there is no GPS distance. */
  distanceBy: 'gps' | 'odometer'
  /** Natural logarithm of fuel per metre, litres at 15 °C where the fuel's temperature is known. */
  logRaw: number
  /** The same at the reference conditions of the route; NaN where the weather is missing. */
  logAdjusted: number
  /** Errors of fuel and distance: one of them added to the logarithm is a value that may be the true one. */
  errors: NamedError[]
  /** K draws of the error of the adjustment; null where the weather is missing. */
  conditions: Float64Array | null
  /** The same by what it comes from, up to what all drives of the road share; null where that is not known. */
  attributed: Attributed | null
}

/** Relative standard deviation of a GPS distance beside what all runs of a road share; common practice, no source. */
export const GPS_DISTANCE_SD = 0.0015
/** An odometer's, beside what the vehicle's own odometer is always off; common practice, no source. */
const ODOMETER_SD = 0.005
/** GPS and odometer may differ by this before one of them is doubted. */
export const ODOMETER_AGREES_WITHIN = 0.02

/**
 * The consumption of every run that has a reading of fuel in the unit, runs left out of the claims included.
 * Adjusting divides by the run's demand over the reference demand: the mean over the baseline's runs on its route, or
 * over all its runs where the baseline has none.
 */
export function consumptionsOf(
  runs: FuelRun[],
  unit: FuelUnit,
  baseline: string | null,
  settings: ClaimSettings,
): RunConsumption[] {
  const readings = readFuel(runs, unit, settings)
  const ratio = odometerRatio(runs)
  const references = new Map<number, Float64Array | null>()
  const attributed = new Map<FuelRun, Attributed>()
  for (const route of new Set(runs.map((run) => run.route))) {
    references.set(route, referenceLog(runs, route, baseline))
    const errors = attributedErrors(
      runs.filter((run) => run.route === route && hasLog(run)),
      settings,
    )
    for (const [run, error] of errors) attributed.set(run, error)
  }
  return runs.flatMap((run, i) => {
    const reading = readings[i]
    const distance = distanceOf(run, ratio)
    if (!reading || !distance) return []
    const logRaw = Math.log(reading.amount / distance.metres)
    const adjustment = adjustmentOf(run, references.get(run.route) ?? null)
    return [
      {
        run,
        reading,
        unit,
        distanceM: distance.metres,
        distanceBy: distance.by,
        logRaw,
        logAdjusted: adjustment ? logRaw - adjustment.log : Number.NaN,
        errors: [...reading.errors, ...distanceErrors(run, distance.sd)],
        conditions: adjustment?.errors ?? null,
        attributed: attributed.get(run) ?? null,
      },
    ]
  })
}

/** Of the distance, and of the part of a log's fuel that went into this drive. */
function distanceErrors(run: FuelRun, sd: number): NamedError[] {
  const key = drawKey(run)
  const own: NamedError = { source: 'distance', name: `distance/${key}`, sd }
  const shares = run.log?.shareErrors
  return shares ? [own, { source: 'distance', name: `log-share/${key}`, sd: standardDeviation(shares) }] : [own]
}

/** A demand has a logarithm only where every draw is above 0: an electric vehicle may gain energy on a road downhill. */
const hasLog = ({ demandDraws }: FuelRun): boolean => demandDraws?.every((demand) => demand > 0) ?? false

/** Logarithm of the reference demand, draw by draw; null where no run of the route has a demand. */
function referenceLog(runs: FuelRun[], route: number, baseline: string | null): Float64Array | null {
  const withDemand = runs.filter((r) => r.route === route && hasLog(r) && r.leftOut === null)
  const ofBaseline = withDemand.filter((r) => r.setup === baseline)
  const chosen = ofBaseline.length > 0 ? ofBaseline : withDemand
  if (chosen.length === 0) return null
  const sum = new Float64Array(present(chosen[0].demandDraws).length)
  for (const run of chosen) {
    const draws = present(run.demandDraws)
    for (let k = 0; k < sum.length; k++) sum[k] += Math.log(draws[k]) / chosen.length
  }
  return sum
}

/** ln(D_run / D_ref): its mean, and what the draws depart from it, with the sign of a correction. */
function adjustmentOf(run: FuelRun, reference: Float64Array | null): { log: number; errors: Float64Array } | null {
  if (!run.demandDraws || !hasLog(run) || !reference) return null
  const logs = run.demandDraws.map((demand, k) => Math.log(demand) - reference[k])
  const log = mean(logs)
  return { log, errors: logs.map((value) => log - value) }
}

/** The usual ratio of the odometer to GPS: what this vehicle's odometer is always off. 1 with fewer than three pairs. */
export function odometerRatio(runs: FuelRun[]): number {
  const ratios = runs.map((r) => r.row.odometerM / r.distanceM).filter((ratio) => Number.isFinite(ratio) && ratio > 0)
  if (ratios.length < 3) return 1
  ratios.sort((a, b) => a - b)
  return (ratios[(ratios.length - 1) >> 1] + ratios[ratios.length >> 1]) / 2
}

/** The distance over which the fuel was used; a run whose odometer departs from the GPS has the difference as its doubt. */
function distanceOf(run: FuelRun, ratio: number): { metres: number; by: 'gps' | 'odometer'; sd: number } | null {
  const odometer = run.row.odometerM / ratio
  if (run.distanceM > 0) {
    const apart = Number.isFinite(odometer) ? Math.abs(odometer / run.distanceM - 1) : 0
    const sd = apart > ODOMETER_AGREES_WITHIN ? apart / 2 : GPS_DISTANCE_SD
    return { metres: run.distanceM, by: 'gps', sd }
  }
  return odometer > 0 ? { metres: odometer, by: 'odometer', sd: ODOMETER_SD } : null
}

/**
 * Fuel per 100 km of several runs together: all their fuel over all their distance, never a mean of distances per fuel.
 * @source 40 CFR part 600, appendix II (combined fuel economy)
 */
export function togetherPer100Km(runs: RunConsumption[]): number {
  const sum = (of: (c: RunConsumption) => number): number => runs.reduce((total, c) => total + of(c), 0)
  return (1e5 * sum((c) => c.reading.amount)) / sum((c) => c.distanceM)
}
