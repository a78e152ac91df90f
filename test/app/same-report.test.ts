import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ComputePage, type InPage, startComputePage } from './compute-page-reader.ts'
import { byCommand, FOLDERS } from './folders.ts'

let opened: ComputePage
let top = ''
beforeAll(async () => {
  top = mkdtempSync(join(tmpdir(), 'ceteris-app-'))
  opened = await startComputePage()
})
afterAll(async () => {
  await opened.close()
  rmSync(top, { recursive: true })
})

describe.each(Object.entries(FOLDERS))('the report of %s', (name, filesOf) => {
  it('has the same bytes from the page as from the command line, pictures aside', async () => {
    const files = filesOf()
    const written = byCommand(top, name, files)
    await opened.send(files)
    const found = await opened.page.evaluate(async (folderName) => {
      const { compute, contents } = globalThis as unknown as InPage
      const given = { folderName, files: Object.entries(contents).map(([path, content]) => ({ path, content })) }
      const recognised = await compute.recognise(given)
      const { json, report, outputFiles } = await compute.report(given)
      const output = await outputFiles()
      const isText = (path: string): boolean => !/\.png$|^\.ceteris/.test(path)
      const texts = output
        .filter(({ path }) => isText(path))
        .map(async ({ path, content }) => [path, await content.text()])
      const again = await compute.report(given)
      return {
        recognised: { recordings: recognised.recordings, drives: recognised.drives.map(({ id }) => id) },
        told: { recordings: report.recordings, drives: report.runs.map(({ id }) => id) },
        json,
        again: again.json === json,
        texts: await Promise.all(texts),
        pictures: output.filter(({ path }) => path.endsWith('.png')).map(({ path, content }) => [path, content.size]),
      }
    }, name)
    expect(found.json).toBe(written('report.json'))
    expect(found.again).toBe(true)
    expect(found.told.drives.length).toBeGreaterThan(1)
    expect(found.recognised.drives).toEqual(found.told.drives)
    for (const [path, text] of found.texts) expect(text === written(path), path).toBe(true)
    for (const [path, size] of found.pictures) {
      expect(written(path as string).length).toBeGreaterThan(0)
      expect(size).toBeGreaterThan(1000)
    }
    expect(opened.complaints).toEqual([])
    expect(opened.requests()).toEqual([])
  })
})
