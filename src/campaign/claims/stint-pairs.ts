import { sum } from '../../base/statistics.ts'
import { type ComparableRun, comparePair } from '../../compare/pair.ts'
import type { OutsideModel } from '../../compare/remarks.ts'
import type { Report } from '../../report/contract.ts'
import type { KeptRecord } from '../drive/run-record.ts'
import { isLeftOut } from '../load/recordings/left-out.ts'
import type { RunsOfRow } from '../load/runs.ts'

/** Drives of one closed road, one behind the other: a stint of laps. */
export interface LapStint {
  id: string
  laps: KeptRecord[]
}

/** A lap's name: its recording and when its stint began, then its number. */
const LAP = /^(.*@[\dT]+)\.\d+$/

/**
 * The stints of two laps and more: those that rows of runs.csv name, then those that the names of the laps tell. Laps that
 * are compared with no drive, or did not drive the whole road, are in none.
 */
export function lapStints(records: readonly KeptRecord[], stated: readonly RunsOfRow[]): LapStint[] {
  const free = new Map(
    records
      .filter(({ run, comparable }) => LAP.test(run.track) && !isLeftOut(run) && comparable.relation === 'same')
      .map((record) => [record.run.id, record]),
  )
  const take = (ids: readonly string[]): LapStint[] => {
    const laps = ids.flatMap((id) => free.get(id) ?? [])
    if (laps.length < 2 || laps.some(({ route }) => route !== laps[0].route)) return []
    for (const { run } of laps) free.delete(run.id)
    return [{ id: `${laps[0].run.id} to ${laps[laps.length - 1].run.id}`, laps }]
  }
  const byRow = stated.flatMap(({ runs }) => take(runs))
  const named = new Map<string, string[]>()
  for (const { run } of free.values()) {
    const stint = run.track.replace(LAP, '$1')
    named.set(stint, [...(named.get(stint) ?? []), run.id])
  }
  const byName = [...named.values()].flatMap(take)
  return [...byRow, ...byName].sort((a, b) => a.laps[0].run.summary.startTime - b.laps[0].run.summary.startTime)
}

/** The stints held against each other where they are of one road. */
export function stintPairs(stints: readonly LapStint[], marginPct: number): Report['stint_pairs'] {
  const whole = stints.map(({ id, laps }) => ({ id, comparable: asOneDrive(laps) }))
  return whole.flatMap((a, i) =>
    whole.slice(i + 1).flatMap((b) => {
      if (a.comparable.route !== b.comparable.route) return []
      const { difference, verdict, cause } = comparePair(a.comparable, b.comparable, marginPct, () => false)
      const isModelled = cause !== 'outside-model'
      return [
        {
          a: a.id,
          b: b.id,
          difference_pct: difference && {
            mean: difference.meanPct,
            low90: difference.low90Pct,
            high90: difference.high90Pct,
          },
          score: isModelled ? (difference?.score ?? null) : null,
          tightest_margin_pct: isModelled ? (difference?.tightestMarginPct ?? null) : null,
          verdict,
          cause,
        },
      ]
    }),
  )
}

/** Of more stints the first ones alone are held against each other: pairs grow with the square. */
const MOST_STINTS_FOR_PAIRS = 60
export const stintsInPairs = (stints: readonly LapStint[]): readonly LapStint[] =>
  stints.slice(0, MOST_STINTS_FOR_PAIRS)

/** Laps as one long drive: its demand is that of all of them over their length, draw by draw. */
export function asOneDrive(laps: readonly KeptRecord[]): ComparableRun {
  const lengths = Float64Array.from(laps, ({ run }) => run.summary.distanceM)
  const totalM = sum(lengths)
  const draws = laps.map(({ comparable }) => comparable.draws)
  const known = draws.every((of) => of !== null)
  const [first] = laps
  return {
    ...first.comparable,
    draws: known
      ? (draws as Float64Array[])[0].map(
          (_, k) => (draws as Float64Array[]).reduce((all, of, i) => all + of[k] * lengths[i], 0) / totalM,
        )
      : null,
    missing: [...new Set(laps.flatMap(({ comparable }) => comparable.missing))],
    outside: outsideOf(laps),
  }
}

function outsideOf(laps: readonly KeptRecord[]): OutsideModel {
  const all = laps.map(({ comparable }) => comparable.outside)
  const [first] = all
  const isWet = all.map(({ wet }) => wet)
  const standingS = sum(Float64Array.from(laps, ({ run }) => run.summary.standingTimeS))
  return {
    ...first,
    wet: isWet.every((wet) => wet === first.wet) ? first.wet : null,
    phase: all.every(({ phase }) => phase === first.phase) ? first.phase : null,
    standingShare: standingS / sum(Float64Array.from(laps, ({ run }) => run.summary.durationS)),
    endTime: all[all.length - 1].endTime,
  }
}
