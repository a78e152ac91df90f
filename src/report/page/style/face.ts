import medium from '@expo-google-fonts/barlow-semi-condensed/500Medium/BarlowSemiCondensed_500Medium.ttf?base64'
import semiBold from '@expo-google-fonts/barlow-semi-condensed/600SemiBold/BarlowSemiCondensed_600SemiBold.ttf?base64'
import { fromBase64, toBase64 } from '../../../base/platform.ts'
import { present } from '../../../base/present.ts'
import { FONT_FAMILY, type Typefaces, type Weight } from '../../cards/marks.ts'
import { readTypeface, type Typeface } from '../../cards/typeface.ts'
import { subsetTypeface } from '../../cards/typeface-subset.ts'

/** Letters that the page's script may still write: units, signs and figures. */
const ALWAYS = `${Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).join('')}−–±×·°²³’“”…`

/** The page's typeface: the cards', with figures of one width. */
export const pageTypefaces = (): Typefaces => ({
  500: withTabularDigits(readTypeface(fromBase64(medium))),
  600: withTabularDigits(readTypeface(fromBase64(semiBold))),
})

/** The page's typeface as style rules, with no more letters than a text needs and the page's script may write. */
export function facesFor(text: string, typefaces: Typefaces): string {
  const letters = ALWAYS + [...new Set(text.match(/[^\n -~]/gu))].join('')
  const face = (weight: Weight): string => {
    const subset = subsetTypeface(typefaces[weight], letters)
    return `@font-face { font-family: '${FONT_FAMILY}'; font-weight: ${weight}; src: url(data:font/ttf;base64,${toBase64(subset)}); }\n`
  }
  return face(500) + face(600)
}

/** In this font the figures of one width stand so many glyphs behind the others (its feature `tnum`). */
const TABULAR = 10

/** The font with figures of one width, so that those of a table stand below each other. */
function withTabularDigits(typeface: Typeface): Typeface {
  const digits = Array.from('0123456789', (digit) => present(digit.codePointAt(0)))
  const tabular = digits.map((code): [number, number] => [code, present(typeface.glyphs.get(code)) + TABULAR])
  if (new Set(tabular.map(([, glyph]) => typeface.advances[glyph])).size > 1)
    throw new Error('the font’s figures of one width stand elsewhere')
  return { ...typeface, glyphs: new Map([...typeface.glyphs, ...tabular]) }
}
