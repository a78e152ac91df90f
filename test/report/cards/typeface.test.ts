import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Resvg } from '@resvg/resvg-js'
import { afterAll, describe, expect, it } from 'vitest'
import { readTypeface, textWidth } from '../../../src/report/cards/typeface.ts'
import { subsetTypeface } from '../../../src/report/cards/typeface-subset.ts'
import { fontFile, typefaces } from './typefaces.ts'

const folder = mkdtempSync(join(tmpdir(), 'ceteris-font-'))
afterAll(() => rmSync(folder, { recursive: true }))

const FAMILY = 'Barlow Semi Condensed'
const drawn = (text: string, file: string) =>
  new Resvg(
    `<svg xmlns="http://www.w3.org/2000/svg" width="900" height="200"><text x="10" y="140" font-family="${FAMILY}" font-weight="600" font-size="100">${text}</text></svg>`,
    { font: { fontFiles: [file], loadSystemFonts: false, defaultFontFamily: FAMILY } },
  )

describe('the width of a text', () => {
  // The reference is the renderer, which reads the font by itself: the ink of n equal letters is wider than that of one
  // by n − 1 advances, where a letter is not kerned with itself.
  it.each(['H', '0', '%', '−', 'é'])('of %s is what the renderer makes of it', (sign) => {
    const ink = (count: number): number => drawn(sign.repeat(count), fontFile(600)).getBBox()!.width
    expect(textWidth(sign, 100, typefaces[600])).toBeCloseTo((ink(6) - ink(1)) / 5, 2)
  })

  it('counts a sign that the font lacks as one em', () => {
    expect(textWidth('道', 40, typefaces[500])).toBe(40)
  })
})

describe('a font of few letters', () => {
  it.each(['−6.4 %', 'ÄñÅéč', '0123456789', 'kg/m³ ± °'])('draws %s as the whole font does', (text) => {
    const file = join(folder, `${text.length}.ttf`)
    writeFileSync(file, subsetTypeface(typefaces[600], text))
    // One letter at a time: the small font has no kerning.
    for (const sign of text.replaceAll(' ', '')) {
      const [small, whole] = [drawn(sign, file).render(), drawn(sign, fontFile(600)).render()]
      expect(Buffer.compare(small.pixels, whole.pixels)).toBe(0)
      expect(whole.pixels.some((value) => value > 0)).toBe(true)
    }
  })

  it('holds those letters only, keeps the licence, and is the same each time', () => {
    const bytes = subsetTypeface(typefaces[500], 'cab道')
    expect([...readTypeface(bytes).glyphs.keys()]).toEqual(['a', 'b', 'c'].map((sign) => sign.charCodeAt(0)))
    expect(bytes.length).toBeLessThan(4000)
    const names = readTypeface(bytes).tables.get('name')!
    const latin = Buffer.from(names.buffer, names.byteOffset, names.byteLength).toString('latin1').replaceAll('\0', '')
    expect(latin).toContain('SIL Open Font License')
    expect(Buffer.compare(bytes, subsetTypeface(typefaces[500], 'bacca'))).toBe(0)
  })
})
