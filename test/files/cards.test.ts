import { inflateSync } from 'node:zlib'
import { Resvg } from '@resvg/resvg-js'
import { beforeAll, describe, expect, it } from 'vitest'
import { cardFiles } from '../../src/files/pictures/card-files.ts'
import { pngOf } from '../../src/files/pictures/png.ts'
import type { ReportFiles } from '../../src/files/write.ts'
import { withClaims } from '../report/claims-fixture.ts'

/** The picture as an independent reader of PNG, the renderer's, shows it. */
function shown(png: Uint8Array, width: number, height: number): Uint8Array {
  const address = `data:image/png;base64,${Buffer.from(png).toString('base64')}`
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}"><image width="${width}" height="${height}" image-rendering="optimizeSpeed" href="${address}"/></svg>`
  return new Resvg(svg).render().pixels
}

const alphaAt = (pixels: Uint8Array, width: number, x: number, y: number): number => pixels[4 * (y * width + x) + 3]

describe('a PNG', () => {
  const svg =
    '<svg xmlns="http://www.w3.org/2000/svg" width="40" height="30"><circle cx="20" cy="15" r="12" fill="#8a3216"/></svg>'

  it('shows what was rendered, under the rows left clear', async () => {
    const { width, height, pixels } = new Resvg(svg).render()
    const png = await pngOf({ width, height, pixels }, {}, 10)
    const back = shown(png, 40, 40)
    expect(back.subarray(0, 10 * 4 * 40).every((value) => value === 0)).toBe(true)
    const differences = Array.from(pixels, (value, i) => Math.abs(value - back[10 * 4 * 40 + i]))
    // Colour is stored apart from opacity in PNG: at the faint edge a rounding of one step is lost either way.
    expect(Math.max(...differences)).toBeLessThanOrEqual(2)
    expect(alphaAt(back, 40, 20, 25)).toBe(255)
  })

  it('is that of the renderer itself, but for the packing', async () => {
    const image = new Resvg(svg).render()
    const own = await pngOf({ width: 40, height: 30, pixels: image.pixels }, {}, 0)
    expect(Buffer.compare(shown(own, 40, 30), shown(image.asPng(), 40, 30))).toBe(0)
  })

  it('keeps more colours than a palette holds, opaque or not', async () => {
    const pixels = Uint8Array.from({ length: 4 * 40 * 30 }, (_, i) => {
      const pixel = i >> 2
      const opacity = pixel % 3 === 0 ? 128 : 255
      return [pixel % 100, (pixel * 7) % 100, pixel >> 5, opacity][i & 3]
    })
    const back = shown(await pngOf({ width: 40, height: 30, pixels }, {}, 0), 40, 30)
    const differences = Array.from(pixels, (value, i) => Math.abs(value - back[i]))
    expect(Math.max(...differences)).toBeLessThanOrEqual(2)
  })
})

describe('the card files', () => {
  let files: ReportFiles = {}
  beforeAll(async () => {
    const { runs, claims } = withClaims
    const made = await cardFiles({ ...withClaims, runs: runs.slice(2, 4), claims: claims.slice(0, 2) }, 'some')
    expect(made.problem).toBeNull()
    files = { ...made.files, ...(await made.pictures) }
  })
  const png = (name: string): Buffer => Buffer.from(files[`cards/${name}.png`] as Uint8Array)

  it('are an SVG and a PNG of each card, and the alternative texts', () => {
    const endings = Object.keys(files).map((name) => name.split('.').at(-1))
    expect(endings.filter((ending) => ending === 'svg')).toHaveLength(8)
    expect(endings.filter((ending) => ending === 'png')).toHaveLength(8)
    expect(files['cards/alternative-text.txt']).toContain('claim-rack-dyke-road-wide\n')
  })

  it.each([
    ['claim-rack-dyke-road-wide', 1920],
    ['claim-rack-dyke-road-square', 1080],
    ['run-img-src-x-wide', 1920],
    ['run-img-src-x-square', 1080],
  ])('%s has the size %d × 1080 and is not blank', (name, width) => {
    const bytes = png(name)
    // ISO/IEC 15948, 5.2 and 11.2.2: signature, then IHDR with width and height.
    expect(bytes.subarray(0, 8).toString('latin1')).toBe('\x89PNG\r\n\x1a\n')
    expect([bytes.readUInt32BE(16), bytes.readUInt32BE(20)]).toEqual([width, 1080])
    const pixels = shown(bytes, width, 1080)
    const colours = new Set(new Uint32Array(new Uint8Array(pixels).buffer))
    expect(colours.size).toBeGreaterThan(20)
  })

  it('are clear around the wide label, and opaque when square', () => {
    const wide = shown(png('claim-rack-dyke-road-wide'), 1920, 1080)
    expect([alphaAt(wide, 1920, 960, 200), alphaAt(wide, 1920, 40, 800), alphaAt(wide, 1920, 1000, 700)]).toEqual([
      0, 0, 255,
    ])
    const square = shown(png('claim-rack-dyke-road-square'), 1080, 1080)
    expect(square.filter((_, i) => i % 4 === 3).every((alpha) => alpha === 255)).toBe(true)
  })

  it('are drawn with letters: without its texts a card is another picture', () => {
    const bytes = png('claim-rack-dyke-road-square')
    const pixels = shown(bytes, 1080, 1080)
    const inkIn = (x: number, y: number, width: number, height: number): number => {
      let count = 0
      for (let row = y; row < y + height; row++) {
        for (let column = x; column < x + width; column++) if (pixels[4 * (row * 1080 + column)] < 100) count++
      }
      return count
    }
    // The setup's name stands there, in letters of 70 units.
    expect(inkIn(100, 130, 200, 65)).toBeGreaterThan(800)
  })

  it('carry the alternative text inside', () => {
    const bytes = png('claim-rack-dyke-road-wide')
    expect(bytes.toString('utf8')).toMatch(/iTXtDescription\0{5}[^\0]*"rack" compared with "bare"/)
    const data = bytes.indexOf('IDAT')
    const rows = inflateSync(bytes.subarray(data + 4, data + 4 + bytes.readUInt32BE(data - 4)))
    // A drawing of few colours: a byte a pixel, and one a row for its filter (7.2, 9.1).
    expect(rows.length).toBe((1920 + 1) * 1080)
  })

  it('are none when none are wanted, or there is nothing to show', async () => {
    const none = { files: {}, problem: null }
    for (const made of [
      await cardFiles(withClaims, 'none'),
      await cardFiles({ ...withClaims, runs: [], claims: [] }, 'some'),
    ]) {
      expect(made).toMatchObject(none)
      expect(await made.pictures).toEqual({})
    }
  })
})
