import { readFileSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { inputFile } from '../campaign/folder.ts'
import { ROOT, shortCampaign } from '../cli/command.ts'
import { reportByCommand, startVisitor, type UserPage, type Visitor } from './user-page.ts'

let visitor: Visitor
beforeAll(async () => {
  visitor = await startVisitor()
})
afterAll(() => visitor.close())

/**
 * Drags files and folders of the disk onto the page, as a file manager does.
 * @source Chrome DevTools Protocol, Input.dispatchDragEvent
 */
async function drop(page: Page, ...paths: string[]): Promise<void> {
  const session = await page.context().newCDPSession(page)
  const { x, y, width, height } = (await page.locator('.drop').boundingBox())!
  const data = { items: [], files: paths, dragOperationsMask: 1 }
  const drag = (type: 'dragEnter' | 'dragOver' | 'drop') =>
    session.send('Input.dispatchDragEvent', { type, x: x + width / 2, y: y + height - 10, data })
  await drag('dragEnter')
  await drag('dragOver')
  await page.locator('.drop.over').waitFor()
  await drag('drop')
  expect(await page.locator('.drop.over').count()).toBe(0)
  await session.detach()
}

const listedIn = ({ page }: UserPage): Promise<number> => page.locator('.files > li').count()
const reportOf = async (user: UserPage): Promise<string> => {
  await user.atRest()
  return (await user.saved('Save report.json')).toString()
}

/** Not every browser gives handles of what was dropped. */
const withoutHandles = (user: UserPage): Promise<void> =>
  user.page.evaluate(() => {
    delete (DataTransferItem.prototype as { getAsFileSystemHandle?: unknown }).getAsFileSystemHandle
  })

const quiet = ({ complaints, requests }: UserPage): void => {
  expect(complaints).toEqual([])
  expect(requests()).toEqual([])
}

describe('dropped on the page as it is opened from disk', () => {
  it('files are added to those that are there, and the report is that of the command line', async () => {
    const folder = visitor.folder('flat', [])
    shortCampaign(folder)
    const [tracks, others] = [
      ['tracks/monday.gpx', 'tracks/tuesday.gpx'],
      ['weather/station.csv', 'runs.csv', 'campaign.yaml'],
    ].map((paths) =>
      paths.map((path) => ({ path: path.replace(/^.*\//, ''), bytes: readFileSync(join(folder, path)) })),
    )
    const flat = visitor.folder('loose', [...tracks, ...others])
    const user = await visitor.visit()
    await drop(user.page, ...tracks.map(({ path }) => join(flat, path)))
    await user.atRest()
    expect(await listedIn(user)).toBe(2)
    await drop(user.page, ...others.map(({ path }) => join(flat, path)))
    const report = JSON.parse(await reportOf(user))
    const wanted = JSON.parse(reportByCommand(flat))
    // Loose files have no folder whose name were a title.
    expect({ ...report, title: '' }).toEqual({ ...wanted, title: '' })
    quiet(user)
  })

  it('a folder is read as the command line reads it, and takes the place of what was there', async () => {
    const folder = shortCampaign(
      visitor.folder('dropped', [inputFile('.hidden.gpx', 'x'), inputFile('deep/er/a.txt', 'x')]),
    )
    const byCommand = reportByCommand(folder)
    const user = await visitor.visit()
    await drop(user.page, join(folder, 'tracks/monday.gpx'))
    await user.atRest()
    await drop(user.page, folder)
    expect(await reportOf(user)).toBe(byCommand)
    quiet(user)
  })

  it('a folder that the browser does not let the page read is told of', async () => {
    const folder = shortCampaign(visitor.folder('refused', []))
    const user = await visitor.visit()
    await withoutHandles(user)
    await drop(user.page, folder)
    await user.page.getByText(/What was dropped cannot be read: .* Use "Choose files" or "Choose a folder"\./).waitFor()
    quiet(user)
  })
})

it('dropped on the page where it is served, in a browser without handles, a folder of many files is read whole', async () => {
  const text = readFileSync(join(ROOT, 'dist/ceteris.html'))
  const server = createServer((_, answer) => answer.setHeader('content-type', 'text/html').end(text))
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  // A hundred entries of a folder are given at a time.
  const notes = Array.from({ length: 130 }, (_, i) => inputFile(`notes/note-${i}.txt`, `note ${i}`))
  const folder = shortCampaign(visitor.folder('many', notes))
  const byCommand = reportByCommand(folder)
  const user = await visitor.visit(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`)
  await withoutHandles(user)
  await drop(user.page, folder)
  expect(await reportOf(user)).toBe(byCommand)
  await user.open('Files')
  expect(await listedIn(user)).toBe(5 + notes.length)
  quiet(user)
  server.close()
})
