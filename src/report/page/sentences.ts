import { QUANTITIES, type Quantity } from '../../base/quantities.ts'
import { type Figure, type Piece, plainPiece, plainText, type Sentence } from '../../base/sentence.ts'
import { html, type Markup } from '../markup.ts'
import { clock, clockName } from './times.ts'
import { amount, asOf, unitOf } from './units.ts'

/** A sentence as markup: its values follow the reader's choice of units, its names stay as they are. */
export const marked = (sentence: Sentence): Markup => html`${sentence.map(markedPiece)}`

function markedPiece(piece: Piece): Markup {
  if (typeof piece === 'string') return html`${piece}`
  if ('name' in piece) return html`${piece.name}`
  if ('unit' in piece) return unitOf(piece.unit)
  if ('instant' in piece) return clock(piece.instant)
  if ('clock' in piece) return clockName()
  const value = amount(piece.value, piece.quantity, piece.decimals, piece)
  return piece.bare ? value : html`${value} ${unitOf(piece.quantity)}`
}

/** A piece of a label for the page's script: words, a value with how it is shown, or a unit. */
export type LabelPiece = string | [value: number, as: string] | { unit: Quantity }

/** The label of a drawing: as text, and where units can change it, as pieces for the page's script. */
export function label(sentence: Sentence): Markup {
  const text = plainText(sentence)
  const pieces = sentence.flatMap(labelPieces)
  if (pieces.every((piece) => typeof piece === 'string')) return html`aria-label="${text}"`
  return html`aria-label="${text}" data-label="${JSON.stringify(pieces)}"`
}

function labelPieces(piece: Piece): LabelPiece[] {
  if (typeof piece === 'string') return [piece]
  if ('name' in piece || 'instant' in piece || 'clock' in piece) return [plainPiece(piece)]
  if ('unit' in piece) return [{ unit: piece.unit }]
  const value = labelValue(piece)
  return piece.bare ? [value] : [value, ' ', { unit: piece.quantity }]
}

function labelValue({ value, ...how }: Figure): LabelPiece {
  if (value === null || !Number.isFinite(value)) return '–'
  return [Number(value.toPrecision(7)), asOf(how)]
}

/** The length that a scale bar stands for. */
export function lengthInDrawing(metres: number): Markup {
  const [quantity, decimals, shown] =
    metres >= 1000 ? (['distance', 1, metres / 1000] as const) : (['height', 0, metres] as const)
  // A drawing has no elements for values: the whole text is one.
  return html`<tspan data-value="${metres}" data-as="${asOf({ quantity, decimals })}" data-with-unit="">${shown} ${QUANTITIES[quantity].si.unit}</tspan>`
}
