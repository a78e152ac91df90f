import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { CampaignResult } from '../../src/campaign/campaign-result.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { accessibilityProblems, COLOUR_RULES, type Reader, sidewaysPx, startReader } from './browser.ts'
import { fixture, HOSTILE_NAME } from './fixture.ts'
import { cardPage, differingPerMillion, KEPT_PICTURES, keptPage, keptPicture, pictureOf } from './kept-pictures.ts'
import { layoutFaults } from './layout.ts'
import { daysResult, emptyReport, manyRuns, sampleResult } from './page-samples.ts'

let reader: Reader
let sample: CampaignResult
const pages = new Map<string, string>()

beforeAll(async () => {
  reader = await startReader()
  sample = await sampleResult()
  const three = (name: string): boolean => !/2026-04-1[57]|2026-04-2|14-b/.test(name)
  const bare = await sampleResult((name) => three(name) && !/weather/.test(name))
  const flat = await sampleResult(
    (name) => three(name) && !/runs\.csv/.test(name),
    (gpx) => gpx.replace(/<ele>[^<]*<\/ele>/g, ''),
  )
  const one = await sampleResult((name) => !/\.gpx$/.test(name) || /16-bars/.test(name))
  pages.set('sample', htmlPage(sample.report, sample.along))
  pages.set('without weather', htmlPage(bare.report, bare.along))
  pages.set('without elevation and fuel', htmlPage(flat.report, flat.along))
  pages.set('one run', htmlPage(one.report, one.along))
  const days = await daysResult()
  pages.set('divided days', htmlPage(days.report, days.along))
  pages.set('empty', htmlPage(emptyReport))
  pages.set('hostile names', htmlPage(fixture))
  const hostile = (text: string): string => text.replaceAll('ladders', HOSTILE_NAME)
  const runs = sample.along.runs.map((run) => ({ ...run, run: hostile(run.run) }))
  pages.set('hostile claims', htmlPage(JSON.parse(hostile(JSON.stringify(sample.report))), { ...sample.along, runs }))
  pages.set('100 runs', htmlPage(...manyRuns(sample.report, sample.along, 100, 780)))
})
afterAll(() => reader.close())

const SECTIONS: Record<string, string[]> = {
  sample: ['answer', 'claims', 'pairs', 'drives', 'along', 'limits', 'routes', 'problems', 'inputs', 'cautions'],
  'without weather': ['answer', 'pairs', 'drives', 'along', 'routes', 'problems'],
  'without elevation and fuel': ['answer', 'pairs', 'drives', 'along', 'limits', 'routes'],
  'one run': ['answer', 'drives', 'along', 'limits', 'routes'],
  'divided days': ['answer', 'pairs', 'recordings', 'laps', 'drives', 'along', 'routes', 'problems'],
  empty: ['answer', 'problems', 'inputs', 'assumptions'],
  'hostile names': ['answer', 'pairs', 'drives', 'limits', 'routes'],
  'hostile claims': ['answer', 'claims', 'pairs', 'drives', 'along'],
  '100 runs': ['answer', 'claims', 'pairs', 'drives', 'along', 'limits', 'routes'],
}

describe.each(Object.keys(SECTIONS))('the page in a browser: %s', (name) => {
  it('shows its sections, asks for nothing, complains of nothing and is never scrolled sideways', async () => {
    const { page, complaints, requests } = await reader.open(pages.get(name)!, {
      viewport: { width: 360, height: 740 },
    })
    const headings = await page.$$eval('h2', (all) => all.map(({ id }) => id))
    expect(SECTIONS[name].filter((id) => !headings.includes(id))).toEqual([])
    expect(await page.locator('img').count()).toBe(0)
    expect(await sidewaysPx(page)).toBe(0)
    expect(await layoutFaults(page)).toEqual([])
    await page.setViewportSize({ width: 800, height: 900 })
    expect(await sidewaysPx(page)).toBe(0)
    expect(complaints).toEqual([])
    expect(requests).toEqual([])
    await page.context().close()
  })
})

describe('the page is accessible', () => {
  it.each([
    ['sample', 'light', undefined],
    ['sample', 'dark', COLOUR_RULES],
    ['without weather', 'dark', undefined],
    ['hostile names', 'light', undefined],
    ['divided days', 'light', undefined],
    ['divided days', 'dark', COLOUR_RULES],
  ] as const)('%s in %s, the sample in forced colours as well', async (name, colorScheme, rules) => {
    const { page } = await reader.open(pages.get(name)!, { colorScheme })
    if (name === 'sample') {
      await page.locator('.pairs summary').first().click()
      await page.locator('input[type="range"]').focus()
      await page.keyboard.press('ArrowRight')
    }
    expect(await accessibilityProblems(page, rules)).toEqual([])
    if (name === 'sample') {
      await page.emulateMedia({ forcedColors: 'active' })
      expect(await accessibilityProblems(page, COLOUR_RULES)).toEqual([])
    }
    await page.context().close()
  })
})

describe('on paper', () => {
  it.each(['sample', 'divided days', '100 runs'])('%s: nothing is cut off, and no control is printed', async (name) => {
    // A4 less 14 mm on either side, at 96 px an inch.
    const { page } = await reader.open(pages.get(name)!, { viewport: { width: 688, height: 1000 } })
    await page.emulateMedia({ media: 'print' })
    expect(await sidewaysPx(page)).toBe(0)
    const cut = await page.$$eval('svg, table', (all) =>
      all
        .filter((element) => element.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
        .map((element) => element.getAttribute('aria-label') ?? element.querySelector('caption')?.textContent ?? ''),
    )
    expect(cut).toEqual([])
    expect(await page.locator('.controls').isVisible()).toBe(false)
    await page.context().close()
  })

  // ISO 32000-1, 7.7.3.3: each page of a document is an object of the type Page.
  it('the sample has at most six pages, A4 and letter, and says what is left out', async () => {
    const { page } = await reader.open(pages.get('sample')!)
    for (const format of ['A4', 'Letter']) {
      const pdf = await page.pdf({ format })
      expect(pdf.subarray(0, 5).toString()).toBe('%PDF-')
      const count = pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)?.length ?? 0
      expect([format, count <= 6 ? 'six or less' : count]).toEqual([format, 'six or less'])
    }
    await page.emulateMedia({ media: 'print' })
    const shown = await page.$$eval('main > section', (all) =>
      all.filter((element) => element.checkVisibility()).map((element) => element.getAttribute('aria-labelledby')),
    )
    const titles = await page.$$eval('main > section > h2', (all) =>
      all.map(({ id, textContent }) => [id, textContent]),
    )
    const note = await page.locator('main > .paper-only').textContent()
    expect(shown).toEqual(expect.arrayContaining(['answer', 'claims', 'next', 'pairs', 'drives']))
    for (const [id, title] of titles) expect([id, note!.includes(title!)]).toEqual([id, !shown.includes(id)])
    await page.context().close()
  })
})

describe('with very many runs', () => {
  it('100 runs are below 5 MB', () => {
    const markup = pages.get('100 runs')!
    expect(Buffer.byteLength(markup)).toBeLessThan(5e6)
  })

  it('1,000 runs are thinned, say so and still open', async () => {
    const markup = htmlPage(...manyRuns(sample.report, sample.along, 1000, 2000))
    expect(Buffer.byteLength(markup)).toBeLessThan(3e6)
    const { page } = await reader.open(markup)
    const text = (await page.textContent('main'))!
    expect(text).toContain('The first 200 of 1998 pairs are listed; pairs.csv holds them all.')
    expect(text).toContain('The first 120 of 1000 drives are shown; runs.csv holds them all.')
    expect(text).toContain('Of 1000 drives, 24 are drawn here.')
    await page.context().close()
  })
})

describe('the measure of how texts lie', () => {
  it.each([
    ['', '<p>one</p><p>two</p>'],
    ['over one another: "one" and "two"', '<p>one</p><p style="margin-top: -2rem">two</p>'],
    ['cut: "a long line"', '<p style="width: 3rem; overflow: hidden; white-space: nowrap">a long line</p>'],
    ['cut: "drawn"', '<svg width="40" height="20"><text x="30" y="15">drawn</text></svg>'],
    ['out of its section: "too_wide_for_it"', '<section style="width: 2rem"><p>too_wide_for_it</p></section>'],
    ['', '<div style="width: 3rem; overflow: auto"><p style="white-space: nowrap">a long line</p></div>'],
  ])('says "%s"', async (fault, markup) => {
    const { page } = await reader.open(`<!doctype html><title>measured</title>${markup}`)
    expect(await layoutFaults(page)).toEqual(fault === '' ? [] : [fault])
    await page.context().close()
  })
})

describe('kept pictures', () => {
  // Of a picture of 1,000 × 300 pixels so many are 30: less than the smallest mark.
  const MOST_PER_MILLION = 100

  it.each(['light', 'dark'] as const)('a few figures look as they did, in %s', async (colorScheme) => {
    const { page } = await reader.open(keptPage(), { colorScheme, viewport: { width: 1000, height: 900 } })
    await page.evaluate(() => {
      for (const details of document.querySelectorAll('details')) details.open = true
    })
    for (const [name, shows] of KEPT_PICTURES) {
      const now = await pictureOf(page, shows)
      const differing = await differingPerMillion(page, keptPicture(`${name}-${colorScheme}`, now), now)
      expect([name, differing < MOST_PER_MILLION ? 'alike' : differing]).toEqual([name, 'alike'])
    }
    await page.context().close()
  })

  it('a card looks as it did', async () => {
    const { page } = await reader.open(cardPage(), { viewport: { width: 700, height: 700 } })
    const now = await pictureOf(page, 'svg')
    expect(await differingPerMillion(page, keptPicture('card', now), now)).toBeLessThan(MOST_PER_MILLION)
    await page.context().close()
  })

  it.each<[change: string, name: string, style: string]>([
    ['a whisker of an interval is missing', 'claims', '.way-more line:nth-of-type(2) { display: none }'],
    ['an estimate moves by two pixels', 'claims', '.way-more circle { transform: translateX(2px) }'],
    ['a saving has the colour of an alarm', 'tiles', ':root { --less: #8a3216 }'],
    ['a corrected drive is edged as one used as measured', 'tiles', '.tiles .corrected { border-top-style: solid }'],
    ['the mean is not drawn', 'fuel', '.mean-corrected { display: none }'],
    ['the hatch of a verdict is missing', 'matrix', '.grid .cell.adjustable { background: none }'],
    ['the margin is not shaded', 'pair', '.glyph .band { fill: none }'],
    ['another weight of the letters', 'pair', '.reason { font-weight: 600 }'],
  ])('would not, where %s', async (_, name, style) => {
    // The page's policy lets no other style in; this page has none.
    const free = keptPage().replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, '')
    const { page } = await reader.open(free.replace('</style>', `${style}</style>`), {
      colorScheme: 'light',
      viewport: { width: 1000, height: 900 },
    })
    await page.evaluate(() => {
      for (const details of document.querySelectorAll('details')) details.open = true
    })
    const shows = KEPT_PICTURES.find(([known]) => known === name)![1]
    const now = await pictureOf(page, shows)
    const kept = keptPicture(`${name}-light`)
    expect(await differingPerMillion(page, kept, now)).toBeGreaterThan(MOST_PER_MILLION)
    await page.context().close()
  })
})
