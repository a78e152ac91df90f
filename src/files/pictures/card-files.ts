import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { alternativeTexts, type CardChoice, cardsOf, type NamedCard } from '../../report/cards/cards.ts'
import { FONT_FAMILY, standaloneSvg, svgForFontFiles } from '../../report/cards/marks.ts'
import { readTypeface } from '../../report/cards/typeface.ts'
import type { Report } from '../../report/contract.ts'
import type { ReportFiles } from '../write.ts'
import { pngOf } from './png.ts'

const require = createRequire(import.meta.url)

/** The cards' font, under the SIL Open Font License 1.1, from the package that ships its files. */
const fontFiles = () => ({
  500: require.resolve('@expo-google-fonts/barlow-semi-condensed/500Medium/BarlowSemiCondensed_500Medium.ttf'),
  600: require.resolve('@expo-google-fonts/barlow-semi-condensed/600SemiBold/BarlowSemiCondensed_600SemiBold.ttf'),
})

/** Pictures worked on at the same time, each of some 10 MB. */
const AT_ONCE = 8

export interface CardFiles {
  files: ReportFiles
  /** The PNGs: they are being rendered in other threads when this comes back. */
  pictures: Promise<ReportFiles>
  /** Where all of them will lie in the report's folder. */
  paths: string[]
  /** Why there are no PNGs, if so. */
  problem: string | null
}

const NO_PICTURES: Promise<ReportFiles> = Promise.resolve({})
const NO_CARDS: CardFiles = { files: {}, pictures: NO_PICTURES, paths: [], problem: null }

/** The report folder's cards: each as SVG that stands alone and as PNG, and their alternative texts. */
export async function cardFiles(report: Report, choice: CardChoice): Promise<CardFiles> {
  if (choice === 'none') return NO_CARDS
  const fonts = fontFiles()
  const typefaces = {
    500: readTypeface(await readFile(fonts[500])),
    600: readTypeface(await readFile(fonts[600])),
  }
  const cards = cardsOf(report, choice, typefaces)
  if (cards.length === 0) return NO_CARDS
  const files: ReportFiles = { 'cards/alternative-text.txt': alternativeTexts(cards) }
  for (const { name, card } of cards) files[`cards/${name}.svg`] = standaloneSvg(card, typefaces)
  const resvg = await import('@resvg/resvg-js').catch(() => null)
  if (resvg === null) {
    const problem = 'the cards were written as SVG only: the program that makes PNGs is not installed here'
    return { files, pictures: NO_PICTURES, paths: Object.keys(files), problem }
  }
  const font = { fontFiles: Object.values(fonts), loadSystemFonts: false, defaultFontFamily: FONT_FAMILY }
  const render = async ({ name, card }: NamedCard): Promise<[string, Uint8Array]> => {
    const { width, height, pixels } = await resvg.renderAsync(svgForFontFiles(card, typefaces), { font })
    const texts = { Title: card.title, Description: card.description }
    return [`cards/${name}.png`, await pngOf({ width, height, pixels }, texts, card.clearAbove)]
  }
  const paths = [...Object.keys(files), ...cards.map(({ name }) => `cards/${name}.png`)]
  return { files, pictures: rendered(cards, render), paths, problem: null }
}

async function rendered(
  cards: NamedCard[],
  render: (card: NamedCard) => Promise<[string, Uint8Array]>,
): Promise<ReportFiles> {
  const pictures: [string, Uint8Array][] = []
  for (let i = 0; i < cards.length; i += AT_ONCE) {
    pictures.push(...(await Promise.all(cards.slice(i, i + AT_ONCE).map(render))))
  }
  return Object.fromEntries(pictures)
}
