import { rootSumOfSquares } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import { trueMotion } from '../compare/recorded-motion.ts'
import { demandInReferenceAir } from '../demand/kinetic-part.ts'
import type { SharedDraws } from '../demand/shared-draws.ts'
import { stepsOf } from '../demand/steps.ts'
import type { Report } from '../report/contract.ts'
import { cutDrive } from '../track/cut.ts'
import type { Drive } from '../track/types.ts'
import { notYetDrawn, recordedPart, recordingSd } from './drive/run-record.ts'
import type { DriveSource } from './load/drive-source.ts'
import type { RecordersOfRun } from './load/runs.ts'

/** Left out at both ends: one recorder was switched on later, and the ends of a track are its worst metres. */
const TRIMMED_M = 40
/** 95th percentile of the standard normal distribution. */
const Z_95 = 1.6449

type Recorders = Report['recorders'][number]

/** What the recorders of each drive differ by, every pair of them that has a stretch in common. */
export function recorderDifferences(
  recorders: readonly RecordersOfRun[],
  drives: DriveSource,
  shared: SharedDraws,
): Recorders[] {
  return recorders.flatMap(({ run, members }) => {
    const loaded = members.map((member) => ({ track: member.track, drive: drives(member) }))
    return loaded.flatMap((a, i) =>
      loaded.slice(i + 1).flatMap((b): Recorders[] => {
        const difference_pct = differenceOf(a.drive, b.drive, shared)
        return difference_pct ? [{ run, a: a.track, b: b.track, difference_pct }] : []
      }),
    )
  })
}

/** Says where recorders of one drive differ by more than their noise explains. */
export const recorderProblems = (recorders: readonly Recorders[]): Problem[] =>
  recorders
    .filter(({ difference_pct: { low90, high90 } }) => low90 > 0 || high90 < 0)
    .map(({ a, b, difference_pct: { mean, low90, high90 } }) => ({
      code: 'recorders-differ',
      severity: 'warning',
      file: a,
      message: `${b} recorded the same drive, and the demand differs by ${mean.toFixed(1)} % (90 % interval ${low90.toFixed(1)} to ${high90.toFixed(1)} %): more than the noise of the two recordings explains`,
      hint: 'look at both tracks on the map; a device in a pocket or with few satellites is best left out',
    }))

/**
 * The demand of b over that of a, less 1, percent, of the stretch that both recorded: the unchanged vehicle in still
 * reference air on a level road, so that nothing but the recorded motion differs. null where they have too little in common.
 */
export function differenceOf(a: Drive, b: Drive, shared: SharedDraws): Recorders['difference_pct'] | null {
  const stretch = commonStretch(a, b)
  if (!stretch) return null
  const sides = [a, b].map((drive) => {
    const part = cutDrive(drive, stretch)
    const { logDemand, kinetic } = levelDemand(part, shared)
    return { logDemand, kinetic: recordedPart(kinetic, recordingSd(part)) }
  })
  const { log, sd } = trueMotion(sides.map(({ kinetic }) => kinetic))
  const [x, y] = sides.map(({ logDemand, kinetic }, i) => logDemand - kinetic.log + log[i])
  const doubt = rootSumOfSquares(sides.flatMap(({ kinetic }, i) => [kinetic.drawnSd, notYetDrawn(sd[i], kinetic)]))
  const percent = (z: number): number => 100 * Math.expm1(y - x + z * doubt)
  return Number.isFinite(x + y + doubt) ? { mean: percent(0), low90: percent(-Z_95), high90: percent(Z_95) } : null
}

/** When both recorded, without the first and the last metres of either; null where nothing is left. */
function commonStretch(a: Drive, b: Drive): { fromTime: number; toTime: number } | null {
  const ends = [a, b].map(({ motion }) => ({
    from: motion.startTime,
    to: motion.startTime + (motion.count - 1) * motion.stepS,
  }))
  const both = { fromTime: Math.max(ends[0].from, ends[1].from), toTime: Math.min(ends[0].to, ends[1].to) }
  if (!(both.toTime > both.fromTime)) return null
  const inner = [a, b].map((drive) => {
    const { motion } = cutDrive(drive, both)
    const lastM = motion.distanceM[motion.count - 1]
    const first = motion.distanceM.findIndex((m) => m >= TRIMMED_M)
    const last = motion.distanceM.findLastIndex((m) => m <= lastM - TRIMMED_M)
    return { fromTime: motion.startTime + first * motion.stepS, toTime: motion.startTime + last * motion.stepS }
  })
  const fromTime = Math.max(...inner.map((end) => end.fromTime))
  const toTime = Math.min(...inner.map((end) => end.toTime))
  return toTime > fromTime ? { fromTime, toTime } : null
}

function levelDemand(drive: Drive, shared: SharedDraws): ReturnType<typeof demandInReferenceAir> {
  const steps = stepsOf(drive, null)
  steps.climbM.fill(0)
  return demandInReferenceAir(steps, { payloadKg: 0, accessoriesW: 0 }, shared)
}
