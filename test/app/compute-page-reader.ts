import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import type { Program } from '../../src/app/compute/client.ts'
import type { Compute, Computed } from '../../src/app/compute/compute.ts'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { ROOT } from '../cli/command.ts'
import { type Reader, startReader } from '../report/browser.ts'

/** What the scripts of the page are given and leave behind. */
export interface InPage {
  compute: Compute
  startCompute: (program: Program) => Compute
  /** The content that was sent under a path. */
  contents: Record<string, Blob>
  last: Computed
}

export interface ComputePage {
  page: Page
  /** What the page complained of, and addresses that it asked for but those within itself. */
  complaints: string[]
  requests: () => string[]
  /** Brings files into the page; one of the same path and content is the one that is there. */
  send: (files: readonly Pick<InputFile, 'path' | 'bytes'>[]) => Promise<void>
  close: () => Promise<void>
}

/** Builds the page with the flow alone behind it. */
export function buildComputePage(folder: string): string {
  const file = join(folder, 'page.html')
  execFileSync(process.execPath, [join(ROOT, 'build/page.mjs'), 'test/app/compute-page.ts', file], { stdio: 'inherit' })
  return file
}

/** The page with the flow alone behind it, opened from disk in a real browser. */
export async function startComputePage(): Promise<ComputePage> {
  const folder = mkdtempSync(join(tmpdir(), 'compute-page-'))
  const file = buildComputePage(folder)
  const reader: Reader = await startReader()
  const { page, complaints, requests } = await reader.open(readFileSync(file, 'utf8'))
  return {
    page,
    complaints,
    requests: () => requests.filter((address) => !address.startsWith('blob:')),
    send: async (files) => {
      await page.evaluate(() => Object.assign(globalThis, { contents: {} }))
      for (const { path, bytes } of files) {
        await page.evaluate(
          ([name, base64]) => {
            const content = new Blob([Uint8Array.from(atob(base64), (character) => character.charCodeAt(0))])
            ;(globalThis as unknown as InPage).contents[name] = content
          },
          [path, Buffer.from(bytes).toString('base64')],
        )
      }
    },
    close: async () => {
      await reader.close()
      rmSync(folder, { recursive: true })
    },
  }
}
