import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { unzipSync } from 'fflate'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { folderFiles, inputFile } from '../campaign/folder.ts'
import { ceteris, shortCampaign, straightTrack } from '../cli/command.ts'
import { exampleDay, WHOLE_DAY } from '../simulator/example-days.ts'
import { reportByCommand, startVisitor, type UserPage, type Visitor } from './user-page.ts'

let visitor: Visitor
beforeAll(async () => {
  visitor = await startVisitor()
})
afterAll(() => visitor.close())

/** Puts what the page saved into a folder: from there on the command line has the same files. */
async function saveTexts(user: UserPage, folder: string): Promise<void> {
  writeFileSync(join(folder, 'runs.csv'), await user.saved('Save runs.csv'))
  writeFileSync(join(folder, 'campaign.yaml'), await user.saved('Save campaign.yaml'))
}

const quiet = ({ complaints, requests }: UserPage): void => {
  expect(complaints).toEqual([])
  expect(requests()).toEqual([])
}

it('the sample by one click: the report of the command line, and the archive holds it whole', async () => {
  const user = await visitor.visit()
  await user.page.getByRole('button', { name: 'Try the sample campaign' }).click()
  await user.atRest()
  const folder = visitor.folder('ladder-van', folderFiles('samples/ladder-van'))
  const byCommand = reportByCommand(folder)
  expect((await user.saved('Save report.json')).toString()).toBe(byCommand)
  const onDisk = readFileSync(join(folder, 'report/index.html'), 'utf8')
  expect((await user.saved('Save report')).toString()).toBe(onDisk)
  const archive = unzipSync(await user.saved('Save everything'))
  expect(new TextDecoder().decode(archive['report/report.json'])).toBe(byCommand)
  expect(Buffer.from(archive['tracks/2026-04-14-a-ladders.gpx'])).toEqual(
    readFileSync(join(folder, 'tracks/2026-04-14-a-ladders.gpx')),
  )
  expect(Object.keys(unzipSync(await user.saved('Save the cards'))).filter((path) => /\.png$/.test(path))).not.toEqual(
    [],
  )
  quiet(user)
})

it('files chosen and edited: the command line gives the same report from what was saved, and edits are taken back', async () => {
  const flat = folderFiles('samples/ladder-van', (path) => !/04-(16|17|21|23)/.test(path)).map((file) => ({
    ...file,
    path: file.path.replace(/^.*\//, ''),
  }))
  const folder = visitor.folder('flat', flat)
  const user = await visitor.visit()
  const { page } = user
  await page.getByLabel('Choose files', { exact: true }).setInputFiles(flat.map(({ path }) => join(folder, path)))
  await user.atRest()
  const [runs, campaign] = ['runs.csv', 'campaign.yaml'].map((name) => readFileSync(join(folder, name), 'utf8'))

  await user.open('Drives')
  await page.getByRole('button', { name: /2026-04-14-b-ladders/ }).click()
  await page.getByLabel('Exclude this drive, because').fill('wet, "spray"')
  await page.getByRole('button', { name: 'Exclude', exact: true }).click()
  await user.atRest()
  expect(await page.getByRole('button', { name: /2026-04-14-b-ladders/ }).textContent()).toContain(
    'excluded: wet, "spray"',
  )
  expect(await page.getByRole('button', { name: 'Use it again' }).isVisible()).toBe(true)
  // No link of the report in its frame leads to a file that is not there; the reader stays where he was after an edit.
  const report = page.frameLocator('iframe.report')
  expect(await report.locator('a:not([href^="#"]):visible').count()).toBe(0)
  await report.getByRole('radio', { name: 'UTC', exact: true }).check()
  await report.locator('body').evaluate(() => scrollTo(0, 900))
  await user.open('Fuel')
  await page.getByLabel('Fuel, l, 2026-04-15-b-bare.gpx').fill('6.9')
  await page.keyboard.press('Enter')
  await user.atRest()
  await user.open('Vehicle')
  await page.getByLabel('Mass with driver and load, kg').fill('2450')
  await page.keyboard.press('Tab')
  await page.getByLabel('Margin, %').fill('0,01')
  await page.keyboard.press('Tab')
  expect(await page.getByRole('alert').textContent()).toContain('expected a number of percent from 0.05 to 50')
  await page.getByLabel('Margin, %').fill('2,5')
  await page.keyboard.press('Tab')
  await user.atRest()
  await report.locator('dl.facts', { hasText: '± 2.5 %' }).waitFor()
  expect(await report.locator('body').evaluate(() => scrollY)).toBe(900)
  expect(await report.getByRole('radio', { name: 'UTC', exact: true }).isChecked()).toBe(true)

  await saveTexts(user, folder)
  const edited = readFileSync(join(folder, 'campaign.yaml'), 'utf8')
  // Nothing but the two values has changed, comments and blanks included.
  expect(edited).toBe(
    campaign.replace('margin_pct: 2\n', 'margin_pct: 2.5\n').replace('mass_kg: 2400 ', 'mass_kg: 2450 '),
  )
  expect(readFileSync(join(folder, 'runs.csv'), 'utf8')).toContain('"wet, ""spray"""')
  // The folder's name is not known of loose files, and the campaign has a title.
  expect((await user.saved('Save report.json')).toString()).toBe(reportByCommand(folder))

  for (let i = 0; i < 4; i++) await page.getByRole('button', { name: 'Undo' }).click()
  await user.atRest()
  expect((await user.saved('Save runs.csv')).toString()).toBe(runs)
  expect((await user.saved('Save campaign.yaml')).toString()).toBe(campaign)
  await user.open('Drives')
  await page.getByRole('heading', { name: 'Drives' }).click()
  await page.keyboard.press('Control+Shift+Z')
  await user.atRest()
  expect((await user.saved('Save runs.csv')).toString()).toContain('spray"""')
  quiet(user)
})

it('a folder chosen: its name is taken off, its report and what is hidden are not read', async () => {
  const folder = shortCampaign(visitor.folder('short', [inputFile('.hidden.gpx', 'x')]))
  const byCommand = reportByCommand(folder)
  const user = await visitor.visit()
  await user.page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  expect((await user.saved('Save report.json')).toString()).toBe(byCommand)
  quiet(user)
})

it('drives of a day are split and put together, and the rows say so to the command line', async () => {
  const folder = visitor.folder('day', [inputFile('day.gpx', exampleDay(WHOLE_DAY).gpx)])
  const user = await visitor.visit()
  const { page } = user
  await page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  await user.open('Drives')
  const drives = page.locator('.drive-button')
  const before = await drives.count()
  await drives.first().click()
  await page.getByRole('button', { name: 'Split this drive …' }).click()
  await page.getByRole('button', { name: 'Split here' }).click()
  await user.atRest()
  await user.open('Drives')
  expect(await drives.count()).toBe(before + 1)
  writeFileSync(join(folder, 'runs.csv'), await user.saved('Save runs.csv'))
  const split = (await user.saved('Save report.json')).toString()
  expect(split).toBe(reportByCommand(folder))
  expect(JSON.parse(split).problems.filter((problem: { severity: string }) => problem.severity === 'error')).toEqual([])

  await user.open('Drives')
  if ((await page.locator('.drive-editor').count()) === 0) await drives.first().click()
  await page.getByRole('button', { name: /Put together with the next drive/ }).click()
  await user.atRest()
  await user.open('Drives')
  expect(await drives.count()).toBe(before)
  writeFileSync(join(folder, 'runs.csv'), await user.saved('Save runs.csv'))
  expect((await user.saved('Save report.json')).toString()).toBe(reportByCommand(folder))
  quiet(user)
})

it('cells from a spreadsheet are pasted as one step, and a reload finds all of it again', async () => {
  const folder = shortCampaign(visitor.folder('paste', []))
  const user = await visitor.visit()
  const { page } = user
  await page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  await user.open('Fuel')
  await page.getByLabel('Setup, monday.gpx').evaluate((cell) => {
    const data = new DataTransfer()
    data.setData('text/plain', 'covered\t0.41\r\nbare\t0.39\r\n')
    cell.dispatchEvent(new ClipboardEvent('paste', { clipboardData: data, bubbles: true, cancelable: true }))
  })
  await user.atRest()
  const pasted = 'track,setup,fuel_l\nmonday.gpx,covered,0.41\ntuesday.gpx,bare,0.39\n'
  expect((await user.saved('Save runs.csv')).toString()).toBe(pasted)

  await page.reload()
  await user.atRest()
  expect((await user.saved('Save runs.csv')).toString()).toBe(pasted)
  await page.getByRole('button', { name: 'Undo' }).click()
  await user.atRest()
  expect((await user.saved('Save runs.csv')).toString()).toBe(readFileSync(join(folder, 'runs.csv'), 'utf8'))

  await page.getByRole('button', { name: 'Clear everything' }).click()
  await page.getByRole('button', { name: 'Yes, clear everything' }).click()
  await page.getByRole('button', { name: 'Try the sample campaign' }).waitFor()
  await page.reload()
  await page.getByRole('button', { name: 'Try the sample campaign' }).waitFor()
  expect(await page.evaluate(() => indexedDB.databases().then((all) => all.length))).toBeLessThan(2)
  quiet(user)
})

it('without a table: what is typed at once into two cells makes the table of init; a cell that cannot be is marked', async () => {
  const tracks = ['monday', 'tuesday'].map((day, i) =>
    inputFile(`${day}.gpx`, straightTrack(`2024-05-03T08:${i}5:00Z`)),
  )
  const folder = visitor.folder('begun', tracks)
  const user = await visitor.visit()
  const { page } = user
  await page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  await user.open('Fuel')
  await page.getByLabel('Setup, tuesday.gpx', { exact: true }).focus()
  await page.keyboard.type('bare')
  await page.keyboard.press('Tab')
  await page.keyboard.type('0,38')
  await page.keyboard.press('Tab')
  await user.atRest()
  const saved = (await user.saved('Save runs.csv')).toString()
  expect(ceteris('init', folder).status).toBe(0)
  const byInit = readFileSync(join(folder, 'runs.csv'), 'utf8')
  expect(saved).toBe(byInit.replace('tuesday.gpx,,,', 'tuesday.gpx,bare,0.38,'))

  await user.open('Fuel')
  const fuel = page.getByLabel('Fuel, l, tuesday.gpx', { exact: true })
  expect(await fuel.getAttribute('aria-invalid')).toBe('false')
  await fuel.fill('0,38 l')
  await page.keyboard.press('Tab')
  await user.atRest()
  expect(await page.locator('[aria-invalid=true]').evaluateAll((all) => all.map((cell) => cell.ariaLabel))).toEqual([
    'Fuel, l, tuesday.gpx',
  ])
  expect(await page.locator('.row-problems').textContent()).toContain('found "0,38 l", expected a number')
  quiet(user)
})

it('a weather file whose station is out of reach: the list of files says so, as the report does', async () => {
  const rows = ['07:50', '08:00', '08:10', '08:20'].map((time) => `2024-05-03T${time}Z,far,-14.25,-50.88,21,1.5,90`)
  const weather = ['time,station,latitude,longitude,temperature_c,wind_speed_mps,wind_from_deg', ...rows, ''].join('\n')
  const folder = shortCampaign(visitor.folder('far', [inputFile('far.csv', weather)]))
  const user = await visitor.visit()
  await user.page.getByLabel('Choose a folder', { exact: true }).setInputFiles(folder)
  await user.atRest()
  const { problems } = JSON.parse((await user.saved('Save report.json')).toString())
  const [told] = problems.filter(({ code }: { code: string }) => code === 'weather-out-of-reach')
  await user.open('Files')
  const row = user.page.locator('.files > li').filter({ hasText: 'far.csv' })
  expect(await row.textContent()).toContain(`Warning ${told.message}`)
  quiet(user)
})
