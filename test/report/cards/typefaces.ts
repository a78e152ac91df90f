import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import type { Typefaces, Weight } from '../../../src/report/cards/marks.ts'
import { readTypeface } from '../../../src/report/cards/typeface.ts'

const NAMES: Record<Weight, string> = { 500: '500Medium', 600: '600SemiBold' }

/** Where the cards' fonts lie. */
export const fontFile = (weight: Weight): string =>
  createRequire(import.meta.url).resolve(
    `@expo-google-fonts/barlow-semi-condensed/${NAMES[weight]}/BarlowSemiCondensed_${NAMES[weight]}.ttf`,
  )

export const typefaces: Typefaces = {
  500: readTypeface(readFileSync(fontFile(500))),
  600: readTypeface(readFileSync(fontFile(600))),
}
