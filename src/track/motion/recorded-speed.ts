import { hypotenuse } from '../../base/arithmetic.ts'
import type { Problem } from '../../base/problem.ts'
import { upperMedian } from '../../base/statistics.ts'
import type { TrackColumns } from '../../read/types.ts'
import { intervals, takenColumn } from '../repair/order.ts'
import type { PathFixes, Places } from './smoother.ts'

/** Speeds that a device recorded beside its positions, times rising; m/s. */
export interface RecordedSpeed {
  time: Float64Array
  speedMps: Float64Array
  /** As the file calls it. */
  name: string
}

/** The smoothed fixes of a path, m, with how far along it each lies. */
export interface FixesAlong extends Places {
  wayM: Float64Array
  /** 1 for fixes after which a gap begins. */
  cut: Uint8Array
}

/** A recorded speed held against the positions. */
export interface CheckedSpeed {
  /** Brought to the scale of the positions; null: not used. */
  speed: RecordedSpeed | null
  problems: Problem[]
}

/**
 * Standard deviation of one recorded speed, m/s: a receiver's Doppler is better, a wheel's speed slips and comes late. A
 * choice; the speed of a bus is written in steps of up to 1 km/h.
 */
export const RECORDED_SPEED_SD_MPS = 0.3
/** Faster than any vehicle here; such a value is none. */
const TOP_MPS = 120
/** A speed by the wheels is off by a few percent with the tyres; a scale within this is set right by the positions. */
const SCALE_TOLERANCE = 0.1
/** Nearer than this the positions do not know it better. */
const SCALE_KNOWN = 0.02
/** Paces are taken over so long, s, and compared from this many on. */
const WINDOW_S = 10
const FEWEST_WINDOWS = 6
const SLOWEST_MPS = 3
/** Further off than this in the middle, of the mean speed, a column is no speed of this drive. Common practice, no source. */
const FOLLOWS_WITHIN = 0.2
/** Between two speeds no further apart than this the motion follows them, s; a recording with more without is not followed. */
const LONGEST_HOLD_S = 10
const LEAST_COVERED = 0.98
/** A window is straight where its chord is this much of its way: in bends sparse positions cut the corners. */
const STRAIGHT = 0.995
/** Factors that a wrong unit makes, and how near they are recognised. */
const UNITS: [factor: number, words: string][] = [
  [1 / 3.6, 'as if km/h were read as m/s'],
  [3.6, 'as if m/s were read as km/h'],
  [1.609344, 'as if mph were read as km/h'],
  [1 / 1.609344, 'as if km/h were read as mph'],
  [0.44704, 'as if mph were read as m/s'],
  [0.514444, 'as if knots were read as m/s'],
  [1.852, 'as if knots were read as km/h'],
]
const UNIT_WITHIN = 0.07

/** The speeds of a track in the order of time; null where it has none. @param time of all rows, on the drive's clock */
export function recordedSpeedOf({ logged }: TrackColumns, time: Float64Array): RecordedSpeed | null {
  const column = logged.speedMps
  if (!column) return null
  const rows: number[] = []
  for (let row = 0; row < time.length; row++) {
    const speed = column.values[row]
    if (speed >= 0 && speed <= TOP_MPS && !Number.isNaN(time[row])) rows.push(row)
  }
  rows.sort((a, b) => time[a] - time[b] || a - b)
  const once = rows.filter((row, n) => n === 0 || time[row] > time[rows[n - 1]])
  if (once.length < 2) return null
  return { time: takenColumn(time, once), speedMps: takenColumn(column.values, once), name: column.name }
}

/**
 * Whether recorded speeds are those of the positions: their sum over time is the way along the path, up to a scale of some
 * percent that the positions set right, and they follow its pace. A wrong unit or scale is told with the factor that fits.
 */
export function checkedSpeed(recorded: RecordedSpeed, along: FixesAlong): CheckedSpeed {
  const all = windowsOf(recorded, along)
  const straight = all.filter(({ isStraight }) => isStraight)
  const windows = straight.length >= FEWEST_WINDOWS ? straight : all
  if (windows.length < FEWEST_WINDOWS) return { speed: null, problems: [] }
  const covered = coveredShare(recorded.time, along)
  if (covered < LEAST_COVERED) return { speed: null, problems: [notCovered(recorded.name, covered)] }
  const way = windows.reduce((sum, { wayM }) => sum + wayM, 0)
  const said = windows.reduce((sum, { saidM }) => sum + saidM, 0)
  const factor = way / said
  const off = Math.abs(Math.log(factor))
  const { name } = recorded
  if (!(off <= SCALE_TOLERANCE)) return { speed: null, problems: [notUsed(name, factor)] }
  const apart = upperMedian(windows.map(({ wayM, saidM, seconds }) => Math.abs(wayM - factor * saidM) / seconds))
  const seconds = windows.reduce((sum, window) => sum + window.seconds, 0)
  if (apart > FOLLOWS_WITHIN * (way / seconds)) {
    const message = `the recorded speed ("${name}") does not follow the positions: it is off by ${apart.toFixed(1)} m/s in the middle; it is not used`
    return { speed: null, problems: [{ code: 'recorded-speed-not-used', severity: 'warning', message }] }
  }
  const scale = off > SCALE_KNOWN ? factor : 1
  const speedMps = scale === 1 ? recorded.speedMps : recorded.speedMps.map((speed) => scale * speed)
  const scaled = scale === 1 ? '' : `, times ${scale.toFixed(3)}, by which it gives the way between the positions`
  const message = `the recorded speed ("${name}") is used beside the positions${scaled}`
  return { speed: { ...recorded, speedMps }, problems: [{ code: 'recorded-speed-used', severity: 'note', message }] }
}

/** Share of the time of the fixes, without their gaps, that speeds no further apart than the longest hold cover. */
function coveredShare(time: Float64Array, along: FixesAlong): number {
  const gaps: { from: number; to: number }[] = []
  for (let i = 0; i < along.cut.length; i++) if (along.cut[i]) gaps.push({ from: along.time[i], to: along.time[i + 1] })
  const withoutGaps = (from: number, to: number): number =>
    gaps.reduce(
      (left, gap) => left - Math.max(0, Math.min(to, gap.to) - Math.max(from, gap.from)),
      Math.max(0, to - from),
    )
  const [start, end] = [along.time[0], along.time[along.time.length - 1]]
  let missingS = withoutGaps(start, Math.min(end, time[0])) + withoutGaps(Math.max(start, time[time.length - 1]), end)
  for (let n = 1; n < time.length; n++) {
    if (time[n] - time[n - 1] <= LONGEST_HOLD_S) continue
    missingS += withoutGaps(Math.max(start, time[n - 1]), Math.min(end, time[n]))
  }
  return 1 - missingS / withoutGaps(start, end)
}

function notCovered(name: string, covered: number): Problem {
  const message = `the recorded speed ("${name}") covers ${Math.floor(100 * covered)} % of the time of the positions, expected ${100 * LEAST_COVERED} %; it is not used`
  return { code: 'recorded-speed-not-used', severity: 'note', message }
}

function notUsed(name: string, factor: number): Problem {
  const unit = UNITS.find(([wrong]) => Math.abs(Math.log(factor / wrong)) < UNIT_WITHIN)
  const message = `the recorded speed ("${name}") would have to be multiplied by ${factor.toPrecision(3)} to give the way between the positions${unit ? `, ${unit[1]}` : ''}; it is not used`
  const hint = 'Set the unit in the name of the column, or in the logger.'
  return { code: 'recorded-speed-not-used', severity: 'warning', message, hint }
}

interface Window {
  seconds: number
  /** Along the path, and by the recorded speed. */
  wayM: number
  saidM: number
  isStraight: boolean
}

/** Stretches of ten seconds or more between two fixes, without a gap and with speeds throughout. */
function windowsOf({ time, speedMps }: RecordedSpeed, along: FixesAlong): Window[] {
  const reached = new Float64Array(time.length)
  const longest = 3 * Math.max(1, upperMedian(intervals(time)))
  // A step too long makes all that is summed over it unknown.
  const broken = new Int32Array(time.length)
  for (let n = 1; n < time.length; n++) {
    const dt = time[n] - time[n - 1]
    reached[n] = reached[n - 1] + ((speedMps[n] + speedMps[n - 1]) / 2) * dt
    broken[n] = broken[n - 1] + (dt > longest ? 1 : 0)
  }
  const windows: Window[] = []
  let n = 0
  const at = (t: number): { saidM: number; broken: number } | null => {
    while (n + 2 < time.length && time[n + 1] <= t) n++
    if (t < time[n] || t > time[n + 1]) return null
    const dt = t - time[n]
    const slope = (speedMps[n + 1] - speedMps[n]) / (time[n + 1] - time[n])
    return { saidM: reached[n] + (speedMps[n] + (slope * dt) / 2) * dt, broken: broken[n + 1] }
  }
  let from = 0
  let begun = at(along.time[0])
  for (let i = 1; i < along.time.length; i++) {
    const cut = along.cut[i - 1] === 1
    const seconds = along.time[i] - along.time[from]
    if (!cut && seconds < WINDOW_S) continue
    const here = at(along.time[i])
    const wayM = along.wayM[i] - along.wayM[from]
    const chordM = hypotenuse(along.x[i] - along.x[from], along.y[i] - along.y[from])
    if (!cut && begun && here && here.broken === begun.broken && wayM > SLOWEST_MPS * seconds) {
      windows.push({ seconds, wayM, saidM: here.saidM - begun.saidM, isStraight: chordM > STRAIGHT * wayM })
    }
    from = i
    begun = here
  }
  return windows
}

/**
 * The recorded speeds as a path of its own for the smoother: how far they bring the vehicle, m in `x`, from the first fix to
 * the last. Positions have no part in it: in bends sparse ones cut the corners, and would slow the vehicle down there.
 */
export function speedPath({ time, speedMps }: RecordedSpeed, startTime: number, endTime: number): PathFixes {
  let first = 0
  while (first < time.length && time[first] < startTime) first++
  let past = time.length
  while (past > first && time[past - 1] > endTime) past--
  const rows = { time: [startTime], speed: [Number.NaN] }
  for (let n = first; n < past; n++) {
    if (time[n] === startTime) rows.speed[0] = speedMps[n]
    else {
      rows.time.push(time[n])
      rows.speed.push(speedMps[n])
    }
  }
  if (rows.time[rows.time.length - 1] < endTime) {
    rows.time.push(endTime)
    rows.speed.push(Number.NaN)
  }
  const count = rows.time.length
  const variance = new Float64Array(count).fill(Number.POSITIVE_INFINITY)
  variance[0] = 1
  return {
    time: Float64Array.from(rows.time),
    x: new Float64Array(count),
    y: new Float64Array(count),
    variance,
    speed: Float64Array.from(rows.speed),
    speedVariance: RECORDED_SPEED_SD_MPS * RECORDED_SPEED_SD_MPS,
  }
}
