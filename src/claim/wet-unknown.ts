import { WET_EXTRA } from '../demand/wet-road.ts'
import type { RunConsumption } from './fuel/consumption.ts'
import type { Interval95 } from './types.ts'

/**
 * Whether wet roads that nobody reported would explain a change: on the side that used more, in spells of weather in which
 * the other was not driven.
 * @param change of the consumption, whose interval excludes zero
 */
export function wetWouldExplain(
  change: Interval95,
  setupRuns: RunConsumption[],
  baselineRuns: RunConsumption[],
): boolean {
  const isSaving = change.estimate < 0
  const [more, less] = isSaving ? [baselineRuns, setupRuns] : [setupRuns, baselineRuns]
  const shared = new Set(less.map(({ run }) => run.doubtfulSpell))
  const alone = more.filter(({ run: { doubtfulSpell } }) => doubtfulSpell != null && !shared.has(doubtfulSpell))
  const most = WET_EXTRA.value + WET_EXTRA.sd
  const couldBePct = 100 * Math.expm1((most * alone.length) / more.length)
  return alone.length > 0 && (isSaving ? -change.high95 : change.low95) < couldBePct
}
