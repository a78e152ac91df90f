import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { CampaignResult } from '../../src/campaign/campaign-result.ts'
import { pageText } from '../../src/campaign/report/report-texts.ts'
import { cardFiles } from '../../src/files/pictures/card-files.ts'
import { reportAtMargin } from '../../src/report/margin/report-at-margin.ts'
import { driveAnchor, pairAnchor } from '../../src/report/page/anchors.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { accessibilityProblems, type Opened, type Reader, startReader } from './browser.ts'
import { manyRuns, sampleResult } from './page-samples.ts'

let reader: Reader
let sample: CampaignResult
let opened: Opened

beforeAll(async () => {
  sample = await sampleResult()
  reader = await startReader()
  opened = await reader.open(pageText(sample))
})
afterAll(() => reader.close())

/** Moves the slider to a margin, as a reader who drags it. */
const turnTo = (marginPct: number, page = opened.page): Promise<void> =>
  page.$eval(
    '#pairs-margin',
    (slider, margin) => {
      const input = slider as HTMLInputElement
      input.value = String((input.dataset.margins ?? '').split(' ').indexOf(String(margin)))
      input.dispatchEvent(new Event('input', { bubbles: true }))
    },
    marginPct,
  )

const meanOf = ({ difference_pct }: { difference_pct: { mean: number } | null }): number => difference_pct!.mean

/** What the page says of each pair: verdict, score, 90 % interval and reason; and of each cell of the matrix. */
const shown = (page = opened.page) =>
  page.$$eval('table.pairs > tbody', (bodies) =>
    Object.fromEntries(
      bodies.map((body) => {
        const text = (selector: string) => body.querySelector(selector)?.textContent ?? null
        const cell = document.querySelector(`.grid a[href="#${encodeURIComponent(body.id)}"]`)
        return [
          body.id,
          [
            text('.verdict'),
            text('.score'),
            text('.interval'),
            text('.reason'),
            cell?.querySelector('.hidden')?.textContent,
          ],
        ]
      }),
    ),
  )

/** All that the page says and how it is marked, but for what tells of the report's own margin and of the slider. */
const said = (page = opened.page) =>
  page.$eval('main', (main) => {
    const copy = main.cloneNode(true) as HTMLElement
    // The scale of the plots is that of the report's margin, and what stands in them is told by the figures beside. Cards
    // are those of the report's margin, which a line above each says.
    for (const aside of copy.querySelectorAll('.at-other-margin, .controls, dl.facts, .glyph, .claim-card svg'))
      aside.remove()
    const pieces = [...copy.querySelectorAll('*')].map((element) => {
      const own = [...element.childNodes].filter(({ nodeType }) => nodeType === Node.TEXT_NODE)
      const text = own.map(({ textContent }) => textContent).join('')
      return `${element.tagName} ${[...element.classList].join(' ')} ${text.replace(/ends of the scale are ± [\d.]+/, '')}`
    })
    return pieces
  })

describe('the slider of the margin', () => {
  it.each([0.5, 1.2, 3, 6])(
    'at ±%d percent the page, but for its cards, says what the tool says when run with that margin',
    async (margin) => {
      const { page } = opened
      await turnTo(margin)
      const run = await sampleResult(undefined, undefined, margin)
      const fresh = await reader.open(pageText(run))
      expect(await said()).toEqual(await said(fresh.page))
      expect(await shown()).toEqual(await shown(fresh.page))
      for (const { a, b, verdict } of run.report.pairs) {
        expect(await page.getAttribute(`#${pairAnchor(a, b)}`, 'data-verdict')).toBe(verdict)
      }
      for (const { id, use } of run.report.runs) {
        expect(await page.locator(`[id="${driveAnchor(id)}"] .use`).getAttribute('class')).toBe(`use ${use.as}`)
        expect(await page.textContent(`[id="${driveAnchor(id)}"] .reason`)).toBe(use.reason)
      }
      expect(await page.locator('.answer .at-other-margin').isVisible()).toBe(true)
      const cards = page.locator('.claim-card')
      expect(await cards.count()).toBe(sample.report.claims.length)
      for (const card of await cards.all()) {
        await card.evaluate((details) => details.setAttribute('open', ''))
        const line = card.locator('.at-other-margin')
        expect(await line.isVisible()).toBe(true)
        expect(await line.textContent()).toContain(`the report’s own margin, ± ${sample.report.settings.margin_pct} %`)
        await card.evaluate((details) => details.removeAttribute('open'))
      }
      await fresh.page.context().close()
    },
  )

  it('of more drives than have cells of their own turns the blocks of the matrix, the groups and the sentences too', async () => {
    const at = (marginPct: number): string => {
      const [report, along] = manyRuns(sample.report, sample.along, 44, 44 * 43)
      const scoresAt = (_: unknown, margins: readonly number[]): number[] => margins.map((m) => Math.min(100, 10 * m))
      const pairs = report.pairs.map((one) => ({
        ...one,
        score: one.score === null ? null : scoresAt(one, [marginPct])[0],
      }))
      return htmlPage(reportAtMargin({ ...report, pairs }, marginPct), along, { scoresAt })
    }
    const { page } = await reader.open(at(2))
    expect(await page.locator('.blocks [data-cell]').count()).toBeGreaterThan(1)
    for (const margin of [0.7, 3.6]) {
      await turnTo(margin, page)
      const fresh = await reader.open(at(margin))
      expect(await said(page)).toEqual(await said(fresh.page))
      await fresh.page.context().close()
    }
    await page.context().close()
  })

  it('goes back to the margin of the report, where nothing is said that the report does not say', async () => {
    await opened.page.click('#pairs-own-margin')
    const fresh = await reader.open(pageText(sample))
    expect(await said()).toEqual(await said(fresh.page))
    expect(await shown()).toEqual(await shown(fresh.page))
    expect(await opened.page.locator('.at-other-margin:visible').count()).toBe(0)
    await fresh.page.context().close()
  })
})

describe('what a reader chose', () => {
  it('stands in the address and survives a reload', async () => {
    const { page } = opened
    await turnTo(3)
    await page.locator('th[data-sort="score"] button').click()
    await page.locator('th[data-sort="score"] button').click()
    await page.locator('#pairs-reference').focus()
    const reference = sample.report.runs[3].id
    await page.selectOption('#pairs-reference', reference)
    await page.check('#pairs-across')
    const before = await shown()
    const order = Object.keys(before)
    const hidden = () => page.$$eval('table.pairs > tbody', (all) => all.map((body) => (body as HTMLElement).hidden))
    const filtered = await hidden()
    expect(filtered.filter((no) => !no).length).toBeGreaterThan(0)
    expect(new URL(page.url()).searchParams.get('margin')).toBe('3')
    await page.reload()
    expect(await shown()).toEqual(before)
    expect(Object.keys(await shown())).toEqual(order)
    expect(await hidden()).toEqual(filtered)
    expect(await page.inputValue('#pairs-reference')).toBe(reference)
    expect(await page.isChecked('#pairs-across')).toBe(true)
    expect(await page.getAttribute('th[data-sort="score"]', 'aria-sort')).toBe('descending')
    expect(await page.locator(`.grid tr.chosen[data-run="${reference}"]`).count()).toBe(1)
    // In the list of drives each other one is told how it compares with the reference, in the matrix other pairs step back.
    const told = page.locator('.drive-list .with-reference')
    expect(await told.count()).toBe(sample.report.runs.length - 1)
    const first = sample.report.runs[0].id
    const pair = sample.report.pairs.find(({ a, b }) => [a, b].includes(first) && [a, b].includes(reference))!
    const verdict = await page.textContent(`#${pairAnchor(pair.a, pair.b)} .verdict`)
    const size = Math.abs(meanOf(pair)).toFixed(1)
    expect(await told.first().textContent()).toBe(` ${verdict}, ${size} % apart from 4`)
    // So do pairs of one setup: only those of different setups are asked for.
    const setupOf = new Map(sample.report.runs.map(({ id, setup }) => [id, setup]))
    const fitting = sample.report.pairs.filter(
      ({ a, b }) => [a, b].includes(reference) && setupOf.get(a) !== setupOf.get(b),
    )
    expect(fitting.length).toBeLessThan(sample.report.runs.length - 1)
    expect(await page.locator('.grid .aside').count()).toBe(sample.report.pairs.length - fitting.length)
    expect(await accessibilityProblems(page)).toEqual([])
  })

  it('saves a figure as SVG that stands alone, and as PNG of twice its dots', async () => {
    const { page } = opened
    await page.locator('#figure-choice').focus()
    const map = await page.$$eval('#figure-choice option', (all) =>
      all.findIndex((option) => option.textContent?.includes('Map of the road')),
    )
    await page.selectOption('#figure-choice', String(map))
    const fileOf = async (button: string): Promise<Buffer> => {
      const [download] = await Promise.all([page.waitForEvent('download'), page.click(button)])
      return readFileSync(await download.path())
    }
    const svg = (await fileOf('#figure-svg')).toString()
    expect(svg).not.toMatch(/var\(|class=|href="(?!#)/)
    // A browser shows the file as it is, with the road in it.
    const { page: alone } = await reader.open(`<!doctype html><title>figure</title>${svg}`)
    expect(await alone.locator('svg path').count()).toBeGreaterThan(5)
    const { width } = (await alone.locator('svg').first().boundingBox())!
    const png = await fileOf('#figure-png')
    // PNG, 11.2.2: the signature, then IHDR with the width as four bytes.
    expect(png.subarray(1, 4).toString()).toBe('PNG')
    expect(png.readUInt32BE(16)).toBe(2 * Math.round(width))
    await alone.context().close()
    // A fill that names a hatching takes the hatching along.
    const bar = await page.$$eval('svg[role="img"]:not(.glyph, .pair-road svg, .card-drawing)', (all) =>
      all.findIndex((figure) =>
        [...figure.querySelectorAll('*')].some((part) => getComputedStyle(part).fill.startsWith('url(')),
      ),
    )
    expect(bar).toBeGreaterThanOrEqual(0)
    await page.selectOption('#figure-choice', String(bar))
    const hatched = (await fileOf('#figure-svg')).toString()
    const named = [...hatched.matchAll(/url\((?:&quot;|["'])?#([\w-]+)/g)].map(([, id]) => id)
    expect(named.length).toBeGreaterThan(0)
    for (const id of named) expect(hatched).toMatch(new RegExp(`<pattern[^>]* id="${id}"`))
  })

  it('copies a table as it is shown: captions, units, figures that a spreadsheet reads, filtered and sorted', async () => {
    const fresh = await reader.open(pageText(sample), { permissions: ['clipboard-read', 'clipboard-write'] })
    const { page } = fresh
    const { runs, pairs, claims } = sample.report
    const copied = async (name: string): Promise<string[][]> => {
      const button = page.getByRole('button', { name: `Copy the table “${name}”`, exact: true })
      await button.click()
      await button.locator('xpath=following-sibling::*[text()="Copied."]').waitFor()
      const text = await page.evaluate(() => navigator.clipboard.readText())
      return text
        .trimEnd()
        .split('\n')
        .map((line) => line.split('\t'))
    }
    const drives = await copied('Drives and how each is used')
    expect(drives[1].slice(0, 3)).toEqual(['Drive', 'Setup', 'Start'])
    expect(drives.slice(2).map(([, setup]) => setup)).toEqual(runs.map(({ setup }) => setup))

    const [, head, ...bySetup] = await copied('Claims by setup')
    const at = head.indexOf('Consumption, corrected to equal conditions')
    expect(head.slice(at + 1, at + 3)).toEqual(
      ['low', 'high'].map((end) => `Consumption, corrected to equal conditions, 95 % interval, ${end}`),
    )
    claims.forEach(({ adjusted_consumption_change_pct: change, verdict }, i) => {
      // A number as ECMAScript reads it, to the one decimal that is shown.
      expect(Math.abs(Number(bySetup[i][at]) - change!.estimate)).toBeLessThanOrEqual(0.0501)
      expect(Math.abs(Number(bySetup[i][at + 1]) - change!.low95)).toBeLessThanOrEqual(0.101)
      expect(Math.abs(Number(bySetup[i][at + 2]) - change!.high95)).toBeLessThanOrEqual(0.101)
      expect(bySetup[i].at(-1)).toBe(verdict)
    })

    const [, quantities, ...drivesMet] = await copied('Conditions: Drive')
    const speed = quantities.findIndex((quantity) => quantity.startsWith('Highest speed'))
    expect(quantities[speed]).toContain('km/h')
    expect(drivesMet.length).toBe(runs.length)
    drivesMet.forEach((row, i) => {
      expect(Math.abs(Number(row[speed]) - 3.6 * runs[i].max_speed_mps!)).toBeLessThanOrEqual(0.501)
    })

    await page.selectOption('#pairs-verdict', 'comparable')
    await page.locator('th[data-sort="mean"] button').click()
    const [, pairHead, ...rows] = await copied('Pairs')
    expect(pairHead).not.toContain('Plot')
    expect(pairHead.at(-1)).toBe('Reason')
    const wanted = pairs.filter(({ verdict }) => verdict === 'comparable').sort((a, b) => meanOf(a) - meanOf(b))
    expect(wanted.length).toBeGreaterThan(1)
    expect(rows.map((row) => row.length)).toEqual(wanted.map(() => pairHead.length))
    const mean = pairHead.indexOf('Difference, %')
    rows.forEach((row, i) => {
      expect(row[0]).toContain(wanted[i].b)
      expect(Math.abs(Number(row[mean]) - meanOf(wanted[i]))).toBeLessThanOrEqual(0.0501)
      // The sign of what is more is kept.
      if (meanOf(wanted[i]) > 0.05) expect(row[mean]).toMatch(/^\+/)
      expect(Number(row[pairHead.indexOf('90 % interval, high')])).toBeGreaterThan(meanOf(wanted[i]))
    })
    expect(await accessibilityProblems(page)).toEqual([])
    expect(fresh.complaints).toEqual([])
    await page.context().close()
  })

  it('is led from each claim to the files of its cards, and to none where there are none', async () => {
    const made = await cardFiles(sample.report, 'some')
    const written = [...Object.keys(made.files), ...Object.keys(await made.pictures)]
    expect(made.paths.toSorted()).toEqual(written.toSorted())
    const { page } = await reader.open(pageText(sample, undefined, undefined, made.paths))
    for (const [i, { setup }] of sample.report.claims.entries()) {
      const links = page.locator(`#claim-${i + 1} a[href^="cards/"]`)
      const paths = await links.evaluateAll((all) => all.map((link) => link.getAttribute('href') ?? ''))
      expect(paths.length).toBe(4)
      // Another claim's card, or one that is not written, would be a wrong link.
      for (const path of paths) {
        expect(written).toContain(path)
        expect(path).toMatch(new RegExp(`^cards/claim-${setup}-.*\\.(svg|png)$`))
      }
      expect(await links.first().isVisible()).toBe(true)
    }
    // The card itself is shown where it is asked for, by keyboard too, whole and with the claim's figure on it.
    await page.setViewportSize({ width: 360, height: 740 })
    for (const [i, { adjusted_consumption_change_pct: change }] of sample.report.claims.entries()) {
      await page.locator(`#claim-${i + 1} .claim-card summary`).press('Enter')
      const card = page.locator(`#claim-${i + 1} .claim-card svg`)
      const { x, width } = (await card.boundingBox())!
      expect([x >= 0, x + width <= 360]).toEqual([true, true])
      expect(await card.textContent()).toContain(Math.abs(change!.estimate).toFixed(1))
      const sizes = await card.locator('text').evaluateAll((all) => all.map((text) => getComputedStyle(text).fontSize))
      expect(new Set(sizes).size).toBeGreaterThan(3)
    }
    expect(await accessibilityProblems(page)).toEqual([])
    await page.context().close()
    expect(await opened.page.locator('a[href^="cards/"]').count()).toBe(0)
  })

  it('has neither complained nor asked for anything', () => {
    expect(opened.complaints).toEqual([])
    expect(opened.requests).toEqual([])
  })
})
