import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { cardsOf } from '../../src/report/cards/cards.ts'
import { standaloneSvg } from '../../src/report/cards/marks.ts'
import type { Report, ReportPair, ReportRun } from '../../src/report/contract.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { typefaces } from './cards/typefaces.ts'
import { claim } from './claims-fixture.ts'
import { contributions, fixture, noShares, pair, run, share } from './fixture.ts'

// A few figures kept as pictures. They are made of a report written by hand, so that they change with the look alone and
// not with a figure of the physics; letters are of the embedded typeface, so that no computer's own fonts enter.

const drive = (
  id: string,
  day: number,
  setup: string,
  fuel: [number, number],
  as: ReportRun['use']['as'],
): ReportRun => {
  const made = run(id, 8, { setup })
  const onDay = (time: string): string => time.replace('2024-05-03', `2024-05-0${day}`)
  const consumption = { unit: 'l' as const, per_100_km: fuel[0], adjusted_per_100_km: fuel[1] }
  const use = as === 'left-out' ? { ...made.use, as, why: { code: 'wet' as const } } : { ...made.use, as }
  return { ...made, start_time: onDay(made.start_time), end_time: onDay(made.end_time), consumption, use }
}

const runs = [
  drive('monday', 1, 'bare', [7.1, 7.1], 'as-measured'),
  drive('tuesday', 2, 'bare', [7.3, 7.15], 'corrected'),
  drive('wednesday', 3, 'rack', [7.4, 7.52], 'corrected'),
  drive('thursday', 4, 'rack', [7.9, 7.49], 'corrected'),
  drive('friday', 5, 'rack', [8.1, 8.1], 'left-out'),
]

const differing = (a: number, b: number, mean: number, verdict: ReportPair['verdict']): ReportPair =>
  pair(runs[a].id, runs[b].id, {
    verdict,
    score: verdict === 'comparable' ? 97 : 3,
    tightest_margin_pct: Math.abs(mean) + 0.7,
    difference_pct: { mean, low90: mean - 0.7, high90: mean + 0.7 },
    ...contributions({ ...noShares, wind: share(mean - 0.4, 0.6), speed: share(0.4, 0.2) }),
  })

const change = (estimate: number, low95: number, high95: number) => ({ estimate, low95, high95 })
const KEPT: Report = {
  ...fixture,
  title: 'A roof rack, written by hand',
  runs,
  pairs: [
    differing(0, 1, 0.2, 'comparable'),
    differing(0, 2, 4.1, 'adjustable'),
    differing(0, 3, -1.1, 'undecided'),
    differing(0, 4, 12.4, 'not-comparable'),
    differing(1, 2, 3.8, 'adjustable'),
    differing(1, 3, -0.1, 'comparable'),
    differing(1, 4, 12.1, 'not-comparable'),
    differing(2, 3, -2.2, 'adjustable'),
    differing(2, 4, 8.3, 'not-comparable'),
    differing(3, 4, 9.9, 'not-comparable'),
  ],
  claims: [
    claim({ runs: ['wednesday', 'thursday'], baseline_runs: ['monday', 'tuesday'] }),
    claim({ setup: 'covers', verdict: 'unresolved', adjusted_consumption_change_pct: change(-1.4, -3.9, 1.2) }),
  ],
}

/** The pictures by name, with what of the page each shows. */
export const KEPT_PICTURES: [name: string, shows: string][] = [
  ['claims', '.claims-picture'],
  ['tiles', '.tiles'],
  ['fuel', '.fuel-plot .fluid'],
  ['matrix', '.matrix .grid'],
  ['pair', '.pairs tbody:nth-of-type(2)'],
]

export const keptPage = (): string => htmlPage(KEPT)

/** A page that holds nothing but the card of the first claim. */
export function cardPage(): string {
  const [{ card }] = cardsOf(KEPT, 'some', typefaces)
  return `<!doctype html><title>A card</title><style>body { margin: 0 } svg { width: 600px; height: auto; display: block }</style>${standaloneSvg(card, typefaces)}`
}

/** One part of a page as a PNG, of its size in CSS pixels. */
export async function pictureOf(page: Page, shows: string): Promise<Buffer> {
  await page.evaluate(() => document.fonts.ready)
  return page.locator(shows).first().screenshot({ animations: 'disabled', caret: 'hide' })
}

const fileOf = (name: string): string => join(import.meta.dirname, 'pictures', `${name}.png`)

/**
 * The kept picture.
 * @param now kept from now on where the pictures are made anew
 */
export function keptPicture(name: string, now?: Buffer): Buffer {
  if (now && process.env.CETERIS_WRITE_PICTURES) writeFileSync(fileOf(name), now)
  return readFileSync(fileOf(name))
}

/** So far may a pixel's channels be apart, of 255. */
const TOLERANCE = 12

/**
 * The share of a picture's pixels that are not found in the other one, per million. A pixel is found where one of the
 * nine around its place has its colour to within the tolerance. The browser is one build, paints without a graphics
 * processor and without hinting (`--font-render-hinting=none`), and the letters are the page's own: what may differ
 * between computers is the rounding of a smoothed edge, a few of 255, or on which side of a pixel it falls. The palest
 * tone that tells something, the margin's, is 20 away from the paper. Pictures of two sizes have nothing in common.
 */
export function differingPerMillion(page: Page, a: Buffer, b: Buffer): Promise<number> {
  return page.evaluate(
    async ({ sources, tolerance }) => {
      const [one, other] = await Promise.all(
        sources.map(async (source) => {
          const bytes = Uint8Array.from(atob(source), (letter) => letter.charCodeAt(0))
          const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }))
          const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d')!
          context.drawImage(bitmap, 0, 0)
          return context.getImageData(0, 0, bitmap.width, bitmap.height)
        }),
      )
      if (one.width !== other.width || one.height !== other.height) return 1e6
      const { width, height } = one
      const isFound = (from: ImageData, to: ImageData, x: number, y: number): boolean => {
        const at = 4 * (y * width + x)
        for (let v = Math.max(0, y - 1); v <= Math.min(height - 1, y + 1); v++) {
          for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++) {
            const there = 4 * (v * width + u)
            if ([0, 1, 2].every((k) => Math.abs(from.data[at + k] - to.data[there + k]) <= tolerance)) return true
          }
        }
        return false
      }
      let missing = 0
      for (let y = 0; y < height; y++) {
        for (let x = 0; x < width; x++) {
          if (!isFound(one, other, x, y) || !isFound(other, one, x, y)) missing++
        }
      }
      return (1e6 * missing) / (width * height)
    },
    { sources: [a.toString('base64'), b.toString('base64')], tolerance: TOLERANCE },
  )
}
