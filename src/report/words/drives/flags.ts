import { fixed } from '../../../base/figures.ts'
import { figure, listing, name, percentSize, plainText, type Sentence, say } from '../../../base/sentence.ts'
import { isoClock } from '../../../base/time.ts'
import type { ReportRun } from '../../contract.ts'

type Flag = ReportRun['flags'][number]
type Figures = Record<string, number>

const times = (count: number): string => (count === 1 ? 'once' : count === 2 ? 'twice' : `${count} times`)
const NO_WEATHER = 'within reach (300 km, 3 hours) for more than half of the drive.'

/** For each flag that the tool raises on a drive, what it says with its figures. */
const WORDS: Record<string, (figures: Figures) => Sentence> = {
  gaps: (f) =>
    say`The recording breaks off ${times(f.count)}, for up to ${fixed(f.longest_s, 0)} s; ${figure(f.bridged_m, 'distance', 1)} are bridged by straight lines.`,
  'position-jumps': (f) =>
    say`The position jumps ${times(f.count)}, by up to ${figure(f.farthest_m, 'height', 0)}, and goes on from there; no speed is taken from a jump.`,
  'low-rate': (f) => [
    `A new position comes only every ${fixed(f.interval_s, 0)} s, so stops and changes of speed are known only roughly.`,
  ],
  'coarse-positions': (f) =>
    say`${coarseWords(f)}, as when a phone takes its position from cell towers or Wi-Fi; distance and speed are poor.`,
  'top-speed-unsupported': (f) =>
    say`The smoothed speed reaches ${figure(f.top_mps, 'speed', 0)}, more than the distances between the positions bear out; ${figure(f.supported_mps, 'speed', 0)} is told.`,
  'top-speed-implausible': (f) =>
    say`The highest speed is ${figure(f.top_mps, 'speed', 0)}, more than any public road allows: some positions are probably wrong.`,
  'cut-while-moving': (f) =>
    say`The recording ${listing([
      ...(f.start_mps === undefined ? [] : [say`begins at ${figure(f.start_mps, 'speed', 0)}`]),
      ...(f.end_mps === undefined ? [] : [say`ends at ${figure(f.end_mps, 'speed', 0)}`]),
    ])}: a part of the drive is missing.`,
  'no-elevation': () => ['The track has no elevation.'],
  'little-elevation': (f) => [`Only ${percentSize(100 * f.share)} of the fixes have an elevation.`],
  'elevation-drift': (f) =>
    say`Start and end are one place, but its elevation reads ${figure(Math.abs(f.drift_m), 'height', 0)} ${f.drift_m > 0 ? 'higher' : 'lower'} at the end.`,
  'may-be-ferry': (f) =>
    say`${figure(f.length_m, 'distance', 1)} straight on at a low and steady speed, as on a ferry. If it was one, write ${windowOf(f)} into the column without of runs.csv.`,
  'long-stand': (f) => [
    `Stands for ${standMinutes(f)} min. The engine is taken to be off${costWords(f, 'it idled on', 'write no, or the minutes in which it was off, into the column engine_off of runs.csv')} If this was a ferry or a wait that is no part of the drive, write ${windowOf(f)} into the column without.`,
  ],
  'long-stand-electric': (f) => [
    `Stands for ${standMinutes(f)} min. The vehicle is taken to be switched off${costWords(f, 'it was on', 'write no into the column engine_off of runs.csv')} If this was a wait that is no part of the drive, write ${windowOf(f)} into the column without.`,
  ],
  'may-be-charging': (f) => [
    `Stands for ${standMinutes(f)} min, as for charging. If the battery was charged, write ${windowOf(f)} into the column without of runs.csv, and give the energy without the charge. The vehicle is taken to be switched off${costWords(f, 'it was on', 'write no into the column engine_off')}`,
  ],
  'stated-other-vehicle': () => ['Made with another vehicle, as runs.csv says: compared with no other drive.'],
  'control-vehicle': () => [
    'Made with the control vehicle: compared with no other drive; it counts in the ratio of test to control.',
  ],
  'moves-like-walk': (f) => say`Moves like a walker or a runner, ${speedsWords(f)}. ${COMPARE_IT}`,
  'moves-like-bicycle': (f) => say`Moves like a bicycle, ${speedsWords(f)}. ${COMPARE_IT}`,
  'moves-like-train': (f) =>
    say`Moves like a train: ${speedsWords(f)}, no bend that a road has, long stops far apart. ${COMPARE_IT}`,
  'moves-like-bus': (f) => [
    `Moves like a bus: ${fixed(f.count, 0)} stops, most of them where no other drive stopped. ${COMPARE_IT}`,
  ],
  'slower-than-others': (f) =>
    say`Evenly slower than the other drives, all along the road: ${speedsWords(f)}. ${COMPARE_IT}`,
  'faster-than-others': (f) => say`Faster than the other drives, all along the road: ${speedsWords(f)}. ${COMPARE_IT}`,
  'part-of-route': (f) => say`Covers only ${percentSize(100 * f.share)} of its road: ${missingWords(f)}.`,
  'road-not-driven': (f) => say`Not all of its road was recorded: ${missingWords(f)}.`,
  'driven-twice': (f) => say`Drives ${figure(f.length_m, 'distance', 1)} of its road twice.`,
  detour: (f) => say`Leaves its road for ${figure(f.length_m, 'distance', 1)}.`,
  'no-weather': () => [`No weather ${NO_WEATHER}`],
  'no-wind': () => [`No wind observed ${NO_WEATHER}`],
  'no-temperature': () => [`No temperature observed ${NO_WEATHER}`],
  'weather-far': (f) => [
    `For ${percentSize(100 * f.share)} of the drive the nearest report is more than 100 km or 90 minutes away: the interval is wider for it.`,
  ],
  'weather-beyond-reach': (f) => [
    `For ${percentSize(100 * f.share)} of the drive no report lies within 300 km and 3 hours: the nearest air is taken there, with the spread of a season.`,
  ],
  'pressure-assumed': (f) =>
    say`Air pressure: not reported; that of the standard atmosphere ± ${figure(f.sd_hpa, 'pressure', 0, { difference: true })} is taken.`,
  'humidity-assumed': (f) => [
    `Humidity: not reported; ${percentSize(100 * f.humidity)} ± ${percentSize(100 * f.sd)} is taken.`,
  ],
  'wind-direction-unknown': () => [
    'The wind direction is not known for all of the drive: any direction is taken as possible.',
  ],
  'logged-fuel-incomplete': (f) => [`The logged fuel ${incompleteWords(f)}`],
  'logged-energy-incomplete': (f) => [`The logged energy ${incompleteWords(f)}`],
  'logged-fuel-disagrees': (f) => [
    `Two ways to the logged fuel disagree: the second gives ${apartWords(f)} than the first. One of them has a wrong unit or scale.`,
  ],
  'logged-energy-disagrees': (f) => [
    `Two ways to the logged energy disagree: the second gives ${apartWords(f)} than the first. One of them has a wrong unit or scale.`,
  ],
  'logged-current-turned': () => [
    'The logged current is negative while energy leaves the battery: its sign is turned.',
  ],
  'logged-total-reset': (f) => [
    `A logged total falls back ${times(f.count)}, as when a trip is begun anew: what it counted then is not known, so it is not used.`,
  ],
  'odometer-differs': (f) =>
    say`The odometer gives ${figure(f.length_m, 'distance', 1)}, ${apartWords(f)} than the track${milesWords(f)}.`,
}

/** Flags of drives that are compared with no other, because another vehicle made them. */
export const OTHER_VEHICLE_CODES = [
  'stated-other-vehicle',
  'control-vehicle',
  'moves-like-walk',
  'moves-like-bicycle',
  'moves-like-train',
  'moves-like-bus',
  'slower-than-others',
  'faster-than-others',
] as const

/** Why a drive is taken to be another vehicle's; null where it is not. */
export function otherVehicleWords({ flags }: Pick<ReportRun, 'flags'>): Sentence | null {
  const flag = flags.find(({ code }) => (OTHER_VEHICLE_CODES as readonly string[]).includes(code))
  return flag ? flagWords(flag) : null
}

const incompleteWords = (f: Figures): string =>
  `covers only ${percentSize(100 * f.share)} of the drive's time and is not used as evidence: what was used in the rest is not known.`

const apartWords = (f: Figures): string =>
  `${percentSize(Math.abs(f.difference_pct))} ${f.difference_pct > 0 ? 'more' : 'less'}`

/** An odometer in miles that passes for kilometres, or the other way. */
function milesWords(f: Figures): string {
  const ratio = 1 + f.difference_pct / 100
  if (Math.abs(ratio * 1.609344 - 1) < 0.04) return ': it may be in miles (factor 1.609)'
  return Math.abs(ratio / 1.609344 - 1) < 0.04
    ? ': it may be in kilometres though miles are written (factor 0.621)'
    : ''
}

const COMPARE_IT =
  'It is taken to be another vehicle’s and compared with no other drive; write yes into the column test_vehicle of runs.csv if it is not.'

const speedsWords = (f: Figures): Sentence =>
  say`${figure(f.usual_mps, 'speed', 0)} in the middle and ${figure(f.top_mps, 'speed', 0)} at most`

/** What of the road is missing, with lengths where they are known. */
function missingWords(f: Figures): Sentence {
  const parts = [
    ...(f.late_m === undefined ? [] : [say`the recording starts ${figure(f.late_m, 'distance', 1)} late`]),
    ...(f.early_m === undefined ? [] : [say`it ends ${figure(f.early_m, 'distance', 1)} early`]),
    ...(f.hole_m === undefined ? [] : [say`${figure(f.hole_m, 'distance', 1)} between are missing`]),
  ]
  return parts.length === 0 ? ['the recording starts late, ends early or has a gap'] : listing(parts)
}

const standMinutes = (f: Figures): string => fixed((f.to_time - f.from_time) / 60, 0)

/** What a stand would cost, and how to say so: the end of a sentence, and a full stop. */
const costWords = (f: Figures, otherwise: string, cell: string): string =>
  f.share === undefined
    ? `; if ${otherwise}, ${cell}.`
    : ` (that ${otherwise} has 1 chance in 5, and would add ${fixed(100 * f.share, 1)} %); if it did, ${cell}.`

/** "10:15Z-10:30Z": clock times in UTC, as runs.csv takes them. */
const windowOf = (f: Figures): string => [f.from_time, f.to_time].map((s) => `${isoClock(s)}Z`).join('-')

function coarseWords(f: Figures): Sentence {
  if (f.scatter_m !== undefined) return say`Positions scatter by ${figure(f.scatter_m, 'height', 0)}`
  if (f.unreachable_share !== undefined) {
    return [`${percentSize(100 * f.unreachable_share)} of the points cannot have been reached`]
  }
  return say`The positions make up to ${figure(f.fastest_mps, 'speed', 0)}`
}

/** What a flag says: with its figures, or as it was told when the track was read. */
export function flagWords({ code, figures, message }: Omit<Flag, 'severity'>): Sentence {
  return figures !== null && Object.hasOwn(WORDS, code)
    ? WORDS[code](Object.fromEntries(Object.entries(figures)))
    : [name(message)]
}

/** A flag raised from figures, with its text in SI. */
export const toldFlag = (flag: Omit<Flag, 'message'>): Flag => ({
  code: flag.code,
  severity: flag.severity,
  message: plainText(flagWords({ ...flag, message: flag.code })),
  figures: flag.figures,
})
