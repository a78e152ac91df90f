import medium from '@expo-google-fonts/barlow-semi-condensed/500Medium/BarlowSemiCondensed_500Medium.ttf?base64'
import semiBold from '@expo-google-fonts/barlow-semi-condensed/600SemiBold/BarlowSemiCondensed_600SemiBold.ttf?base64'
import { fromBase64 } from '../../base/platform.ts'
import { present } from '../../base/present.ts'
import { alternativeTexts, cardsOf } from '../../report/cards/cards.ts'
import {
  type Card,
  FONT_FAMILY,
  type Mark,
  standaloneSvg,
  type Typefaces,
  withKnownSigns,
} from '../../report/cards/marks.ts'
import { withTexts } from '../../report/cards/png-texts.ts'
import { readTypeface } from '../../report/cards/typeface.ts'
import type { Report } from '../../report/contract.ts'

/** A card's file, made when its turn comes. */
export type CardFile = [path: string, content: () => Promise<Blob>]

/** The cards of a report as `ceteris report` writes them, the PNGs painted by the browser. */
export function cardFiles(report: Report): CardFile[] {
  const fonts = { 500: fromBase64(medium), 600: fromBase64(semiBold) }
  const typefaces = { 500: readTypeface(fonts[500]), 600: readTypeface(fonts[600]) }
  const cards = cardsOf(report, 'some', typefaces)
  if (cards.length === 0) return []
  const ready = loaded(fonts)
  const text = (content: string, type: string) => async () => new Blob([content], { type })
  return [
    ['cards/alternative-text.txt', text(alternativeTexts(cards), 'text/plain')],
    ...cards.map(
      ({ name, card }): CardFile => [
        `cards/${name}.svg`,
        async () => new Blob([standaloneSvg(card, typefaces)], { type: 'image/svg+xml' }),
      ],
    ),
    ...cards.map(
      ({ name, card }): CardFile => [
        `cards/${name}.png`,
        async () => {
          await ready
          return painted(card, typefaces)
        },
      ],
    ),
  ]
}

/** Lets this worker write in the cards' font. */
async function loaded(fonts: Record<number, Uint8Array<ArrayBuffer>>): Promise<void> {
  const { fonts: known } = globalThis as unknown as { fonts: FontFaceSet }
  const faces = Object.entries(fonts).map(([weight, bytes]) => new FontFace(FONT_FAMILY, bytes, { weight }))
  for (const face of faces) known.add(await face.load())
}

async function painted(card: Card, typefaces: Typefaces): Promise<Blob> {
  const canvas = new OffscreenCanvas(card.width, card.height)
  const context = present(canvas.getContext('2d'))
  // As SVG has it; a canvas allows sharper corners.
  context.miterLimit = 4
  for (const mark of card.marks) paint(mark, context, typefaces)
  const png = new Uint8Array(await (await canvas.convertToBlob({ type: 'image/png' })).arrayBuffer())
  const texts = { Title: card.title, Description: card.description }
  return new Blob([withTexts(png, texts)], { type: 'image/png' })
}

const ALIGNED = { start: 'left', middle: 'center', end: 'right' } as const

function paint(mark: Mark, context: OffscreenCanvasRenderingContext2D, typefaces: Typefaces): void {
  if (mark.kind === 'text') {
    context.font = `${mark.weight} ${mark.size}px '${FONT_FAMILY}'`
    context.textAlign = ALIGNED[mark.anchor]
    context.fillStyle = mark.color
    context.fillText(withKnownSigns(mark.text, typefaces[mark.weight]), mark.x, mark.y)
    return
  }
  const path = new Path2D(mark.d)
  if (mark.fill !== null) {
    context.fillStyle = mark.fill
    context.fill(path, 'evenodd')
  }
  if (mark.stroke === null) return
  context.strokeStyle = mark.stroke
  context.lineWidth = mark.width
  context.setLineDash([...mark.dash])
  context.stroke(path)
}
