import { REACH } from '../air/blend.ts'
import type { WorkingState } from '../campaign/computed-campaign.ts'
import type { RunRecord } from '../campaign/drive/run-record.ts'
import { isLeftOut } from '../campaign/load/recordings/left-out.ts'
import type { ConditionsDifference } from '../compare/difference.ts'
import type { WindowsSubject } from '../report/words/plans/windows.ts'
import type { ForecastField } from './forecast.ts'
import { rankedSlots, type Slot } from './windows.ts'
import { slotsOf, thereAndBack, type WindowsQuestion } from './windows-ahead.ts'

/** What a plan is about, with the starts as they were computed. */
export type Subject = WindowsSubject<Slot> & {
  thereAndBack: { oneWay: ConditionsDifference; both: ConditionsDifference } | null
}

/** The run of middle duration: its speeds are driven again. */
export function typicalRun(records: RunRecord[]): RunRecord {
  const sorted = [...records].sort((a, b) => a.run.summary.durationS - b.run.summary.durationS)
  return sorted[(sorted.length - 1) >> 1]
}

/** What the plan is about, with what to drive differently where that helps. */
export function subjectOf(
  question: WindowsQuestion,
  slots: Slot[],
  forecast: ForecastField,
  state: WorkingState,
): Subject {
  const { roads, campaign } = state
  const { reference, baseline, marginPct } = question
  const { shape } = roads.routes[reference.route]
  const [best] = rankedSlots(slots)
  const both = shape === 'one-way' ? thereAndBack(best.startTime, question, forecast, state) : null
  return {
    routeName: roads.names[reference.route],
    shape,
    baseline: baseline.map((r) => r.run.id),
    reference: reference.run.id,
    marginPct,
    timeZone: campaign.timeZone,
    mostStepH: REACH.forecastStepS / 3600,
    thereAndBack: both && best.difference && { oneWay: best.difference, both },
    otherDirection: otherDirection(question, best, forecast, state),
  }
}

/** The best start the other way round, where it beats the best one this way. */
function otherDirection(
  question: WindowsQuestion,
  best: Slot,
  forecast: ForecastField,
  state: WorkingState,
): Subject['otherDirection'] {
  const { roads, records, campaign } = state
  const route =
    roads.routes[question.reference.route].oppositeOf ??
    roads.routes.findIndex((r) => r.oppositeOf === question.reference.route)
  if (route === null || route < 0) return null
  const baseline = records.filter(
    (r) =>
      r.route === route &&
      r.demand !== null &&
      !isLeftOut(r.run) &&
      (campaign.baseline === null || r.run.row?.setup === campaign.baseline),
  )
  if (baseline.length === 0) return null
  const back = { ...question, baseline, reference: typicalRun(baseline), to: Math.min(question.to, forecast.lastTime) }
  const [other] = rankedSlots(slotsOf(back, forecast, state))
  const better = other?.difference && rankedSlots([best, other])[0] === other
  return better ? { routeName: roads.names[route], best: other } : null
}
