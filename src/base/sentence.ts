import { fixed, signed } from './figures.ts'
import { cleaned } from './names.ts'
import { inSystem, QUANTITIES, type Quantity, type System } from './quantities.ts'
import { dateAndTime } from './time.ts'

/** A value that a sentence tells; a reader may choose in which units. */
export interface Figure {
  /** In the unit of its quantity (see QUANTITIES); null where it does not exist, which is shown as a dash. */
  value: number | null
  quantity: Quantity
  /** Decimals in SI; other units have as many digits. */
  decimals: number
  /** The sign is shown also where it is plus. */
  sign: boolean
  /** A difference or a standard deviation: it has no zero point. */
  difference: boolean
  /** The value alone: its unit follows later, as in "3 to 5 m/s". */
  bare: boolean
}

/** What somebody else chose: a setup, a drive, a file, a note. It is shown as it is, and never read as words or markup. */
export interface Name {
  name: string
}

/** The unit of a quantity by itself, after a bare figure. */
export interface Unit {
  unit: Quantity
}

/** A moment on a clock, to the minute; a reader may choose whose. */
export interface Moment {
  /** ISO 8601 in UTC. */
  instant: string
}

/** The name of the clock that moments are told on. */
export interface Clock {
  clock: 'name'
}

export type Piece = string | Figure | Name | Unit | Moment | Clock

/** A text for a reader, made of words, values and names; told by one renderer for each output. */
export type Sentence = readonly Piece[]

/** What a template takes: numbers are counts and years, written as they are; null stands for nothing. */
type Part = Piece | number | Sentence | null

/**
 * A sentence from a template: say`Wind ${figure(3.2, 'wind', 1)} at ${name(station)}`. Texts put in are words of ours;
 * whatever a user wrote goes in as a `name`.
 */
export function say(strings: TemplateStringsArray, ...parts: Part[]): Sentence {
  return joined(strings.flatMap((text, i): Part[] => (i === 0 ? [text] : [parts[i - 1], text])))
}

/** Words and sentences one after another, as one sentence. */
export function joined(parts: readonly Part[]): Sentence {
  const pieces: Piece[] = []
  const add = (piece: Piece): void => {
    const last = pieces.length - 1
    if (typeof piece === 'string' && typeof pieces[last] === 'string') pieces[last] += piece
    else if (piece !== '') pieces.push(piece)
  }
  for (const part of parts) {
    if (part === null) continue
    if (typeof part === 'number') add(String(part))
    else if (typeof part === 'object' && Symbol.iterator in part) for (const piece of part) add(piece)
    else add(part)
  }
  return pieces
}

/** "a", "a and b", "a, b and c". */
export function listing(items: readonly (Sentence | Piece)[], last = 'and'): Sentence {
  return joined(
    items.flatMap((item, i): Part[] => {
      if (i === 0) return [item as Part]
      return [i === items.length - 1 ? ` ${last} ` : ', ', item as Part]
    }),
  )
}

export const name = (text: string): Name => ({ name: text })

interface How {
  sign?: boolean
  difference?: boolean
}

/** A value with its unit. */
export const figure = (
  value: number | null,
  quantity: Quantity,
  decimals: number,
  { sign = false, difference = false }: How = {},
): Figure => ({ value, quantity, decimals, sign, difference, bare: false })

export const CLOCK: Clock = { clock: 'name' }

/** A moment without the name of its clock. */
export const moment = (instant: string): Moment => ({ instant })

/** "3.1 to 4.2 m/s": two values with one unit. */
export const span = (low: number, high: number, quantity: Quantity, decimals: number, how: How = {}): Sentence =>
  joined([
    { ...figure(low, quantity, decimals, how), bare: true },
    ' to ',
    { ...figure(high, quantity, decimals, how), bare: true },
    ' ',
    { unit: quantity },
  ])

/** "+1.2 %": a share or a change; percent are the same for every reader. */
export const percent = (value: number, decimals = 1): string => `${signed(value, decimals)} %`

/** "−0.2 to +1.4 %". */
export const percentSpan = (low: number, high: number, decimals = 1): string =>
  `${signed(low, decimals)} to ${signed(high, decimals)} %`

/** "12 %": a size without a sign of its own. */
export const percentSize = (value: number, decimals = 0): string => `${fixed(value, decimals)} %`

/** A sentence as plain text in a system of units; names are made fit to be shown. */
export const plainText = (sentence: Sentence, system: System = 'si'): string =>
  sentence.map((piece) => plainPiece(piece, system)).join('')

/** A piece as plain text. */
export function plainPiece(piece: Piece, system: System = 'si'): string {
  if (typeof piece === 'string') return piece
  if ('name' in piece) return cleaned(piece.name)
  if ('unit' in piece) return QUANTITIES[piece.unit][system].unit
  if ('instant' in piece) return dateAndTime(piece.instant)
  if ('clock' in piece) return 'UTC'
  const text = inSystem(piece.value, piece.quantity, piece.decimals, system, piece)
  return piece.bare ? text : `${text} ${QUANTITIES[piece.quantity][system].unit}`
}
