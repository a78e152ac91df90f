import { fixed, signed } from '../../base/figures.ts'
import { QUANTITIES, type Quantity } from '../../base/quantities.ts'
import { CLOCK, figure, joined, type Piece, type Sentence, say } from '../../base/sentence.ts'
import type { ReportRun } from '../contract.ts'
import type { Cell } from '../csv.ts'
import type { FigureDeviation, RunFigure } from './run-figure.ts'
import type { Places, Shown } from './shown.ts'

/** How long a figure is told: in full on the page, in brief where there is little room. */
export type Length = 'full' | 'brief'

/** A quantity of a drive: what it is, and where it is shown. One row of RUN_QUANTITIES. */
export interface RunQuantity extends Shown {
  /** Place in a run of report.json, with dots: "air.temperature_c". */
  path: string
  /** Column of runs.csv; null where it has none. */
  column: string | null
  label: string
  /** A quantity whose unit the reader chooses, or the sign of a unit that is the same for all, or ''. */
  unit: Quantity | string
  align: 'left' | 'right'
  /** What runs.csv holds: SI, with the unit in the column's name. */
  cell: (run: ReportRun) => Cell
  /** Its value for a reader, without its unit; null where it is not known. */
  value: (run: ReportRun, length: Length) => Sentence | null
  /** Its standard deviation for a reader, likewise. */
  deviation: (run: ReportRun, length: Length) => Sentence | null
  /** Standard deviation as runs.csv has it, in a column of its own with _sd; null where it has none. */
  sd: ((run: ReportRun) => number | null) | null
}

const NOWHERE = {
  sd: null,
  deviation: () => null,
  group: null,
  markdown: null,
  terminal: null,
  inspect: null,
  phrase: { before: '', behind: '' },
  card: null,
}

/** The name of a quantity's column: the last part of its path. */
const lastOf = (path: string): string => path.slice(path.lastIndexOf('.') + 1)

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)

/** A quantity's names, shown nowhere yet. */
const named = (path: string, label: string, unit: string, column: string | null | undefined) => ({
  ...NOWHERE,
  path,
  column: column === undefined ? lastOf(path) : column,
  label,
  short: lowerFirst(label),
  unit,
})

interface Numeric extends Places {
  /** Column of runs.csv, where it is not the last part of the path. */
  column?: string | null
  /** Decimals in SI. */
  decimals: number
  /** Decimals where there is little room. */
  brief?: number
  /** The sign is shown also where it is plus. */
  sign?: boolean
  sd?: (run: ReportRun) => number | null
  /** What runs.csv holds, where it is not the value. */
  cell?: (run: ReportRun) => Cell
}

/** A quantity that is a number. */
export function numeric(
  path: string,
  label: string,
  unit: Quantity | '%' | '°' | '',
  get: (run: ReportRun) => number | null,
  { decimals, brief = decimals, sign = false, sd, column, cell = get, ...places }: Numeric,
): RunQuantity {
  const bare = (value: number | null, length: Length, difference: boolean): Sentence | null => {
    if (value === null) return null
    const digits = length === 'full' ? decimals : brief
    const how = { sign: sign && !difference, difference }
    if (unit in QUANTITIES) return [{ ...figure(value, unit as Quantity, digits, how), bare: true }]
    return [how.sign ? signed(value, digits) : fixed(value, digits)]
  }
  return {
    ...named(path, label, unit, column),
    align: 'right',
    cell,
    ...places,
    value: (run, length) => bare(get(run), length, false),
    deviation: (run, length) => bare(sd?.(run) ?? null, length, true),
    sd: sd ?? null,
  }
}

/**
 * The rows of figures as quantities.
 * @param prefix of their paths
 * @param valuesOf the object of a run in report.json that holds them
 */
export function quantitiesOf<K extends string>(
  rows: Record<K, RunFigure | FigureDeviation>,
  prefix: string,
  valuesOf: (run: ReportRun) => Record<NoInfer<K>, number | null>,
): RunQuantity[] {
  const keys = Object.keys(rows) as K[]
  return keys.flatMap((key) => {
    const row: RunFigure | FigureDeviation = rows[key]
    if ('sdOf' in row) return []
    const { label, unit, of, ...shown } = row
    const sdKey = keys.find((other) => other === `${key}_sd`)
    const sd = sdKey && ((run: ReportRun) => valuesOf(run)[sdKey])
    return [numeric(prefix + key, label, unit, (run) => valuesOf(run)[key], { ...shown, ...(sd && { sd }) })]
  })
}

interface Worded extends Places {
  column?: string | null
  /** What runs.csv holds, where it is not the text. */
  cell?: (run: ReportRun) => Cell
  unit?: string
  align?: 'left' | 'right'
}

/** A quantity that is told in words: a name, a time, a list. */
export function worded(
  path: string,
  label: string,
  value: (run: ReportRun, length: Length) => Sentence | null,
  { column, cell, unit = '', align = 'left', ...places }: Worded,
): RunQuantity {
  return {
    ...named(path, label, unit, column),
    align,
    cell: cell ?? (() => null),
    value,
    ...places,
  }
}

/** The unit of a quantity as a piece of a sentence; '' where it has none. */
export const unitPiece = (unit: string): Piece => {
  if (unit in QUANTITIES) return { unit: unit as Quantity }
  return unit === 'UTC' ? CLOCK : unit
}

/** A quantity of a drive for a reader, with ± its standard deviation, without its unit; null where it is not known. */
export function toldBare(quantity: RunQuantity, run: ReportRun, length: Length): Sentence | null {
  const value = quantity.value(run, length)
  const deviation = quantity.deviation(run, length)
  return value === null || deviation === null ? value : say`${value} ± ${deviation}`
}

/** The same with its unit. */
export function told(quantity: RunQuantity, run: ReportRun, length: Length): Sentence | null {
  const value = toldBare(quantity, run, length)
  if (value === null || quantity.align === 'left') return value
  return joined([value, quantity.unit === '' || quantity.unit === '°' ? '' : ' ', unitPiece(quantity.unit)])
}

/** The same as a phrase of a text: "gusts 8.2 m/s". */
export function phraseOf(quantity: RunQuantity, run: ReportRun): Sentence | null {
  const value = told(quantity, run, 'brief')
  return value === null ? null : joined([quantity.phrase.before, value, quantity.phrase.behind])
}

/** A label with its unit: "air density, kg/m³". */
export const withUnit = (label: string, unit: string): Sentence =>
  unit === '' ? [label] : joined([label, ', ', unitPiece(unit)])
