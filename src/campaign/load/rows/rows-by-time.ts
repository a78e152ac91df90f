import { failed, found, type Outcome, type Problem } from '../../../base/problem.ts'
import type { RunRow } from '../../../read/runs/rows.ts'
import type { FoundDrive, Recording } from './drives-and-rows.ts'
import { shownTime } from './stated-times.ts'

/** A driver's note of when the drive began may be so far off. Common practice, no source. */
const SLACK_S = 30 * 60
const DAY_S = 86_400

type When = NonNullable<RunRow['when']>

const isDay = ({ fromTime, toTime }: When): boolean => toTime > fromTime

/**
 * The recording that a row means which names none: the one that holds its moment, or begins nearest to it, or the only one
 * of its day. Recordings of the same minutes are of one drive, and the first is taken.
 */
export function recordingByTime(when: When, recordings: Recording[], timeZone: string | null): Outcome<number> {
  const { fromTime, toTime } = when
  const fits = recordings
    .map((recording, i) => ({ ...recording, i }))
    .filter(({ startTime, endTime }) =>
      isDay(when)
        ? startTime < toTime && endTime >= fromTime
        : startTime - SLACK_S <= fromTime && fromTime <= endTime + SLACK_S,
    )
    .sort((a, b) => distanceS(a, fromTime) - distanceS(b, fromTime) || a.startTime - b.startTime)
  const shown = (seconds: number): string => shownTime(seconds, timeZone)
  const at = isDay(when) ? shown(fromTime).slice(0, 10) : shown(fromTime)
  if (fits.length === 0) return failed(noneThen(at, when, recordings, shown))
  const [first] = fits
  const apart = fits.filter(({ startTime, endTime }) => startTime > first.endTime || endTime < first.startTime)
  if (!isDay(when) || apart.length === 0) return found(first.i)
  const named = fits.map(({ track, startTime }) => `${track} (${shown(startTime).slice(11)})`).slice(0, 6)
  return failed({
    code: 'row-ambiguous',
    message: `this row names no track, and on ${at} there are ${fits.length} recordings: ${named.join(', ')}`,
    hint: 'Write the time at which the drive began into a column "time", or the name of its file into "track".',
  })
}

/** Seconds from a recording to a moment outside it; 0 within. */
const distanceS = ({ startTime, endTime }: { startTime: number; endTime: number }, time: number): number =>
  Math.max(0, startTime - time, time - endTime)

function noneThen(
  at: string,
  { fromTime }: When,
  recordings: Recording[],
  shown: (seconds: number) => string,
): Omit<Problem, 'severity'> {
  const [nearest] = [...recordings].sort((a, b) => distanceS(a, fromTime) - distanceS(b, fromTime))
  const message = `this row names no track, and nothing was recorded at ${at}`
  if (!nearest) return { code: 'row-without-track', message }
  const gapS = distanceS(nearest, fromTime)
  const hours = Math.round(Math.abs(fromTime - nearest.startTime) / 3600)
  const near = `${message}; the nearest recording is ${nearest.track}, which begins at ${shown(nearest.startTime)}`
  if (gapS > DAY_S) return { code: 'row-without-track', message: near }
  const hint = `${hours} h between them may be those of a time zone: see time_zone in campaign.yaml.`
  return { code: 'row-without-track', message: near, ...(hours > 0 && hours <= 14 ? { hint } : {}) }
}

/** Of the drives of that recording the one that holds the moment or begins nearest to it; all of them for a day. */
export function drivesByTime(when: When, own: number[], drives: FoundDrive[]): number[] {
  if (isDay(when)) return own.filter((i) => drives[i].fromTime < when.toTime && drives[i].toTime >= when.fromTime)
  const away = (i: number): number =>
    distanceS({ startTime: drives[i].fromTime, endTime: drives[i].toTime }, when.fromTime)
  const near = own
    .filter((i) => away(i) <= SLACK_S)
    .sort(
      (a, b) =>
        Math.abs(drives[a].fromTime - when.fromTime) - Math.abs(drives[b].fromTime - when.fromTime) ||
        away(a) - away(b),
    )
  return near.slice(0, 1)
}
