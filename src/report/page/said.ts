import { inSystem, QUANTITIES, type Quantity, type System } from '../../base/quantities.ts'
import type { Report } from '../contract.ts'
import { html, type Markup } from '../markup.ts'

/** How sentences write units, the longest first: "km/h" is not so many kilometres. */
const UNITS: [word: string, quantity: Quantity][] = [
  ['kWh/100 km', 'kilowattHours'],
  ['kg/100 km', 'kilograms'],
  ['l/100 km', 'litres'],
  ['kg/m³', 'density'],
  ['kJ/km', 'demand'],
  ['km/h', 'speed'],
  ['m/s', 'wind'],
  ['hPa', 'pressure'],
  ['km', 'distance'],
  ['mm', 'rain'],
  ['kg', 'mass'],
  ['°C', 'temperature'],
  ['m²', 'area'],
  ['m', 'height'],
  ['l', 'volume'],
]
const NUMBER = '[+−]?\\d+(?:\\.\\d+)?'
/** But not ten metres: the height that winds are reported for is one of a standard, in any country. */
const WITH_UNIT = new RegExp(
  `(?<![\\p{L}\\d.,/−-]|per )(?!10 m(?![\\p{L}/²]))(± ?)?(${NUMBER})(?:( to | ± )(${NUMBER}))?( ?)(${UNITS.map(([word]) => word).join('|')})(?![\\p{L}\\d/²³])`,
  'gu',
)

/** A piece of a sentence: words, or a number that the page's script can show in other units, or its unit. */
type Piece = string | { text: string; value: number; as: string } | { unit: Quantity; text: string }

/** Writes sentences whose figures follow the choice of units; names that hold such figures stay as they are. */
export type Say = (text: string) => Markup

export function sayer({ runs, claims, parts }: Report): Say {
  const names = [
    ...runs.flatMap(({ id, setup, route, air }) => [id, setup ?? '', route ?? '', ...air.stations.map((s) => s.id)]),
    ...claims.flatMap(({ setup, baseline }) => [setup, baseline]),
    ...parts.map(({ part }) => part),
  ]
  const misleading = [...new Set(names)].filter((name) => name !== '' && name.search(WITH_UNIT) >= 0)
  return (text) =>
    html`${splitBy(misleading, text).map((part, i) => (i % 2 === 1 ? html`${part}` : html`${said(part)}`))}`
}

/** The label of a drawing, with its figures in the chosen units: two attributes, the second for the page's script. */
export function label(text: string): Markup {
  const pieces = piecesOf(text)
  if (pieces.length === 1) return html`aria-label="${text}"`
  const template = pieces.map((piece) => {
    if (typeof piece === 'string') return piece
    return 'unit' in piece ? `{${piece.unit}}` : `{${piece.value}|${piece.as}}`
  })
  return html`aria-label="${text}" data-label="${template.join('')}"`
}

/** A text without names. */
export function said(text: string): Markup[] {
  return piecesOf(text).map((piece) => {
    if (typeof piece === 'string') return html`${piece}`
    if ('unit' in piece) return html`<span data-unit="${piece.unit}">${piece.text}</span>`
    return html`<data value="${String(piece.value)}" data-as="${piece.as}">${piece.text}</data>`
  })
}

/** A text without names as plain text in a system of units. */
export const textIn = (text: string, system: System): string =>
  piecesOf(text)
    .map((piece) => {
      if (typeof piece === 'string') return piece
      if ('unit' in piece) return QUANTITIES[piece.unit][system].unit
      const [quantity, decimals, ...how] = piece.as.split(' ')
      const flags = { sign: how.includes('sign'), difference: how.includes('difference') }
      return inSystem(piece.value, quantity as Quantity, Number(decimals), system, flags)
    })
    .join('')

/** The length that a scale bar stands for. */
export const lengthInWords = (metres: number): Markup =>
  // A drawing has no elements for values: the whole text is one.
  metres >= 1000
    ? html`<tspan data-value="${metres}" data-as="distance 1" data-with-unit="">${metres / 1000} km</tspan>`
    : html`<tspan data-value="${metres}" data-as="height 0" data-with-unit="">${metres} m</tspan>`

/** The text cut at each of the names, which stand at the odd places. */
function splitBy(names: readonly string[], text: string): string[] {
  if (names.length === 0) return [text]
  const longestFirst = [...names].sort((a, b) => b.length - a.length)
  return text.split(new RegExp(`(${longestFirst.map((n) => n.replace(/[\\^$.*+?()[\]{}|]/g, '\\$&')).join('|')})`))
}

function piecesOf(text: string): Piece[] {
  const pieces: Piece[] = []
  let done = 0
  for (const match of text.matchAll(WITH_UNIT)) {
    const [whole, plusMinus = '', first, between = '', second, space, word] = match
    const quantity = UNITS.find(([unit]) => unit === word)![1]
    const decimals = Math.max(...[first, second ?? ''].map((n) => (n.split('.')[1] ?? '').length))
    const number = (digits: string, difference: boolean): Piece => {
      const { factor, offset } = QUANTITIES[quantity].si
      const figure = Number(digits.replace('−', '-').replace('+', ''))
      // A small whole number in another unit needs a digit more to be the same.
      const more = quantity !== 'temperature' && decimals === 0 && Math.abs(figure) < 10 ? 1 : 0
      const how = `${digits.startsWith('+') ? ' sign' : ''}${difference ? ' difference' : ''}`
      const value = Number(((figure - (difference ? 0 : offset)) / factor).toPrecision(7))
      return { text: digits, value, as: `${quantity} ${decimals + more}${how}` }
    }
    pieces.push(text.slice(done, match.index) + plusMinus, number(first, plusMinus !== ''))
    if (second !== undefined) pieces.push(between, number(second, between === ' ± ' || plusMinus !== ''))
    pieces.push(space, { unit: quantity, text: word })
    done = match.index + whole.length
  }
  return [...pieces, text.slice(done)]
}
