import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { SYSTEMS } from '../../src/base/quantities.ts'
import { sheetPage } from '../../src/cli/plan/sheet-page.ts'
import { MEASURING_WAYS } from '../../src/plan/choices.ts'
import { type FieldSheet, sheetOrder } from '../../src/plan/sheet.ts'
import { accessibilityProblems, type Reader, startReader } from '../report/browser.ts'

let reader: Reader
beforeAll(async () => {
  reader = await startReader()
}, 120_000)
afterAll(() => reader.close())

const LONG = 'Rack with two ladders and covers, 40 mm'
const sheetOf = (runs: number, setups: string[], more: Partial<FieldSheet> = {}): FieldSheet => ({
  title: 'What the ladders cost us on the road to the coast, spring and summer',
  vehicle: 'van, diesel, 2400 kg',
  fuel: null,
  road: 'over the hill and back, 104 km',
  timeZone: 'Europe/Madrid',
  way: 'pump',
  system: 'si',
  setups,
  ...sheetOrder(setups, runs),
  forEffect: { effectPct: 3, runsPerSetup: runs, isEnough: false },
  ...more,
})

const PAPERS: [format: string, longPt: number, shortPt: number][] = [
  ['A4', (297 / 25.4) * 72, (210 / 25.4) * 72],
  ['Letter', 11 * 72, 8.5 * 72],
]

/** How many pages a PDF has: the page objects of its tree. @source ISO 32000-1:2008, 7.7.3 */
const pagesIn = (pdf: Buffer): number => [...pdf.toString('latin1').matchAll(/\/Type\s*\/Page(?![a-z])/gi)].length

describe('the page of plan sheet', () => {
  const sheets: [string, FieldSheet][] = [
    ['2 drives each of 2', sheetOf(2, ['bare', 'rack'])],
    ['12 drives with long names', sheetOf(6, ['As bought, with nothing on the roof bars', LONG])],
    ['12 drives of 4 setups', sheetOf(3, ['bare', 'bars', 'one ladder', 'ladders'])],
    ...MEASURING_WAYS.flatMap((way) =>
      SYSTEMS.map((system): [string, FieldSheet] => [
        `12 drives, ${way}, ${system}`,
        sheetOf(6, ['bare', 'rack'], { way, system }),
      ]),
    ),
  ]
  it.each(sheets)('%s: fits two sides of A4 and of letter, nothing cut off', async (_, sheet) => {
    const { page, complaints, requests } = await reader.open(sheetPage(sheet))
    for (const [format, long, short] of PAPERS) {
      // The page itself says that it lies on its side, and how wide its margins are.
      const pdf = await page.pdf({ format, preferCSSPageSize: true })
      const [, width, height] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf.toString('latin1'))!
      // In points of 1/72 inch, the browser's to within one. @source ISO 216: A4 210 × 297 mm; ANSI Y14.1: letter 8.5 × 11 in
      expect(Math.abs(Number(width) - long)).toBeLessThan(1.5)
      expect(Math.abs(Number(height) - short)).toBeLessThan(1.5)
      expect(pagesIn(pdf), format).toBe(2)
    }
    await page.emulateMedia({ media: 'print' })
    // Letter on its side, less 10 mm on either side, at 96 px an inch.
    await page.setViewportSize({ width: Math.floor(((11 * 25.4 - 20) / 25.4) * 96), height: 700 })
    const cut = await page.$$eval('td, th, dd, li, p, code', (all) =>
      all
        .filter((e) => e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).display !== 'inline')
        .map((e) => e.textContent),
    )
    expect(cut).toEqual([])
    expect({ complaints, requests }).toEqual({ complaints: [], requests: [] })
    await page.context().close()
  })

  it('has a line for each drive and one to spare, boxes that a hand can write into, and no ink but black', async () => {
    const { page } = await reader.open(sheetPage(sheetOf(6, ['bare', 'rack'])))
    await page.emulateMedia({ media: 'print' })
    await page.setViewportSize({ width: Math.floor(((11 * 25.4 - 20) / 25.4) * 96), height: 700 })
    const boxes = await page.$$eval('.drives tbody tr', (rows) =>
      rows.map((row) => ({
        setup: row.children[1].textContent,
        written: [...row.children].slice(2).some((cell) => cell.textContent !== ''),
        height: row.getBoundingClientRect().height,
        narrowest: Math.min(...[...row.children].slice(2).map((cell) => cell.getBoundingClientRect().width)),
      })),
    )
    expect(boxes.map(({ setup }) => setup)).toEqual([...sheetOrder(['bare', 'rack'], 6).drives, ''])
    const mm = 96 / 25.4
    for (const { written, height, narrowest } of boxes) {
      expect(written).toBe(false)
      // Common practice, no source: a line of handwriting needs 8 mm, four figures 10 mm.
      expect(height).toBeGreaterThan(8 * mm)
      expect(narrowest).toBeGreaterThan(10 * mm)
    }
    const colours = await page.$$eval('body *', (all) => [
      ...new Set(
        all.flatMap((e) => [
          getComputedStyle(e).color,
          getComputedStyle(e).backgroundColor,
          getComputedStyle(e).borderTopColor,
        ]),
      ),
    ])
    const isGrey = (colour: string): boolean => {
      const [r, g, b] = colour.match(/\d+/g)!.map(Number)
      return r === g && g === b
    }
    expect(colours.filter((colour) => !isGrey(colour))).toEqual([])
    expect(await accessibilityProblems(page)).toEqual([])
    await page.context().close()
  })

  it('holds no script, no form and nothing from elsewhere', () => {
    const markup = sheetPage(sheetOf(3, ['bare', 'rack']))
    expect(markup).not.toMatch(/<script|<link|<img|<form|<iframe|\son\w+=|url\(|@import|https?:/i)
    expect(markup).toContain("default-src 'none'")
  })
})
