import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { DEFAULTS, folderFiles } from '../campaign/folder.ts'
import { accessibilityProblems, type Reader, startReader } from './browser.ts'
import { firstScreens } from './first-screen-cases.ts'
import { layoutFaults } from './layout.ts'
import { daysResult, manyRuns, sampleResult } from './page-samples.ts'

// Every case in every width and manner, as the issue on the page lists them: `npm run test:page-grid`, some minutes.
// Of this `npm test` tries a part, in first-screen.test.ts and page-browser.test.ts.

const WIDTHS = [360, 768, 1100, 1600]

const CASES = [
  ...['sample', 'one claim that rests on one drive', 'a drift as large as the change', 'without weather'],
  ...['without fuel', 'one drive', 'empty', 'long names'],
  ...['sample as it comes', 'divided days', 'real drives', '100 drives', '1000 drives', '10000 drives'],
]
const chosen = process.env.CETERIS_PAGES?.split(',')

let reader: Reader
const pages = new Map<string, string>()

beforeAll(async () => {
  reader = await startReader()
  for (const [name, markup] of await firstScreens()) pages.set(name, markup)
  const page = ({ report, along, scoresAt }: Awaited<ReturnType<typeof sampleResult>>): string =>
    htmlPage(report, along, { scoresAt, files: ['runs.csv', 'pairs.csv', 'claims.csv'] })
  const folder = async (path: string): Promise<string> =>
    page(
      await runCampaign({
        files: folderFiles(path),
        unreadable: [],
        settings: { ...DEFAULTS, draws: 60 },
        version: 'test',
      }),
    )
  const sample = await sampleResult()
  pages.set('sample', page(sample))
  pages.set('sample as it comes', await folder('samples/ladder-van-rough'))
  pages.set('divided days', page(await daysResult()))
  pages.set('real drives', await folder('test/data/mobilitynet/gpx'))
  pages.set('1000 drives', htmlPage(...manyRuns(sample.report, sample.along, 1000, 2000)))
  pages.set('10000 drives', htmlPage(...manyRuns(sample.report, sample.along, 10_000, 10_000)))
})
afterAll(() => reader.close())

describe.each(chosen ?? CASES)('%s', (name) => {
  it('at every width, in every manner, nothing is cut, lies over another, or is asked for', async () => {
    const faults: string[] = []
    const look = async (manner: string, options: Parameters<Reader['open']>[1], printed = false): Promise<void> => {
      const { page, complaints, requests } = await reader.open(pages.get(name)!, options)
      if (printed) await page.emulateMedia({ media: 'print' })
      for (const fault of [...(await layoutFaults(page)), ...complaints, ...requests])
        faults.push(`${manner}: ${fault}`)
      await page.context().close()
    }
    for (const width of WIDTHS) await look(`${width} px`, { viewport: { width, height: 900 } })
    // At 200 % a window has half as many CSS pixels, each twice as large.
    for (const width of [640, 800])
      await look(`${2 * width} px at 200 %`, { viewport: { width, height: 450 }, deviceScaleFactor: 2 })
    await look('without script, 360 px', { javaScriptEnabled: false, viewport: { width: 360, height: 740 } })
    await look('without script, 1100 px', { javaScriptEnabled: false, viewport: { width: 1100, height: 900 } })
    // A4 and letter less 13 mm on either side, at 96 px an inch.
    for (const width of [695, 717]) await look(`printed, ${width} px`, { viewport: { width, height: 1000 } }, true)
    expect(faults).toEqual([])
  })

  it('is accessible in light, dark and forced colours', async () => {
    const faults: string[] = []
    for (const colorScheme of ['light', 'dark'] as const) {
      const { page } = await reader.open(pages.get(name)!, { colorScheme })
      const look = async (manner: string): Promise<void> => {
        for (const fault of await accessibilityProblems(page)) faults.push(`${manner}: ${fault}`)
      }
      await look(colorScheme)
      await page.emulateMedia({ forcedColors: 'active' })
      await look(`${colorScheme}, forced colours`)
      await page.context().close()
    }
    expect(faults).toEqual([])
  })

  it('is walked through by the tab key alone: each stop is seen, is marked, and the walk ends', async () => {
    const { page } = await reader.open(pages.get(name)!, { viewport: { width: 1100, height: 900 } })
    const faults: string[] = []
    let stops = 0
    for (; stops < 1500; stops++) {
      await page.keyboard.press('Tab')
      const at = await page.evaluate(() => {
        const element = document.activeElement
        if (!element || element === document.body) return null
        const { left, top, width, height } = element.getBoundingClientRect()
        const { outlineStyle, outlineWidth } = getComputedStyle(element)
        const name = `${element.tagName} ${element.id} ${(element.textContent ?? '').slice(0, 30)}`
        const isOnScreen = width > 0 && height > 0 && top < innerHeight && top + height > 0 && left < innerWidth
        return { name, isOnScreen, isMarked: outlineStyle !== 'none' && Number.parseFloat(outlineWidth) > 0 }
      })
      if (at === null) break
      if (!at.isOnScreen) faults.push(`not seen: ${at.name}`)
      if (!at.isMarked) faults.push(`not marked: ${at.name}`)
    }
    expect(stops).toBeLessThan(1500)
    expect([...new Set(faults)]).toEqual([])
    await page.context().close()
  })
})
