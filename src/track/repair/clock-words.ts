import type { Problem } from '../../base/problem.ts'
import { isoSecond } from '../../base/time.ts'

/** A step of a recording's clock while the vehicle drove on. */
interface ClockStep {
  /** Of the last point before it and the first after it, as written, s. */
  fromTime: number
  toTime: number
  /** How many points were moved to the clock of the others: those after the step, or those before it. */
  points: number
  late: boolean
  /** By how much, s. */
  byS: number
}

/** Says of one step of the clock when it was, and what was done. */
export function clockStep({ fromTime, toTime, points, late, byS }: ClockStep): Problem {
  const moved = `${pointsIn(points)} ${late ? 'after' : 'before'} it moved ${duration(Math.abs(byS))} ${byS > 0 ? 'later' : 'earlier'}, to the clock of the others`
  return {
    code: 'clock-jump',
    severity: 'warning',
    message: `The clock steps from ${isoSecond(fromTime)} to ${isoSecond(toTime)} while the vehicle drives on: ${moved}.`,
    hint: 'If the other clock is the right one, correct the times in the file: they decide which weather is taken.',
  }
}

/**
 * Says of points far from all others in time which they are.
 * @param far their times, rising
 */
export function farInTime(far: Float64Array, fromTime: number, toTime: number): Problem {
  const [first, last] = [far[0], far[far.length - 1]]
  const when = first === last ? isoSecond(first) : `${isoSecond(first)} to ${isoSecond(last)}`
  return {
    code: 'clock-jump',
    severity: 'warning',
    message: `${pointsIn(far.length)} left out, dated ${when}: the others go from ${isoSecond(fromTime)} to ${isoSecond(toTime)}.`,
    hint: 'Correct their dates, or put them into a file of their own if they are another drive.',
  }
}

const pointsIn = (count: number): string => (count === 1 ? '1 point' : `${count} points`)

/** `1 h`, `1 h 30 min`, `2 min 30 s`, `400 d`. */
function duration(seconds: number): string {
  const whole = Math.round(seconds)
  if (whole >= 2 * 86_400) return `${Math.round(whole / 86_400)} d`
  const parts: [number, string][] = [
    [Math.floor(whole / 3600), 'h'],
    [Math.floor(whole / 60) % 60, 'min'],
    [whole % 60, 's'],
  ]
  return parts
    .filter(([count]) => count > 0)
    .slice(0, 2)
    .map(([count, unit]) => `${count} ${unit}`)
    .join(' ')
}
