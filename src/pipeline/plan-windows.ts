import { type AirField, prepareField } from '../air/field.ts'
import { type ObservationFile, seriesOf } from '../air/series.ts'
import type { RunAir } from '../air/types.ts'
import type { Problem } from '../base/problem.ts'
import { type ConditionsDifference, conditionsDifference } from '../compare/difference.ts'
import { demandOf } from '../demand/ensemble.ts'
import { trafficDraws } from '../demand/run-draws.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import { stepAirOf } from '../demand/step-air.ts'
import type { EnsembleRun, Steps } from '../demand/types.ts'
import {
  forecastErrors,
  headwindProfile,
  reversedSteps,
  type Slot,
  shiftedSteps,
  sunOf,
  withForecastErrors,
} from '../plan/windows.ts'
import { isWeatherKind, readWeather } from '../read/weather/read.ts'
import { overDistance, windMet } from './conditions.ts'
import type { MappedFile } from './map-file.ts'
import { runAirOf } from './run-air.ts'
import type { RunRecord } from './run-record.ts'
import type { WorkingState } from './working-state.ts'

export interface ForecastField {
  field: AirField
  /** Seconds since 1970; NaN where there is no row. */
  firstTime: number
  lastTime: number
}

/** The forecast files as an air that can be asked. A table without positions is taken to be for the road itself. */
export async function forecastOf(
  files: MappedFile[],
  state: WorkingState,
  reference: RunRecord,
): Promise<{ forecast: ForecastField | null; problems: Problem[] }> {
  const problems: Problem[] = []
  const observations: ObservationFile[] = []
  for (const file of files) {
    problems.push(...file.problems.map((p) => ({ ...p, file: file.path })))
    if (!isWeatherKind(file.kind)) {
      const message = 'this is no table of weather; expected a CSV table with times ahead'
      if (file.kind !== 'unrecognised' && file.kind !== 'html')
        problems.push({ code: 'not-a-forecast', severity: 'error', message, file: file.path })
      continue
    }
    const context = {
      timeZone: state.campaign.timeZone,
      fileName: file.path,
      coverFrom: null,
      coverTo: null,
      coverSpans: [],
    }
    const read = readWeather(file.kind, file.text!, context)
    problems.push(...read.problems.map((p) => ({ ...p, file: file.path })))
    if (read.value) observations.push({ file: file.path, observations: read.value })
  }
  const { loadStationTable } = await import('../read/weather/stations.ts')
  const stations = seriesOf(observations, state.campaign.stations, await loadStationTable())
  problems.push(...stations.problems)
  const middle = reference.steps.time.length >> 1
  const placed = stations.series.map((s) =>
    s.station.onRoad
      ? {
          ...s,
          station: {
            ...s.station,
            onRoad: false,
            latitude: reference.steps.latitude[middle],
            longitude: reference.steps.longitude[middle],
            elevationM: reference.steps.elevationM[middle],
          },
        }
      : s,
  )
  const times = placed.flatMap((s) => [s.time[0], s.time[s.time.length - 1]]).filter(Number.isFinite)
  if (times.length === 0) return { forecast: null, problems }
  const forecast = { field: prepareField(placed), firstTime: Math.min(...times), lastTime: Math.max(...times) }
  return { forecast, problems }
}

export interface WindowsQuestion {
  /** Whose speeds are driven again. */
  reference: RunRecord
  /** Whose air the forecast is held against; the reference itself, or all runs of the baseline. */
  baseline: RunRecord[]
  marginPct: number
  /** Seconds since 1970: lead times count from here. */
  from: number
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
  const leadH = (startTime - question.from) / 3600
  const { air, steps, drawsJPerM } = drivenThrough(startTime, question.reference.steps, question, forecast, state)
  const best = stepAirOf(air.along, steps)
  const { bestExposure } = state.shared
  const wind = windMet(steps, best, bestExposure)
  const known = air.missing.length === 0
  const sun = sunOf(steps)
  const rain = air.precipitationMm > 0 || air.presentWeather.some((w) => /RA|DZ|SN|SH|TS/.test(w))
  return {
    startTime,
    endTime: startTime + steps.durationS.reduce((sum, s) => sum + s, 0),
    leadH,
    difference: known ? conditionsDifference(baseline, drawsJPerM, question.marginPct) : null,
    ...sun,
    precipitationMm: air.precipitationMm,
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
  { reference, from }: WindowsQuestion,
  forecast: ForecastField,
  state: WorkingState,
): Driven {
  const steps = shiftedSteps(template, startTime)
  const air = runAirOf(forecast.field, reference.run.id, steps)
  if (air.missing.length > 0) return { drawsJPerM: new Float64Array(0), air, steps }
  const withErrors = withForecastErrors(air, forecastErrors((startTime - from) / 3600))
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
  const durationS = back.durationS.reduce((sum, s) => sum + s, 0)
  const out = drivenThrough(startTime, question.reference.steps, question, forecast, state)
  const home = drivenThrough(startTime + durationS, back, question, forecast, state)
  if (out.drawsJPerM.length === 0 || home.drawsJPerM.length === 0) return null
  const both = (a: Float64Array, b: Float64Array): Float64Array => a.map((value, k) => (value + b[k]) / 2)
  const backThen = (_: Steps, start: number): Steps => shiftedSteps(back, start + durationS)
  const baseline = both(baselineDraws(question, shiftedSteps)(state), baselineDraws(question, backThen)(state))
  return conditionsDifference(baseline, both(out.drawsJPerM, home.drawsJPerM), question.marginPct)
}
