import { type Delimiter, toNumber } from './table.ts'
import { unitOf } from './unit-words.ts'

const WITH_UNIT = /^([+\u2212-]?[\d.,]+)\s*([^\d\s.,].*)$/

/**
 * The number in a cell of a column with a unit; the unit itself may stand behind it (`7.34 l`, `65%`).
 * @param unit of the column, as `quantityOf` gives it
 * @returns as `toNumber`; `null` also for a number with another unit
 */
export function numberInCell(cell: string, delimiter: Delimiter, unit: string): number | null {
  const plain = toNumber(cell, delimiter)
  if (plain !== null) return plain
  const parts = WITH_UNIT.exec(cell.trim())
  return parts && unitOf(parts[2]) === unit ? toNumber(parts[1], delimiter) : null
}
