import { present } from '../../base/present.ts'
import { html, type Markup } from '../markup.ts'
import type { Typeface } from './typeface.ts'
import { subsetTypeface } from './typeface-subset.ts'

export type Weight = 500 | 600
export type Typefaces = Record<Weight, Typeface>

/** What is drawn, as data: texts on their base line and paths, lengths in units of the card. */
export type Mark = TextMark | PathMark

export interface TextMark {
  kind: 'text'
  x: number
  y: number
  text: string
  size: number
  weight: Weight
  anchor: 'start' | 'middle' | 'end'
  color: string
}

export interface PathMark {
  kind: 'path'
  d: string
  fill: string | null
  stroke: string | null
  width: number
  /** Lengths of dash and gap; empty for a full line. */
  dash: readonly number[]
}

export interface Card {
  width: number
  height: number
  /** Height of the strip at the top that nothing is drawn in. */
  clearAbove: number
  /** Alternative text: a name, and what the card says in words. */
  title: string
  description: string
  marks: readonly Mark[]
}

/** As the fonts' own name tables have it. */
export const FONT_FAMILY = 'Barlow Semi Condensed'
const FALLBACKS = `'${FONT_FAMILY}', 'Arial Narrow', sans-serif`

/** A card as an SVG that stands alone: its texts stay texts, and the letters that they need are embedded. */
export function standaloneSvg(card: Card, typefaces: Typefaces): string {
  const faces = ([500, 600] as const).flatMap((weight) => {
    const text = textsOf(card, weight)
    if (text === '') return []
    const font = base64(subsetTypeface(typefaces[weight], text))
    return html`@font-face{font-family:'${{ markup: FONT_FAMILY }}';font-weight:${weight};src:url(data:font/ttf;base64,${{ markup: font }})}`
  })
  return svgOf(card, 0, html`<style>${faces}</style>\n`, (text) => text)
}

/**
 * The same, without the clear strip at its top, for a renderer that is given the fonts as files; signs that they lack
 * become question marks.
 */
export function svgForFontFiles(card: Card, typefaces: Typefaces): string {
  return svgOf(card, card.clearAbove, null, (text, weight) => withKnownSigns(text, typefaces[weight]))
}

/** The same as a drawing within a page that has the typeface. */
export function svgInPage(
  { width, height, clearAbove, title, description, marks }: Card,
  typefaces: Typefaces,
): Markup {
  const marked = drawn(marks, (text, weight) => withKnownSigns(text, typefaces[weight]))
  return html`<svg class="card-drawing" role="img" aria-label="${title}. ${description}" viewBox="0 ${clearAbove} ${width} ${height - clearAbove}">
${marked}</svg>
`
}

/** A text with question marks for the signs that a font lacks. */
export const withKnownSigns = (text: string, { glyphs }: Typeface): string =>
  Array.from(text, (sign) => (glyphs.has(present(sign.codePointAt(0))) ? sign : '?')).join('')

const textsOf = ({ marks }: Card, weight: Weight): string =>
  marks.flatMap((mark) => (mark.kind === 'text' && mark.weight === weight ? validXml(mark.text) : [])).join('')

type Shown = (text: string, weight: Weight) => string

function svgOf(
  { width, title, description, marks, ...card }: Card,
  top: number,
  style: Markup | null,
  shown: Shown,
): string {
  const height = card.height - top
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 ${top} ${width} ${height}" role="img" aria-labelledby="title description">
<title id="title">${validXml(title)}</title>
<desc id="description">${validXml(description)}</desc>
${style}${drawn(marks, shown)}</svg>
`.markup
}

const drawn = (marks: readonly Mark[], shown: Shown): Markup =>
  html`<g font-family="${{ markup: FALLBACKS }}">
${marks.map((mark) => (mark.kind === 'path' ? pathMarkup(mark) : textMarkup(mark, shown)))}</g>
`

function textMarkup({ x, y, text, size, weight, anchor, color }: TextMark, shown: Shown): Markup {
  return html`<text x="${tenth(x)}" y="${tenth(y)}" font-size="${tenth(size)}" font-weight="${weight}" text-anchor="${anchor}" fill="${color}">${shown(validXml(text), weight)}</text>\n`
}

function pathMarkup({ d, fill, stroke, width, dash }: PathMark): Markup {
  const line =
    stroke === null
      ? null
      : html` stroke="${stroke}" stroke-width="${width}"${dash.length > 0 ? html` stroke-dasharray="${dash.join(' ')}"` : null}`
  return html`<path d="${d}" fill="${fill ?? 'none'}" fill-rule="evenodd"${line}/>\n`
}

export const tenth = (value: number): number => Math.round(value * 10) / 10

/** Two code points that XML does not allow and `escaped` lets pass. @source XML 1.0, 2.2 (Char) */
const validXml = (text: string): string => text.replace(/[\uFFFE\uFFFF]/g, '\uFFFD')

function base64(bytes: Uint8Array): string {
  let binary = ''
  for (const byte of bytes) binary += String.fromCharCode(byte)
  return btoa(binary)
}
