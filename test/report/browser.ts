import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import chromium from '@sparticuz/chromium'
import axe from 'axe-core'
import { type Browser, type BrowserContextOptions, type Page, chromium as playwright } from 'playwright-core'

/** A page opened from disk in a real browser, with what it complained of and asked for. */
export interface Opened {
  page: Page
  complaints: string[]
  requests: string[]
}

export interface Reader {
  open: (markup: string, options?: BrowserContextOptions) => Promise<Opened>
  /** A page that is served; requests to its own server are not counted. */
  visit: (address: string) => Promise<Opened>
  close: () => Promise<void>
}

/**
 * In a single process the browser would end with its first page; drawing through a graphics card made of software takes
 * three times as long as drawing without one.
 */
const ARGS = [
  ...chromium.args.filter(
    (arg) => !/^--(single-process|no-zygote|disable-web-security|.*(gpu|angle|swiftshader))/.test(arg),
  ),
  '--disable-gpu',
]

/** The browser that comes with the development dependencies, and pages from disk in it: nothing is served. */
export async function startReader(): Promise<Reader> {
  const folder = mkdtempSync(join(tmpdir(), 'report-page-'))
  const browser: Browser = await playwright.launch({
    executablePath: await unpackedBrowser(),
    args: ARGS,
    headless: true,
  })
  let count = 0
  const go = async (address: string, own: (url: string) => boolean, options: BrowserContextOptions = {}) => {
    const context = await browser.newContext({ locale: 'en-US', viewport: { width: 1200, height: 900 }, ...options })
    // A hang is caught, a slow machine is not a failure.
    context.setDefaultTimeout(120_000)
    const page = await context.newPage()
    const opened: Opened = { page, complaints: [], requests: [] }
    page.on('console', (message) => opened.complaints.push(message.text()))
    page.on('pageerror', (error) => opened.complaints.push(error.message))
    page.on('request', (request) => {
      if (!own(request.url())) opened.requests.push(request.url())
    })
    await page.goto(address)
    return opened
  }
  return {
    open: (markup, options) => {
      const file = join(folder, `page-${count++}.html`)
      writeFileSync(file, markup)
      const address = pathToFileURL(file).href
      return go(address, (url) => url.split('?')[0] === address, options)
    },
    visit: (address) => go(address, (url) => url.startsWith(address)),
    close: async () => {
      await browser.close()
      rmSync(folder, { recursive: true })
    },
  }
}

/** Two test files may start at once, and the library takes a half unpacked browser for a whole one: one at a time. */
async function unpackedBrowser(): Promise<string> {
  const lock = join(tmpdir(), 'report-page-browser.lock')
  for (let i = 0; i < 100; i++) {
    try {
      mkdirSync(lock)
      break
    } catch {
      await new Promise((resolve) => setTimeout(resolve, 200))
    }
  }
  try {
    return await chromium.executablePath()
  } finally {
    rmSync(lock, { recursive: true, force: true })
  }
}

/** The rules that depend on colours: what is left to check of a page in other colours. */
export const COLOUR_RULES = ['color-contrast', 'link-in-text-block']

/**
 * What the accessibility checker finds, "rule: where"; empty for a clean page.
 * @param rules all by default
 */
export async function accessibilityProblems(page: Page, rules?: readonly string[]): Promise<string[]> {
  await page.evaluate(axe.source)
  return page.evaluate(
    async (runOnly) => {
      const { run } = (globalThis as unknown as { axe: typeof axe }).axe
      // Where each rule is kept is not listed, which takes a quarter of the time.
      const { violations } = await run({ resultTypes: ['violations'], preload: false, ...(runOnly && { runOnly }) })
      return violations.map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ target }) => target.join(' '))}`)
    },
    rules && [...rules],
  )
}

/** By how many px the page is wider than its window. */
export const sidewaysPx = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
