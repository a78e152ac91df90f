import { fixed } from '../../base/figures.ts'
import { figure, joined, name, type Piece, type Sentence } from '../../base/sentence.ts'
import type { ReportRun } from '../contract.ts'

/** Items of a cell of a CSV table; null where there are none. */
export const list = (items: readonly string[]): string | null => (items.length > 0 ? items.join('; ') : null)
/** What others named, one after the other; null where there is nothing. */
export const names = (items: readonly string[]): Sentence | null =>
  items.length > 0 ? items.flatMap((item, i) => (i === 0 ? [name(item)] : [', ', name(item)])) : null
/** What somebody else named; null where nobody did. */
export const named = (text: string | null): Sentence | null => (text === null ? null : [name(text)])
/** A text of ours as a sentence. */
export const words = (text: string | null): Sentence | null => (text === null ? null : [text])

/** What fuel is told in over 100 km, by its unit. */
export const FUEL_QUANTITY = { l: 'litres', kg: 'kilograms', kWh: 'kilowattHours' } as const
export const RELATION_WORDS = { part: 'in part', detour: 'with a detour', same: 'fully' } as const

/** Fuel or energy per 100 km with its unit, which is the drive's own. */
export function per100Km({ consumption }: ReportRun, value: number | null): Sentence | null {
  if (consumption === null || value === null) return null
  const quantity = FUEL_QUANTITY[consumption.unit]
  return [{ value, quantity, decimals: 2, sign: false, difference: false, bare: true }, ' ', { unit: quantity }]
}

/** So many stations are named where there is little room. */
const MOST_STATIONS = 3

/** The stations, the nearest first where not all are told, with how far they are and how far off their reports lie. */
export function stationsOf({ air }: ReportRun, length: 'full' | 'brief'): Sentence | null {
  if (air.stations.length === 0) return null
  const brief = length === 'brief'
  const shown = brief
    ? air.stations.toSorted((a, b) => (a.distance_km ?? 0) - (b.distance_km ?? 0)).slice(0, MOST_STATIONS)
    : air.stations
  const told = shown.map(({ id, distance_km: km, nearest_observation_min: minutes }): Sentence => {
    const far: (Piece | Sentence)[] =
      km === null ? [] : km === 0 && brief ? ['on the road'] : [figure(1000 * km, 'distance', 0)]
    const off = minutes === null || !brief ? [] : [`reports up to ${fixed(minutes, 0)} min off`]
    const more = [...far, ...off].flatMap((part, i) => (i === 0 ? [part] : [', ', part]))
    return more.length === 0 ? [name(id)] : joined([name(id), ' (', ...more, ')'])
  })
  const left = air.stations.length - shown.length
  return joined([...told.flatMap((part, i) => (i === 0 ? [part] : [', ', part])), left > 0 ? ` and ${left} more` : ''])
}

/** The limits of published procedures that a drive did not keep, for a cell; null where there are none. */
export function limitsNotMet({ limits }: ReportRun): string | null {
  return list(limits.filter(({ ok }) => ok === false).map(({ procedure, quantity }) => `${procedure}: ${quantity}`))
}

/** What the row of a drive holds in columns that are not known, for a cell; null where there are none. */
export function otherColumns({ extra }: Pick<ReportRun, 'extra'>): string | null {
  return list(extra.map(({ name, text }) => `${name}: ${text}`))
}
