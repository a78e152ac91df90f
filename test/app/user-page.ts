import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import type { Page } from 'playwright-core'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { ceteris, ROOT } from '../cli/command.ts'
import { type Reader, startReader } from '../report/browser.ts'

/** The page as a user has it: dist/ceteris.html opened from disk, with a profile of its own. */
export interface UserPage {
  page: Page
  complaints: string[]
  /** Addresses asked for, but those within the page itself. */
  requests: () => string[]
  /** Waits until nothing is computed any more. */
  atRest: () => Promise<void>
  open: (view: 'Files' | 'Drives' | 'Fuel' | 'Vehicle' | 'Report' | 'Save') => Promise<void>
  /** Presses a button of the view "Save" and gives the file that comes. */
  saved: (button: string) => Promise<Buffer>
}

export interface Visitor {
  /** @param address where the page is served; by default it is opened from disk */
  visit: (address?: string) => Promise<UserPage>
  /** Writes files to a new folder on disk. */
  folder: (name: string, files: readonly Pick<InputFile, 'path' | 'bytes'>[]) => string
  close: () => Promise<void>
}

export async function startVisitor(): Promise<Visitor> {
  const top = mkdtempSync(join(tmpdir(), 'user-page-'))
  const reader: Reader = await startReader()
  return {
    visit: async (address = pathToFileURL(join(ROOT, 'dist/ceteris.html')).href) => {
      const { page, complaints, requests } = await reader.visit(address)
      return {
        page,
        complaints,
        requests: () => requests.filter((url) => !/^(blob|about):/.test(url)),
        ...usesOf(page),
      }
    },
    folder: (name, files) => {
      for (const { path, bytes } of files) {
        mkdirSync(join(top, name, path, '..'), { recursive: true })
        writeFileSync(join(top, name, path), bytes)
      }
      return join(top, name)
    },
    close: async () => {
      await reader.close()
      rmSync(top, { recursive: true })
    },
  }
}

function usesOf(page: Page): Pick<UserPage, 'atRest' | 'open' | 'saved'> {
  const open: UserPage['open'] = async (view) => {
    await page.getByRole('button', { name: view, exact: true }).click()
  }
  return {
    open,
    atRest: async () => {
      await page.locator('iframe.report').waitFor({ state: 'attached' })
      await page.locator('.work').waitFor({ state: 'detached' })
    },
    saved: async (button) => {
      await open('Save')
      const coming = page.waitForEvent('download')
      await page.getByRole('button', { name: button, exact: true }).click()
      return readFileSync(await (await coming).path())
    },
  }
}

/** The report.json that the command line writes for a folder. */
export function reportByCommand(folder: string): string {
  const ended = ceteris('report', folder, '--no-cache', '--quiet', '--cards', 'none')
  if (ended.status === 2) throw new Error(ended.stderr)
  return readFileSync(join(folder, 'report/report.json'), 'utf8')
}
