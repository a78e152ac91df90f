import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { CampaignResult } from '../../src/campaign/campaign-result.ts'
import { writeReport } from '../../src/files/write.ts'
import { reportJson } from '../../src/report/json.ts'
import { linkTo, pairAnchor } from '../../src/report/page/anchors.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { startWatchServer } from '../../src/watch/watch-server.ts'
import { type Opened, type Reader, startReader } from './browser.ts'
import { partOfSample } from './page-samples.ts'

/** The first two drives of the sample. */
const PAIR = pairAnchor('2026-04-14-a-ladders', '2026-04-14-b-ladders')
let reader: Reader
let sample: CampaignResult
let opened: Opened

beforeAll(async () => {
  sample = await partOfSample()
  reader = await startReader()
  opened = await reader.open(htmlPage(sample.report, sample.along), {
    permissions: ['clipboard-read', 'clipboard-write'],
  })
})
afterAll(() => reader.close())

const scores = (): Promise<string[]> => opened.page.$$eval('.pairs > tbody', (all) => all.map((b) => b.dataset.score!))
const shownPairs = (): Promise<number> => opened.page.$$eval('.pairs > tbody:not([hidden])', (all) => all.length)

describe('reading the page', () => {
  it('sorts the pairs by a click and back by the keyboard, what is not known last', async () => {
    const { page } = opened
    const button = page.locator('th[data-sort="score"] button')
    await button.click()
    const known = sample.report.pairs
      .flatMap(({ score }) => (score === null ? [] : Number(score.toPrecision(6))))
      .sort((a, b) => a - b)
    expect((await scores()).filter((text) => text !== '').map(Number)).toEqual(known)
    expect(await page.getAttribute('th[data-sort="score"]', 'aria-sort')).toBe('ascending')
    await button.press('Enter')
    expect((await scores()).filter((text) => text !== '').map(Number)).toEqual(known.toReversed())
    expect(await page.getAttribute('th[data-sort="score"]', 'aria-sort')).toBe('descending')
  })

  it('filters the pairs by verdict, by words and by setups, and says how many are shown', async () => {
    const { page } = opened
    const { pairs, runs } = sample.report
    const setup = new Map(runs.map((run) => [run.id, run.setup]))
    await page.selectOption('#pairs-verdict', 'adjustable')
    expect(await shownPairs()).toBe(pairs.filter(({ verdict }) => verdict === 'adjustable').length)
    await page.selectOption('#pairs-verdict', '')
    await page.check('#pairs-across')
    const across = pairs.filter(({ a, b }) => setup.get(a) !== setup.get(b)).length
    expect(await shownPairs()).toBe(across)
    expect(await page.textContent('.pairs-count')).toBe(`${across} of ${pairs.length} pairs shown`)
    await page.uncheck('#pairs-across')
    await page.fill('#pairs-search', '04-16')
    expect(await shownPairs()).toBe(runs.length - 1)
    expect(await page.locator('.grid td.cell:not(.aside)').count()).toBe(runs.length - 1)
    const grounds = await page.$$eval('.grid td.cell.aside', (all) =>
      all.map((cell) => getComputedStyle(cell).background),
    )
    expect(grounds.filter((ground) => /gradient|color\(/.test(ground))).toEqual([])
    await page.fill('#pairs-search', 'no such drive')
    expect(await page.textContent('.pairs-count')).toBe('No pair fits this filter')
    expect(await page.locator('.matrix:visible, table.pairs:visible').count()).toBe(0)
    await page.fill('#pairs-search', '')
    expect(await page.locator('.grid td.aside').count()).toBe(0)
    expect(await page.locator('table.pairs:visible').count()).toBe(1)
  })

  it('opens what a pair is made of from the matrix, whose address does not hang on the other drives', async () => {
    const { page } = opened
    const [first] = sample.report.pairs
    await page.locator(`.grid a[href="${linkTo(PAIR)}"]`).click()
    const details = page.locator(`#${PAIR} details`)
    await page.locator(`#${PAIR} details[open]`).waitFor()
    // What opens must not push the table beyond the sheet.
    const width = (selector: string) =>
      page
        .locator(selector)
        .first()
        .evaluate((e) => e.getBoundingClientRect().width)
    expect(await width('table.pairs')).toBeLessThanOrEqual((await width('main')) + 0.5)
    const text = (await details.textContent())!
    expect(text).toContain(first.reason)
    for (const word of ['air density', 'wind', 'tyre temperature', 'headwind', 'together']) expect(text).toContain(word)
    expect(text).toContain('Difference summed up from the start')
    // Both drives' lines are drawn once more from those of the road.
    expect(await width(`#${PAIR} .pair-road use`)).toBeGreaterThan(300)
  })

  it('has the matrix as one tab stop, walked by arrow keys over pairs alone', async () => {
    const { page } = opened
    expect(await page.locator('.grid [tabindex="0"]').count()).toBe(1)
    const cells = page.locator('.grid [data-cell]')
    const place = () =>
      page.evaluate(() => {
        const cell = document.activeElement?.closest<HTMLTableCellElement>('[data-cell]')
        return cell ? [(cell.parentElement as HTMLTableRowElement).rowIndex, cell.cellIndex] : null
      })
    expect(await cells.count()).toBe(sample.report.pairs.length)
    await page.locator('.grid [tabindex="0"]').focus()
    const [row, column] = (await place())!
    await page.keyboard.press('ArrowUp')
    expect(await place()).toEqual([row, column])
    await page.keyboard.press('ArrowDown')
    const [below, same] = (await place())!
    expect(below).toBeGreaterThan(row)
    expect(same).toBe(column)
    await page.keyboard.press('ArrowRight')
    expect(await place()).toEqual([below, column + 1])
    await page.keyboard.press('Home')
    expect(await place()).toEqual([below, 1])
    expect(await page.locator('.grid [tabindex="0"]').count()).toBe(1)
    expect(await page.textContent('.matrix-reading')).toMatch(/^\d against \d: .*%$/)
    await page.keyboard.press('Enter')
    expect(page.url()).toMatch(/#pair-/)
  })

  it('draws the drives that are chosen, by keyboard too', async () => {
    const { page } = opened
    const line = page.locator('.strips .line.run0').first()
    const pick = page.locator('.pick0')
    expect(await line.isVisible()).toBe(true)
    await pick.press('Space')
    await line.waitFor({ state: 'hidden' })
    expect(await page.locator('figure.run0').isVisible()).toBe(false)
    await pick.press('Space')
    await line.waitFor({ state: 'visible' })
  })

  it('reads the values at a place from a slider and from the pointer, and shows the place on the map', async () => {
    const { page } = opened
    const slider = page.locator('input[type="range"]')
    await slider.focus()
    for (let i = 0; i < 30; i++) await page.keyboard.press('ArrowRight')
    const [run] = sample.along.runs
    const cell = await page.$$eval('.reading tbody tr:first-child td', (cells) => cells.map((c) => c.textContent))
    // A tenth of a pixel of the drawing is less than 1 km/h.
    expect(Math.abs(Number(cell[0]) - 3.6 * run.strips.speedMps[30])).toBeLessThan(1)
    expect(await slider.getAttribute('aria-valuetext')).toMatch(/^\d+\.\d km; Speed, km\/h \d+/)
    const before = await page.locator('.map circle.cursor').first().getAttribute('cx')
    await page
      .locator('.strips svg.strip')
      .nth(2)
      .hover({ position: { x: 500, y: 40 } })
    expect(Number(await slider.inputValue())).toBeGreaterThan(100)
    expect(await page.locator('.map circle.cursor').first().getAttribute('cx')).not.toBe(before)
    // Pointing at the start on a map goes back to the first place.
    await page.locator('.map circle.start').first().hover({ force: true })
    expect(await slider.inputValue()).toBe('0')
  })

  it('copies the statement', async () => {
    const { page } = opened
    await page.locator('button[data-copy]').first().press('Enter')
    await page.locator('.copied', { hasText: 'Copied.' }).first().waitFor()
    expect(await page.evaluate(() => navigator.clipboard.readText())).toBe(sample.report.claims[0].statement)
  })

  it('shows other units everywhere and remembers them', async () => {
    const { page } = opened
    const speed = page.locator('.conditions tr', { hasText: 'Highest speed' }).first()
    expect(await speed.locator('.unit').textContent()).toBe('km/h')
    await page.getByLabel('US', { exact: true }).check()
    expect(await speed.locator('.unit').textContent()).toBe('mph')
    const shown = Number(await speed.locator('td').first().textContent())
    // 1 mi/h = 0.44704 m/s.
    expect(shown).toBe(Math.round(sample.report.runs[0].max_speed_mps! / 0.44704))
    expect(await page.textContent('.strip-block [data-unit="speed"]')).toBe('mph')
    const ticks = await page.$$eval('svg[data-strip="speedMps"] .ticks text', (all) =>
      all.map((t) => Number(t.textContent)),
    )
    expect(Math.max(...ticks)).toBeLessThan(70)
    // Sentences and the labels of drawings follow: 1 mi = 1.609344 km, 1 lb = 0.45359237 kg.
    const km = /of (\d+) km each/.exec(sample.report.claims[0].statement)!
    await expect(page.textContent('#statement-1')).resolves.toContain(
      `of ${(Number(km[1]) / 1.609344).toFixed(0)} mi each`,
    )
    expect(await page.textContent('.steps')).not.toMatch(/\d kg|\d km/)
    expect(await page.textContent('.map-legend')).toMatch(/tailwind over 4\.5 mph.*wind at 10 m, this long at 11 mph/)
    const labels = await page.$$eval('svg[aria-label]', (all) => all.map((svg) => svg.getAttribute('aria-label')))
    expect(labels.filter((text) => /\d (m\/s|km\/h|km|°C)/.test(text!))).toEqual([])
    expect(labels.filter((text) => /Map of the road.* mph/.test(text!)).length).toBeGreaterThan(0)
    await page.locator('button[data-copy]').first().click()
    await page.locator('.copied', { hasText: 'Copied.' }).first().waitFor()
    expect(await page.evaluate(() => navigator.clipboard.readText())).toContain(' mph')
    await page.reload()
    expect(await page.getByLabel('US', { exact: true }).isChecked()).toBe(true)
    expect(await speed.locator('.unit').textContent()).toBe('mph')
    await page.getByLabel('SI', { exact: true }).check()
    expect(await page.textContent('#statement-1')).toBe(sample.report.claims[0].statement)
    expect(await speed.locator('td').first().textContent()).toBe(
      (3.6 * sample.report.runs[0].max_speed_mps!).toFixed(0),
    )
  })

  it('shows all times on the clock of the drives or in UTC, says which, and keeps the choice in the address', async () => {
    const { page } = opened
    const [{ start_time }] = sample.report.runs
    // Spain has central European summer time in April: two hours ahead of UTC (IANA time zone database, Europe/Madrid).
    const local = new Date(Date.parse(start_time) + 2 * 3_600_000).toISOString()
    const text = (instant: string): string => instant.slice(0, 16).replace('T', ' ')
    const times = () =>
      page.$$eval('.drive-list tbody tr:first-child .when, .along .against, .run-figure figcaption > .against', (all) =>
        all.map(({ textContent }) => textContent),
      )
    const hours = () =>
      page.$$eval('.weather text[data-clock]', (all) => all.map((t) => Number(t.textContent!.slice(0, 2))))
    const caption = page.locator('.drive-list caption')
    expect((await times())[0]).toBe(text(local))
    expect((await times()).at(-1)).toMatch(/ Europe\/Madrid$/)
    expect(await caption.textContent()).toContain('start in Europe/Madrid')
    const localHours = await hours()
    await page.getByRole('radio', { name: 'UTC', exact: true }).press('Space')
    expect((await times())[0]).toBe(text(start_time))
    expect((await times()).at(-1)).toMatch(/ UTC$/)
    expect(await caption.textContent()).toContain('start in UTC')
    expect(await hours()).toEqual(localHours.map((hour) => (hour + 22) % 24))
    expect(await page.locator('[data-clock-name]', { hasText: 'Madrid' }).count()).toBe(0)
    expect(new URL(page.url()).searchParams.get('clock')).toBe('utc')
    await page.reload()
    expect((await times())[0]).toBe(text(start_time))
    await page.getByRole('radio', { name: 'Europe/Madrid' }).check()
    expect((await times())[0]).toBe(text(local))
    expect(new URL(page.url()).searchParams.get('clock')).toBe(null)
  })

  it('has neither complained nor asked for anything', () => {
    expect(opened.complaints).toEqual([])
    expect(opened.requests).toEqual([])
  })
})

describe('without script', () => {
  it('all is there to be read, runs can be chosen and reasons opened; what needs script is not shown', async () => {
    const { page } = await reader.open(htmlPage(sample.report, sample.along), { javaScriptEnabled: false })
    for (const what of ['.units', '.controls', 'button', '.reader']) {
      expect(await page.locator(what).first().isVisible()).toBe(false)
    }
    expect(await page.textContent('.drive-list caption')).toContain('start in Europe/Madrid')
    await page.locator('.pick0').press('Space')
    expect(await page.locator('.strips .line.run0').first().isVisible()).toBe(false)
    await page.locator('.pairs summary').first().press('Enter')
    expect(await page.locator('.pairs .shares').first().isVisible()).toBe(true)
    for (const claim of sample.report.claims) expect(await page.getByText(claim.statement).isVisible()).toBe(true)
    await page.context().close()
  })
})

describe('a choice made while the page still loads', () => {
  it('of units holds once the script is there', async () => {
    // The switch is turned by a script that stands before the page's own, as a quick reader would.
    const early = '<script>document.querySelector(\'input[name="units"][value="us"]\').checked = true</script>'
    const whole = htmlPage(sample.report, sample.along).replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, '')
    const at = whole.lastIndexOf('<script')
    const { page } = await reader.open(whole.slice(0, at) + early + whole.slice(at))
    expect(await page.locator('.conditions .unit', { hasText: 'mph' }).count()).toBeGreaterThan(0)
    await page.context().close()
  })
})

describe('framed', () => {
  /** Turns units and copies in the page's frame, as a reader would. */
  async function use({ page }: Opened): Promise<void> {
    const frame = page.frameLocator('iframe')
    await frame.getByLabel('US', { exact: true }).check()
    await frame.locator('.conditions .unit', { hasText: 'mph' }).first().waitFor()
    await frame.locator('th[data-sort="score"] button').click()
    expect(await frame.locator('th[data-sort="score"]').getAttribute('aria-sort')).toBe('ascending')
    await frame.locator('button[data-copy]').first().click()
    await frame
      .locator('.copied', { hasText: /^(Copied|Not copied)/ })
      .first()
      .waitFor()
  }

  it('without an origin of its own, where storage and clipboard are refused, it works', async () => {
    const page = htmlPage(sample.report, sample.along).replaceAll('&', '&amp;').replaceAll('"', '&quot;')
    const framed = await reader.open(
      `<!doctype html><title>frame</title><iframe width="1100" height="800" sandbox="allow-scripts" srcdoc="${page}">`,
    )
    await use(framed)
    // The browser itself remarks that it refused the clipboard.
    expect(framed.complaints.filter((text) => !text.includes('The Clipboard API has been blocked'))).toEqual([])
    await framed.page.context().close()
  })

  it('as `ceteris watch` shows it, it works and asks for nothing else', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'ceteris-framed-'))
    const report = join(folder, 'report')
    const page = htmlPage(sample.report, sample.along)
    await writeReport(report, { 'report.json': reportJson(sample.report), 'index.html': page }, [])
    const server = await startWatchServer(report, 0)
    try {
      const framed = await reader.visit(server.address)
      await use(framed)
      expect(framed.complaints).toEqual([])
      expect(framed.requests).toEqual([])
      expect(await framed.page.textContent('.state')).toBe('This report changes here as files arrive.')
      await server.close()
      await framed.page.locator('.state.ended').waitFor()
      expect(await framed.page.textContent('.state')).toContain('no longer kept up to date')
      await framed.page.context().close()
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})
