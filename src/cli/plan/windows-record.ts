import { plainText } from '../../base/sentence.ts'
import type { ConditionsDifference } from '../../compare/difference.ts'
import { bestWindows, rankedSlots, type Slot } from '../../plan/windows.ts'
import type { Subject } from '../../plan/windows-subject.ts'
import { local, windowsAdvice, windowsWords } from '../../report/words/plans/windows.ts'

/** The plan as data. */
export function windowsRecord(slots: Slot[], subject: Subject): Record<string, unknown> {
  const number = (value: number): number | null => (Number.isFinite(value) ? Number(value.toPrecision(5)) : null)
  const interval = (d: ConditionsDifference | null) =>
    d && { mean: number(d.meanPct), low90: number(d.low90Pct), high90: number(d.high90Pct) }
  const iso = (timeS: number): string => new Date(timeS * 1000).toISOString().replace('.000Z', 'Z')
  const record = (slot: Slot) => ({
    start_time: iso(slot.startTime),
    local_start: local(slot.startTime, subject).toISO({ suppressMilliseconds: true }),
    lead_hours: number(slot.leadH),
    forecast_step_hours: number(slot.stepH),
    not_forecast: slot.missing,
    difference_pct: interval(slot.difference),
    score: slot.difference ? number(slot.difference.score) : null,
    tightest_margin_pct: slot.difference ? number(slot.difference.tightestMarginPct) : null,
    sun_altitude_deg: number(slot.sunAltitudeDeg),
    phase: slot.phase,
    rain: slot.rain,
    precipitation_mm: number(slot.precipitationMm),
    wind_mps: number(slot.windMps),
    wind_from_deg: number(slot.windFromDeg),
    headwind_mps: number(slot.headwindMps),
    headwind_by_quarter_mps: slot.headwindPartsMps.map(number),
    temperature_c: number(slot.temperatureK - 273.15),
    class: slot.slotClass,
  })
  return {
    schema: 'ceteris-plan-windows/1',
    route: subject.routeName,
    shape: subject.shape,
    reference: subject.reference,
    baseline: subject.baseline,
    margin_pct: subject.marginPct,
    time_zone: subject.timeZone,
    best: windowsWords(bestWindows(slots), subject).map((sentence) => plainText(sentence)),
    advice: windowsAdvice(subject).map((sentence) => plainText(sentence)),
    there_and_back_pct: subject.thereAndBack && interval(subject.thereAndBack.both),
    slots: rankedSlots(slots).map((slot, i) => ({ rank: i + 1, ...record(slot) })),
  }
}
