import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { buildComputePage } from './compute-page-reader.ts'
import { type FirefoxPage, firefoxHere, openInFirefox } from './firefox.ts'
import { byCommand, FOLDERS } from './folders.ts'

const program = firefoxHere()
if (program === null)
  console.warn('Firefox: SKIPPED, there is none here (Debian has it as firefox-esr); nothing was tested')

/** Other engines round the last bit of a sine or a logarithm in their own way. */
const RELATIVE_TOLERANCE = 1e-9

/** Where two values of JSON differ: figures by more than the tolerance, all else at all. */
function differences(a: unknown, b: unknown, place = ''): string[] {
  if (typeof a === 'number' && typeof b === 'number') {
    return Math.abs(a - b) <= RELATIVE_TOLERANCE * Math.max(Math.abs(a), Math.abs(b)) ? [] : [`${place}: ${a}, ${b}`]
  }
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) {
    return a === b ? [] : [`${place}: ${String(a)}, ${String(b)}`]
  }
  const [keysA, keysB] = [Object.keys(a), Object.keys(b)]
  if (keysA.join() !== keysB.join()) return [`${place}: ${keysA}, ${keysB}`]
  return keysA.flatMap((key) => differences(a[key as never], b[key as never], `${place}/${key}`))
}

describe.skipIf(program === null)('in Firefox', () => {
  let page: FirefoxPage
  let top = ''
  beforeAll(async () => {
    top = mkdtempSync(join(tmpdir(), 'ceteris-firefox-'))
    page = await openInFirefox(program ?? '', buildComputePage(top))
  })
  afterAll(async () => {
    await page?.close()
    rmSync(top, { recursive: true })
  })

  it.each(Object.entries(FOLDERS))(
    'the report of %s has the same words and order, and the same figures',
    async (name, filesOf) => {
      const files = filesOf()
      const written = byCommand(top, name, files)
      const sent = files.map(({ path, bytes }) => [path, Buffer.from(bytes).toString('base64')])
      const told = await page.evaluate(`(async () => {
      const bytesOf = (base64) => Uint8Array.from(atob(base64), (character) => character.charCodeAt(0))
      const files = ${JSON.stringify(sent)}.map(([path, base64]) => ({ path, content: new Blob([bytesOf(base64)]) }))
      const { json, outputFiles } = await compute.report({ folderName: ${JSON.stringify(name)}, files })
      const pictures = (await outputFiles()).filter(({ path }) => path.endsWith('.png'))
      return JSON.stringify({ json, pictures: pictures.map(({ content }) => content.size) })
    })()`)
      const { json, pictures } = JSON.parse(told) as { json: string; pictures: number[] }
      expect(differences(JSON.parse(json), JSON.parse(written('report.json')))).toEqual([])
      for (const size of pictures) expect(size).toBeGreaterThan(1000)
    },
  )
})
