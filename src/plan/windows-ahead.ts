import type { RunAir } from '../air/types.ts'
import { sum } from '../base/statistics.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import { overDistance, windMet } from '../campaign/drive/conditions.ts'
import { runAirOf } from '../campaign/drive/run-air.ts'
import type { RunRecord } from '../campaign/drive/run-record.ts'
import { type ConditionsDifference, conditionsDifference } from '../compare/difference.ts'
import { demandOf } from '../demand/ensemble.ts'
import { trafficDraws } from '../demand/run-draws.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import { stepAirOf } from '../demand/step-air.ts'
import type { EnsembleRun, Steps } from '../demand/types.ts'
import { type ForecastField, rowsAbout } from './forecast.ts'
import {
  forecastErrors,
  headwindProfile,
  reversedSteps,
  type Slot,
  shiftedSteps,
  sunOf,
  withForecastErrors,
} from './windows.ts'

export interface WindowsQuestion {
  /** Whose speeds are driven again. */
  reference: RunRecord
  /** Whose air the forecast is held against; the reference itself, or all runs of the baseline. */
  baseline: RunRecord[]
  marginPct: number
  /** First start, seconds since 1970. */
  from: number
  /** When the forecast was fetched, seconds since 1970: lead times count from here, or from the first start where nobody knows. */
  issued?: number
  to: number
  stepS: number
}

interface Driven {
  drawsJPerM: Float64Array
  air: RunAir
  steps: Steps
}

/** Every possible start from `from` to `to`, in order of time. */
export function slotsOf(question: WindowsQuestion, forecast: ForecastField, state: WorkingState): Slot[] {
  const baseline = baselineDraws(question, shiftedSteps)
  const wet = question.baseline.some((r) => r.comparable.outside.wet === true)
  const phases = new Set(question.baseline.map((r) => r.comparable.outside.phase))
  const first = Math.ceil(question.from / question.stepS) * question.stepS
  const slots: Slot[] = []
  for (let start = first; start <= question.to; start += question.stepS) {
    slots.push(slotAt(start, question, forecast, state, baseline(state), { wet, phases }))
  }
  return slots
}

function slotAt(
  startTime: number,
  question: WindowsQuestion,
  forecast: ForecastField,
  state: WorkingState,
  baseline: Float64Array,
  like: { wet: boolean; phases: Set<string | null> },
): Slot {
  const leadH = (startTime - (question.issued ?? question.from)) / 3600
  const { air, steps, drawsJPerM } = drivenThrough(startTime, question.reference.steps, question, forecast, state)
  const best = stepAirOf(air.along, steps)
  const { bestExposure } = state.shared
  const wind = windMet(steps, best, bestExposure)
  const known = air.missing.length === 0
  const sun = sunOf(steps)
  const endTime = startTime + sum(steps.durationS)
  const rows = rowsAbout(forecast, air.stations, startTime, endTime)
  const fallenMm = [rows.precipitationMm, air.precipitationMm].filter(Number.isFinite)
  const precipitationMm = fallenMm.length > 0 ? Math.max(...fallenMm) : Number.NaN
  const rain = precipitationMm > 0 || air.presentWeather.some((w) => /RA|DZ|SN|SH|TS/.test(w))
  return {
    startTime,
    endTime,
    leadH,
    stepH: rows.stepH,
    missing: air.missing,
    difference: known ? conditionsDifference(baseline, drawsJPerM, question.marginPct) : null,
    ...sun,
    precipitationMm,
    rain,
    windMps: wind.speedMps,
    windFromDeg: wind.fromDeg,
    headwindMps: wind.headwindMps,
    headwindPartsMps: headwindProfile(steps, { east: best.windEastMps, north: best.windNorthMps }, bestExposure),
    temperatureK: overDistance(best.temperatureK, steps),
    slotClass: !known ? 'unknown' : rain !== like.wet ? 'rain' : like.phases.has(sun.phase) ? 'like' : 'other-light',
  }
}

/** The reference's speeds driven through the forecast; draws only where the forecast reaches. */
function drivenThrough(
  startTime: number,
  template: Steps,
  { reference, from, issued = from }: WindowsQuestion,
  forecast: ForecastField,
  state: WorkingState,
): Driven {
  const steps = shiftedSteps(template, startTime)
  const air = runAirOf(forecast.field, reference.run.id, steps)
  if (air.missing.length > 0) return { drawsJPerM: new Float64Array(0), air, steps }
  const gapH = Math.max(...air.stations.map(({ gapS }) => gapS)) / 3600
  const withErrors = withForecastErrors(air, forecastErrors((startTime - issued) / 3600, gapH))
  const run = { ...reference.ensembleRun, steps, air: stepAirOf(withErrors.along, steps), runAir: withErrors }
  return { drawsJPerM: airDemand(run, state.shared), air, steps }
}

/**
 * Demand without the day's traffic: with the same speeds on both sides, slipstreams and the like are no part of what a
 * forecast is asked. The report of a drive that was made carries them.
 */
function airDemand(run: EnsembleRun, shared: SharedDraws): Float64Array {
  const traffic = trafficDraws(run, shared)
  return demandOf(run, shared).drawsJPerM.map((demand, k) => demand / (1 + traffic[k]))
}

/**
 * The reference's speeds driven through the air that each baseline run met: draw by draw the geometric mean of the demands,
 * so that only the air differs from the forecast's, and not the traffic of the day.
 */
function baselineDraws(
  { reference, baseline }: WindowsQuestion,
  begunAt: (steps: Steps, startTime: number) => Steps,
): (state: WorkingState) => Float64Array {
  let known: Float64Array | null = null
  return ({ shared, field }) => {
    if (known) return known
    const logs = new Float64Array(shared.settings.draws)
    for (const record of baseline) {
      const steps = begunAt(reference.steps, record.run.summary.startTime)
      const runAir = runAirOf(field, record.run.id, steps)
      const run = { ...reference.ensembleRun, steps, air: stepAirOf(runAir.along, steps), runAir }
      const drawsJPerM = airDemand(run, shared)
      for (let k = 0; k < logs.length; k++) logs[k] += Math.log(drawsJPerM[k]) / baseline.length
    }
    known = logs.map(Math.exp)
    return known
  }
}

/** What driving there and straight back, baseline and change alike, would make of a slot on a one-way road. */
export function thereAndBack(
  startTime: number,
  question: WindowsQuestion,
  forecast: ForecastField,
  state: WorkingState,
): ConditionsDifference | null {
  const back = reversedSteps(question.reference.steps)
  const durationS = sum(back.durationS)
  const out = drivenThrough(startTime, question.reference.steps, question, forecast, state)
  const home = drivenThrough(startTime + durationS, back, question, forecast, state)
  if (out.drawsJPerM.length === 0 || home.drawsJPerM.length === 0) return null
  const both = (a: Float64Array, b: Float64Array): Float64Array => a.map((value, k) => (value + b[k]) / 2)
  const backThen = (_: Steps, start: number): Steps => shiftedSteps(back, start + durationS)
  const baseline = both(baselineDraws(question, shiftedSteps)(state), baselineDraws(question, backThen)(state))
  return conditionsDifference(baseline, both(out.drawsJPerM, home.drawsJPerM), question.marginPct)
}
