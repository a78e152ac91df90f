import { drawingOf } from '../../base/draws.ts'
import { AS_GOOD_AS_DRY, chanceOfWet, wetDraws, wetSpell } from '../../demand/wet-road.ts'
import type { KeptRecord } from '../drive/run-record.ts'

/** The spell of weather of a drive whose road may have been wet without anybody saying so; null for all others. */
export function doubtfulSpell({ comparable, start, means }: KeptRecord): string | null {
  const { wet, startTime } = comparable.outside
  if (wet !== null || chanceOfWet(means.relativeHumidity) < AS_GOOD_AS_DRY) return null
  return wetSpell(start, startTime)
}

/**
 * The records as claims take them: where nobody says whether the road was wet, the demand is a mixture of both. Pairs only
 * remark on it.
 */
export function withWetDoubt<T extends KeptRecord>(
  records: readonly T[],
  settings: { draws: number; seed: number },
): T[] {
  return records.map((record) => {
    const { demand } = record
    const spell = doubtfulSpell(record)
    if (demand === null || spell === null) return record
    const names = new Set(demand.drawnFrom)
    const { start, means, comparable } = record
    const chance = chanceOfWet(means.relativeHumidity)
    const extra = wetDraws(chance, start, comparable.outside.startTime, drawingOf(settings, names))
    const drawsJPerM = demand.drawsJPerM.map((joules, k) => joules * Math.exp(extra[k]))
    return { ...record, demand: { ...demand, drawsJPerM, drawnFrom: [...names] } }
  })
}
