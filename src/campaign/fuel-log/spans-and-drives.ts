import type { Place } from '../../base/place.ts'
import { METRES_PER_MILE } from '../../base/units.ts'
import type { FillSpan, SpanFault } from '../../claim/fuel/fill-spans.ts'
import type { FillRow } from '../../read/runs/rows.ts'
import { stepM } from '../../track/geodesy.ts'

/** A stretch of driving that was recorded, seconds since 1970 UTC. */
export interface RecordedDriving {
  fromTime: number
  toTime: number
  distanceM: number
}

/** A drive that may count in a claim, or other driving (null). */
export interface Driving extends RecordedDriving {
  /** Of a drive; null of other driving. */
  run: string | null
}

/** Where the vehicle was at the ends of what was recorded in one go. */
export interface RecordedEnds {
  startTime: number
  endTime: number
  start: Place
  end: Place
}

export type SpanReason =
  | SpanFault
  /** Nothing was recorded in it. */
  | { code: 'no-drives' }
  /** A fill was made in the midst of a drive, by the clocks; or on its day, and nobody says when. */
  | { code: 'fill-during-drive' | 'fill-time-unclear'; run: string | null; line: number; file: string | null }
  | { code: 'other-driving-not-recorded'; unrecordedM: number; recordedM: number; by: 'odometer' | 'places' }
  | { code: 'recorded-more-than-odometer'; recordedM: number; odometerM: number }

/** What was driven between two fills. */
export interface SpanDriving {
  span: FillSpan
  drives: Driving[]
  others: Driving[]
  driveM: number
  otherM: number
  /** By the odometer and not recorded, and how well that is known, one standard deviation; NaN where nobody says. */
  unrecordedM: number
  unrecordedSdM: number
  /** null: its fuel can be shared out among its drives. */
  reason: SpanReason | null
}

/** Notes of times are rounded, and a pump takes some minutes: a fill may lie this far within a drive, s. */
const SLACK_S = 600
/** So far apart are the places where one recording ends and the next begins, at most, when nothing was driven between, m. */
const SAME_PLACE_M = 300
/** Other driving below this is within what odometers and GPS are known to: a share of the distance, and m. */
const UNSEEN_SHARE = 0.02
const UNSEEN_M = 1000
/** More than the odometer says by this share is no error of GPS. Common practice, no source. */
const BEYOND_ODOMETER = 0.05
/**
 * The step in which an odometer was read, m: a whole mile or kilometre, or a tenth of one.
 * @param span by trips: as an odometer in tenths
 */
export function odometerStepM({ opening, closing }: Pick<FillSpan, 'opening' | 'closing'>): number {
  const inSteps = (stepM: number): boolean =>
    [opening, closing].every(({ odometerM }) => Math.abs(odometerM / stepM - Math.round(odometerM / stepM)) < 1e-6)
  return [METRES_PER_MILE, 1000].find(inSteps) ?? METRES_PER_MILE / 10
}

/** Standard deviation of the difference of two readings in steps, m. @source JCGM 100:2008, 4.3.7 */
export const odometerSdM = (span: Pick<FillSpan, 'opening' | 'closing'>): number =>
  (odometerStepM(span) * Math.SQRT2) / Math.sqrt(12)

/** Without an odometer: what else may have been driven, as a share. Common practice, no source. */
const NO_ODOMETER_SD = 0.01

/** Which of two a fill and a stretch of driving came first. */
export function fillSide(
  { fromTime, toTime }: Pick<FillRow, 'fromTime' | 'toTime'>,
  driving: RecordedDriving,
): 'before' | 'after' | 'within' | 'unclear' {
  const slackS = fromTime === toTime ? Math.min(SLACK_S, (driving.toTime - driving.fromTime) / 2) : 0
  if (toTime <= driving.fromTime + slackS) return 'before'
  if (fromTime >= driving.toTime - slackS) return 'after'
  return fromTime === toTime ? 'within' : 'unclear'
}

/**
 * Puts what was recorded between the fills, and holds its length against the odometer.
 * @param driving drives and other driving, in the order of time, each stretch once
 * @param ends of all that was recorded, in the order of time
 * @param odometerRatio what the vehicle's odometer reads more than GPS, usually
 */
export function drivingInSpans(
  spans: readonly FillSpan[],
  driving: readonly Driving[],
  ends: readonly RecordedEnds[],
  odometerRatio: number,
): SpanDriving[] {
  return spans.map((span) => {
    const { opening, closing } = span
    const inside = driving.filter((d) => fillSide(opening, d) === 'before' && fillSide(closing, d) === 'after')
    const drives = inside.filter(({ run }) => run !== null)
    const others = inside.filter(({ run }) => run === null)
    const length = (list: Driving[]): number => list.reduce((sum, { distanceM }) => sum + distanceM, 0)
    const [driveM, otherM] = [length(drives), length(others)]
    const whole = { span, drives, others, driveM, otherM }
    const crossing = crossed([opening, closing], driving)
    const unknown = { ...whole, unrecordedM: Number.NaN, unrecordedSdM: Number.NaN }
    if (crossing) return { ...unknown, reason: span.fault ?? crossing }
    const rest = unrecorded(span, driveM + otherM, joinsIn(span, ends), odometerRatio)
    const { reason, ...measured } = rest
    return { ...whole, ...measured, reason: span.fault ?? (drives.length === 0 ? { code: 'no-drives' } : reason) }
  })
}

/** The first fill that a stretch of driving goes past without a stop. */
function crossed(fills: FillRow[], driving: readonly Driving[]): SpanReason | null {
  for (const fill of fills) {
    for (const d of driving) {
      const side = fillSide(fill, d)
      if (side === 'within') return { code: 'fill-during-drive', run: d.run, line: fill.line, file: fill.file }
      if (side === 'unclear') return { code: 'fill-time-unclear', run: d.run, line: fill.line, file: fill.file }
    }
  }
  return null
}

/** Over all pauses of the recording in a span: how far the vehicle was moved in them, and whether it stands at both ends. */
function joinsIn({ opening, closing }: FillSpan, ends: readonly RecordedEnds[]): { movedM: number; whole: boolean } {
  let movedM = 0
  let [atBegin, atEnd] = [false, false]
  for (let i = 0; i + 1 < ends.length; i++) {
    const [from, to] = [ends[i], ends[i + 1]]
    if (to.startTime < opening.fromTime || from.endTime > closing.toTime) continue
    const apartM = stepM(from.end.latitude, from.end.longitude, to.start.latitude, to.start.longitude)
    if (apartM > SAME_PLACE_M) movedM += apartM
    if (from.endTime <= opening.toTime + SLACK_S) atBegin = true
    if (to.startTime >= closing.fromTime - SLACK_S) atEnd = true
  }
  return { movedM, whole: atBegin && atEnd }
}

function unrecorded(
  span: FillSpan,
  recordedM: number,
  { movedM, whole }: { movedM: number; whole: boolean },
  odometerRatio: number,
): { unrecordedM: number; unrecordedSdM: number; reason: SpanReason | null } {
  const { distanceM } = span
  const stepM = odometerStepM(span)
  const stepSdM = odometerSdM(span)
  const unseenM = Math.max(UNSEEN_M, stepM, UNSEEN_SHARE * recordedM)
  if (Number.isNaN(distanceM)) {
    const nothing = { unrecordedM: Number.NaN, unrecordedSdM: NO_ODOMETER_SD * recordedM }
    if (movedM <= unseenM) return { ...nothing, reason: null }
    const reason = {
      code: 'other-driving-not-recorded' as const,
      unrecordedM: movedM,
      recordedM,
      by: 'places' as const,
    }
    return { ...nothing, reason }
  }
  const drivenM = distanceM / odometerRatio
  const restM = drivenM - recordedM
  if (restM < -Math.max(UNSEEN_M, stepM, BEYOND_ODOMETER * drivenM)) {
    const reason = { code: 'recorded-more-than-odometer' as const, recordedM, odometerM: distanceM }
    return { unrecordedM: 0, unrecordedSdM: Number.NaN, reason }
  }
  if (restM > unseenM) {
    const reason = {
      code: 'other-driving-not-recorded' as const,
      unrecordedM: restM,
      recordedM,
      by: 'odometer' as const,
    }
    return { unrecordedM: restM, unrecordedSdM: stepSdM, reason }
  }
  // Where every recording begins at the place at which the last one ended, nothing was driven between them.
  if (whole && movedM === 0) return { unrecordedM: 0, unrecordedSdM: 0, reason: null }
  return { unrecordedM: restM > stepSdM ? restM : 0, unrecordedSdM: stepSdM, reason: null }
}

/** An odometer may read more or less than GPS by this share. Common practice, no source. */
const ODOMETER_OFF = 0.07

/**
 * What the odometer of a log reads more than GPS: over all spans that were recorded as a whole, three or more, so that its
 * steps weigh little; 1 where they are fewer, or so short that the steps say more than it does.
 */
export function logOdometerRatio(spans: readonly SpanDriving[]): number {
  const whole = spans
    .map(({ span, driveM, otherM }) => ({
      odometerM: span.distanceM,
      recordedM: driveM + otherM,
      sdM: odometerSdM(span),
    }))
    .filter(({ odometerM, recordedM, sdM }) => Math.abs(odometerM - recordedM) < ODOMETER_OFF * recordedM + 2 * sdM)
  const sum = (of: (one: (typeof whole)[number]) => number): number => whole.reduce((total, one) => total + of(one), 0)
  const recordedM = sum((one) => one.recordedM)
  const sdM = Math.sqrt(sum((one) => one.sdM * one.sdM))
  return whole.length < 3 || sdM > 0.01 * recordedM ? 1 : sum((one) => one.odometerM) / recordedM
}
