import { REACH } from '../../air/blend.ts'
import type { Problem } from '../../base/problem.ts'
import { type FillSpan, spansOf } from '../../claim/fuel/fill-spans.ts'
import type { FillRow } from '../../read/runs/rows.ts'
import type { Observations, Station } from '../../read/types.ts'
import { stepM } from '../../track/geodesy.ts'
import { type Driving, drivingInSpans, type RecordedEnds } from '../fuel-log/spans-and-drives.ts'

const HOUR_S = 3600
const DAY_S = 24 * HOUR_S
/** What a clock or a date is off by when it is off, the smallest first: whole hours of a zone, a day, a month's slip, a year. */
const SHIFTS_S = [
  ...Array.from({ length: 14 }, (_, i) => [(i + 1) * HOUR_S, -(i + 1) * HOUR_S]).flat(),
  ...[1, -1, 2, -2, 7, -7, 365, -365, 366, -366].map((days) => days * DAY_S),
]

/** "2 hours later", "a day earlier". */
function shiftWords(seconds: number): string {
  const size = Math.abs(seconds)
  const hours = size / HOUR_S
  const days = size / DAY_S
  const [count, unit] = days > 300 ? [1, 'year'] : days >= 1 ? [days, 'day'] : [hours, 'hour']
  const what = count === 1 ? `${unit === 'hour' ? 'an' : 'a'} ${unit}` : `${count} ${unit}s`
  return `${what} ${seconds > 0 ? 'later' : 'earlier'}`
}

const lineFor = (seconds: number): string =>
  Math.abs(seconds) < DAY_S
    ? 'Are these times of another zone? Write them with their offset (2026-05-04T17:20+02:00), or time_zone: into campaign.yaml.'
    : 'Is the date right? Correct it in the table.'

/** A drive with the place where it begins. */
export interface PlacedDrive {
  startTime: number
  endTime: number
  latitude: number
  longitude: number
}

/**
 * A table of weather that lies beside the drives in time, and would fit if its clock were moved by whole hours or days.
 * @param observations as read, all of them
 */
export function weatherTimeProblems(
  { stations, station, time }: Observations,
  drives: readonly PlacedDrive[],
): Problem[] {
  const isNear = ({ onRoad, latitude, longitude }: Station, drive: PlacedDrive): boolean =>
    onRoad || Number.isNaN(latitude) || stepM(drive.latitude, drive.longitude, latitude, longitude) <= REACH.distanceM
  const used = stations.map((one) => drives.some((drive) => isNear(one, drive)))
  const sorted = time.filter((_, i) => used[station[i]]).sort()
  const near = drives.filter((drive) => stations.some((one) => isNear(one, drive)))
  if (sorted.length === 0 || near.length === 0) return []
  // A logger in the car writes while it is driven; a station's reports count for some time before and after.
  const marginS = stations.some(({ onRoad }) => onRoad) ? HOUR_S / 4 : REACH.gapS
  const covered = (shiftS: number): number =>
    near.filter(({ startTime, endTime }) => {
      const first = firstAfter(sorted, startTime - marginS - shiftS)
      return first < sorted.length && sorted[first] + shiftS <= endTime + marginS
    }).length
  if (covered(0) > 0) return []
  const shiftS = SHIFTS_S.find((shift) => covered(shift) > near.length / 2)
  if (shiftS === undefined) return []
  const message = `none of its reports was made during a drive; ${shiftWords(shiftS)} they would cover ${covered(shiftS)} of ${near.length}`
  return [
    { code: 'weather-time-shifted', severity: 'warning', message, hint: `${lineFor(shiftS)} Nothing was changed.` },
  ]
}

/** Place of the first of sorted values that is not below one. */
function firstAfter(sorted: Float64Array, value: number): number {
  let [low, high] = [0, sorted.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if (sorted[middle] < value) low = middle + 1
    else high = middle
  }
  return low
}

/** Every shift is tried with all fills and all driving: a log of so many is not. */
const MOST_TRIED = 500_000

/**
 * A fuel log whose fills fall into drives, or between the wrong ones by the odometer, and would fit if its clock were moved
 * by whole hours or days.
 */
export function fillTimeProblems(
  fills: readonly FillRow[],
  file: string,
  driving: readonly Driving[],
  ends: readonly RecordedEnds[],
): Problem[] {
  if (fills.length * driving.length > MOST_TRIED) return []
  const scoreOf = (shiftS: number): { fit: number; drives: number } => {
    const spans = drivingInSpans(spansOf(fills.map((fill) => moved(fill, shiftS))), driving, ends, 1)
    const fitting = spans.filter(({ span, reason }) => reason === null && hasDistance(span))
    return { fit: fitting.length, drives: fitting.reduce((sum, { drives }) => sum + drives.length, 0) }
  }
  const now = scoreOf(0)
  const total = driving.filter(({ run }) => run !== null).length
  // Nothing is wrong as long as most drives lie between fills that fit them.
  if (total < 2 || now.drives > total / 2) return []
  const tried = SHIFTS_S.map((shiftS) => ({ shiftS, ...scoreOf(shiftS) }))
  // Of several that fit as many drives the smallest shift comes first.
  const then = tried.reduce((best, next) => (next.drives > best.drives ? next : best))
  const { shiftS } = then
  if (then.drives <= total / 2 || then.fit < now.fit + 2) return []
  const message = `${now.fit} of ${spansOf(fills).length} spans between fills fit what was recorded; ${shiftWords(shiftS)} it would be ${then.fit}, with ${then.drives} of ${total} drives`
  const hint = `${lineFor(shiftS)} Nothing was changed.`
  return [{ code: 'fills-time-shifted', severity: 'warning', file, message, hint }]
}

const hasDistance = ({ distanceM }: FillSpan): boolean => Number.isFinite(distanceM)

const moved = (fill: FillRow, shiftS: number): FillRow => ({
  ...fill,
  fromTime: fill.fromTime + shiftS,
  toTime: fill.toTime + shiftS,
})
