import { readFileSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { inputFile } from '../campaign/folder.ts'
import { ROOT, shortCampaign, straightTrack } from '../cli/command.ts'
import { accessibilityProblems, sidewaysPx } from '../report/browser.ts'
import { startVisitor, type UserPage, type Visitor } from './user-page.ts'

let visitor: Visitor
beforeAll(async () => {
  visitor = await startVisitor()
})
afterAll(() => visitor.close())

const VIEWS = ['Files', 'Drives', 'Fuel', 'Vehicle', 'Save'] as const

async function withShortCampaign(): Promise<UserPage> {
  const user = await visitor.visit()
  const folder = shortCampaign(visitor.folder('short', []))
  await user.page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  return user
}

/** Buttons and fields that are smaller than 44 px, the size that WCAG 2.2, 2.5.5 (AAA) asks for, in one direction. */
const smallTargets = (user: UserPage): Promise<string[]> =>
  user.page.evaluate(() =>
    [...document.querySelectorAll('button, .button, input:not(.hidden), select, textarea, summary')]
      .filter((target) => target.checkVisibility() && !target.closest('[aria-hidden=true]'))
      .filter((target) => target.getBoundingClientRect().height < 44)
      .map((target) => target.outerHTML.slice(0, 120)),
  )

/** By how many px the page is higher than its window: its parts scroll on their own, below them there is nothing. */
const belowPx = (page: UserPage['page']): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollHeight - document.documentElement.clientHeight)

describe('a window 360 px wide', () => {
  it.each(['light', 'dark'] as const)(
    '%s: every part can be used by touch, and axe finds nothing',
    async (colorScheme) => {
      const user = await withShortCampaign()
      await user.page.setViewportSize({ width: 360, height: 740 })
      await user.page.emulateMedia({ colorScheme })
      for (const view of VIEWS) {
        await user.open(view)
        if (view === 'Drives') {
          await user.page.locator('.drive-button').first().click()
          await user.page.getByRole('button', { name: 'Split this drive …' }).click()
        }
        if (view === 'Vehicle') for (const one of await user.page.locator('summary').all()) await one.click()
        const beyond = { view, sideways: await sidewaysPx(user.page), below: await belowPx(user.page) }
        expect(beyond).toEqual({ view, sideways: 0, below: 0 })
        expect(await smallTargets(user)).toEqual([])
        expect(await accessibilityProblems(user.page)).toEqual([])
      }
      expect(user.complaints).toEqual([])
    },
  )
})

it('axe finds nothing at the begin, and on a wide window beside the report', async () => {
  const user = await visitor.visit()
  expect(await accessibilityProblems(user.page)).toEqual([])
  const filled = await withShortCampaign()
  expect(await accessibilityProblems(filled.page)).toEqual([])
})

it('the keyboard alone comes from the begin to a report and an edit', async () => {
  const user = await visitor.visit()
  const { page } = user
  const focused = () =>
    page.evaluate(() => {
      const { activeElement: at } = document
      return at?.closest('label')?.textContent?.trim() || at?.textContent || ''
    })
  const tabTo = async (label: RegExp, key = 'Tab'): Promise<void> => {
    for (let i = 0; i < 40 && !label.test(await focused()); i++) await page.keyboard.press(key)
    expect(await focused()).toMatch(label)
  }
  await tabTo(/^Try the sample campaign$/)
  await page.keyboard.press('Enter')
  await user.atRest()
  await tabTo(/^Drives$/, 'Shift+Tab')
  await page.keyboard.press('Enter')
  await tabTo(/^8 .*ladders/)
  await page.keyboard.press('Enter')
  await tabTo(/^Exclude this drive, because/)
  await page.keyboard.type('wet')
  await page.keyboard.press('Enter')
  await user.atRest()
  expect((await user.saved('Save runs.csv')).toString()).toMatch(/2026-04-23-ladders.gpx,.*,wet,"rain, spray/)
  expect(user.requests()).toEqual([])
})

it('names and texts that are markup stay text', async () => {
  const evil = '<img src=x onerror=document.title="hit">'
  const file = `${evil.replaceAll(/["/]/g, '')}.gpx`
  const user = await visitor.visit()
  const { page } = user
  const folder = visitor.folder('evil', [
    inputFile(file, straightTrack('2024-05-03T08:05:00Z')),
    inputFile(
      'runs.csv',
      `track,setup,fuel_l,note\n"${file}","${evil.replaceAll('"', '""')}",0.4,"</script><script>document.title='hit'</script>"\n`,
    ),
    inputFile('campaign.yaml', `title: '${evil}'\nsetups:\n  '${evil}': ['${evil}']\n`),
  ])
  await page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  for (const view of VIEWS) await user.open(view)
  expect(await page.locator('img').count()).toBe(0)
  expect(await page.title()).toBe('ceteris')
  expect(user.complaints).toEqual([])
})

it('what is being computed can be stopped, and begun again', async () => {
  const user = await visitor.visit()
  const { page } = user
  await page.getByRole('button', { name: 'Try the sample campaign' }).click()
  await page.getByRole('button', { name: 'Stop' }).click()
  await page.getByText('Stopped: what is shown is of before.').waitFor()
  await page.getByRole('button', { name: 'Compute' }).click()
  await user.atRest()
  expect(user.complaints).toEqual([])
})

describe('a folder that the browser may write to', () => {
  it('gets the report of the command line, and nothing is replaced but what was written', async () => {
    // The browser’s own private folder stands for one on the disk; it is there for served pages only.
    const text = readFileSync(join(ROOT, 'dist/ceteris.html'))
    const server = createServer((_, answer) => answer.setHeader('content-type', 'text/html').end(text))
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
    const user = await visitor.visit(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`)
    const { page } = user
    await page.addInitScript(() => {
      Object.assign(globalThis, { showDirectoryPicker: () => navigator.storage.getDirectory() })
      Object.assign(FileSystemDirectoryHandle.prototype, { requestPermission: async () => 'granted' })
    })
    await page.reload()
    await page.evaluate(
      async ([track]) => {
        const top = await (await navigator.storage.getDirectory()).getDirectoryHandle('tracks', { create: true })
        const file = await (await top.getFileHandle('a.gpx', { create: true })).createWritable()
        await file.write(track)
        await file.close()
      },
      [straightTrack('2024-05-03T08:05:00Z')],
    )
    await page.getByRole('button', { name: 'Open a folder to write to' }).click()
    await user.atRest()
    const write = async (): Promise<string> => {
      await user.open('Save')
      await page.getByRole('button', { name: /^Write the report into/ }).click()
      const notice = page.locator('.notice', { hasText: /written|lies in/ })
      await notice.waitFor()
      return (await notice.textContent()) ?? ''
    }
    const names = () =>
      page.evaluate(async () => {
        const report = await (await navigator.storage.getDirectory()).getDirectoryHandle('report')
        const all = report as unknown as { keys: () => AsyncIterable<string> }
        const found: string[] = []
        for await (const name of all.keys()) found.push(name)
        return found.sort()
      })
    const put = (name: string) =>
      page.evaluate(async (path) => {
        const report = await (await navigator.storage.getDirectory()).getDirectoryHandle('report')
        const file = await (await report.getFileHandle(path, { create: true })).createWritable()
        await file.write('mine')
        await file.close()
      }, name)
    expect(await write()).toMatch(/lies in .*report/)
    const first = await names()
    expect(first).toContain('.ceteris-report.json')
    expect(first).toContain('report.json')
    await put('notes.txt')
    expect(await write()).toMatch(/lies in/)
    expect(await names()).toEqual([...first, 'notes.txt'].sort())
    await put('index.html')
    expect(await write()).toContain('report/index.html is no longer as this program wrote it')
    server.close()
  })
})
