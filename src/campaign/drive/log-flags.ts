import { hypotenuse } from '../../base/arithmetic.ts'
import type { ReportRun } from '../../report/contract.ts'
import type { LoggedOfDrive } from '../../track/logged.ts'
import { LEAST_COVERED, type LoggedRun } from './logged-run.ts'

type Found = Omit<ReportRun['flags'][number], 'message'>

/** Two ways to one fuel are told to differ beyond three standard deviations and this share of it. Common practice, no source. */
const WAYS_DIFFER = 0.05
/**
 * Odometer and track are told to differ beyond this share: worn tyres and a sparse track make some 3 %. Common practice, no
 * source.
 */
const ODOMETER_DIFFERS = 0.04
const SHORTEST_M = 2000

/** What is weak or contradictory in what a drive's logger wrote. */
export function logFlags(logged: LoggedOfDrive | null, told: LoggedRun | null, distanceM: number): Found[] {
  if (!logged || !told) return []
  const flags: Found[] = []
  const add = (code: string, severity: Found['severity'], figures: Record<string, number>): void => {
    flags.push({ code, severity, figures })
  }
  for (const [what, totals] of [
    ['fuel', told.fuel],
    ['energy', told.energy],
  ] as const) {
    const gappy = totals.find(({ covered_share }) => covered_share < LEAST_COVERED)
    if (gappy) add(`logged-${what}-incomplete`, 'warning', { share: gappy.covered_share })
    const [first, ...others] = totals.filter(({ covered_share }) => covered_share >= LEAST_COVERED)
    for (const other of others) {
      const differsBy = other.amount / first.amount - 1
      const sd = hypotenuse(first.sd / first.amount, other.sd / other.amount)
      if (Math.abs(differsBy) <= Math.max(WAYS_DIFFER, 3 * sd)) continue
      add(`logged-${what}-disagrees`, 'warning', { difference_pct: 100 * differsBy })
    }
  }
  if (logged.totals.some(({ turned }) => turned)) add('logged-current-turned', 'note', {})
  const resets = logged.totals.reduce((sum, total) => sum + total.resets, 0)
  if (resets > 0) add('logged-total-reset', 'warning', { count: resets })
  const differsBy = logged.odometerM / distanceM - 1
  const allowed = ODOMETER_DIFFERS + (2 * logged.odometerStepM) / distanceM
  if (distanceM >= SHORTEST_M && Math.abs(differsBy) > allowed) {
    add('odometer-differs', 'warning', { difference_pct: 100 * differsBy, length_m: logged.odometerM })
  }
  return flags
}
