import { type Delimiter, toNumber } from './table.ts'
import { unitOf } from './unit-words.ts'

const WITH_UNIT = /^([+\u2212-]?[\d.,]+)\s*([^\d\s.,].*)$/

/**
 * The number in a cell of a column with a unit; the unit itself may stand behind it (`7.34 l`, `65%`). Percent may stand
 * in a column of shares of 1.
 * @param unit of the column, as `quantityOf` gives it
 * @returns as `toNumber`; `null` also for a number with another unit
 */
export function numberInCell(cell: string, delimiter: Delimiter, unit: string): number | null {
  const plain = toNumber(cell, delimiter)
  if (plain !== null) return plain
  const parts = WITH_UNIT.exec(cell.trim())
  if (parts === null) return null
  const [written, own] = [toNumber(parts[1], delimiter), unitOf(parts[2])]
  if (own === unit) return written
  return unit === '1' && own === 'pct' && written !== null ? written / 100 : null
}
