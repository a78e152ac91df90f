import type { Problem } from '../../../base/problem.ts'
import { lineWords, placeOfRow, type RunRow } from '../../../read/runs/rows.ts'

/** So many rows are told in figures. */
const MOST_TAKEN = 3

/** A row with the distance over which its consumption was measured. */
export interface DrivenRow {
  row: RunRow
  /** Of the drives of the row, by their tracks, m. */
  trackM: number
}

/**
 * Rows that give a consumption and no amount get the amount: consumption times the odometer's distance, or else the
 * track's. What was taken is a note.
 * @returns by the rows that were given, those that take their place
 */
export function withAmounts(driven: readonly DrivenRow[]): { rows: Map<RunRow, RunRow>; problems: Problem[] } {
  const rows = new Map<RunRow, RunRow>()
  const problems: Problem[] = []
  const taken: Taken[] = []
  for (const { row, trackM } of driven) {
    const { consumptionLitresPer100Km: consumption, odometerM } = row
    if (Number.isNaN(consumption)) continue
    if (Number.isFinite(row.fuelLitres) || Number.isFinite(row.fuelKg) || Number.isFinite(row.energyKwh)) {
      const message = 'the row has fuel and a consumption; the consumption is not used'
      problems.push({ code: 'consumption-not-used', severity: 'note', message, ...placeOfRow(row) })
      continue
    }
    const hasOdometer = Number.isFinite(odometerM)
    const distanceM = hasOdometer ? odometerM : trackM
    const fuelLitres = (consumption * distanceM) / 100_000
    const by = `${(distanceM / 1000).toFixed(1)} km by ${hasOdometer ? 'the odometer' : 'the track'}`
    taken.push({ row, words: `${consumption.toFixed(2)} l/100 km over ${by} is taken for ${fuelLitres.toFixed(2)} l` })
    rows.set(row, { ...row, fuelLitres })
  }
  return { rows, problems: [...problems, ...takenNote(taken)] }
}

interface Taken {
  row: RunRow
  words: string
}

/** Says once of all rows with a consumption what was made of it; the first few in figures. */
function takenNote(taken: readonly Taken[]): Problem[] {
  if (taken.length === 0) return []
  const [{ row, words }] = taken
  const shown = taken.slice(0, MOST_TAKEN).map((one) => `${lineWords(one.row, row)}: ${one.words}`)
  const more = taken.length - shown.length
  const message =
    taken.length === 1
      ? `the consumption of ${words} of fuel measured`
      : `the consumption in ${taken.length} rows is taken for fuel measured: ${shown.join('; ')}${more > 0 ? `; and ${more} more` : ''}`
  const hint = 'If the vehicle computed it, name the column trip_computer_… with its unit.'
  return [{ code: 'consumption-as-fuel', severity: 'note', message, ...placeOfRow(row), hint }]
}
