import { finiteOrNull } from '../../base/figures.ts'
import type { Quantity } from '../../base/quantities.ts'
import type { DriveFacts } from './drive-facts.ts'
import type { Places } from './shown.ts'

/** A number that report.json holds of each drive, null there where it is not finite, and where else it is shown. */
export interface RunFigure extends Places {
  label: string
  unit: Quantity | '%' | '°' | ''
  of: (drive: DriveFacts) => number
  /** Decimals in SI. */
  decimals: number
  /** Decimals where there is little room. */
  brief?: number
  /** The sign is shown also where it is plus. */
  sign?: boolean
  /** Column of runs.csv, where it is not the key; null where it has none. */
  column?: string | null
}

/** The standard deviation of the figure whose key is this one's without _sd. */
export interface FigureDeviation {
  sdOf: (drive: DriveFacts) => number
}

type RunFigures = Record<string, RunFigure | FigureDeviation>

/** Keeps the keys, of which the contract of report.json is made. */
export const figures = <T extends RunFigures>(rows: T): { [K in keyof T]: RunFigure | FigureDeviation } => rows

/** The values of rows for report.json. */
export function valuesOf<K extends string>(
  rows: Record<K, RunFigure | FigureDeviation>,
  drive: DriveFacts,
): Record<K, number | null> {
  return mapped(rows, (row) => finiteOrNull('sdOf' in row ? row.sdOf(drive) : row.of(drive)))
}

/** Something of each row, under its key. */
export function mapped<K extends string, V>(
  rows: Record<K, RunFigure | FigureDeviation>,
  what: (row: RunFigure | FigureDeviation) => V,
): Record<K, V> {
  const entries = (Object.keys(rows) as K[]).map((key) => [key, what(rows[key])] as const)
  return Object.fromEntries(entries) as Record<K, V>
}
