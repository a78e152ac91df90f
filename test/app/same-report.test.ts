import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { folderFiles, inputFile } from '../campaign/folder.ts'
import { ceteris, STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { zipOf } from '../read/zip.ts'
import { exampleDay, WHOLE_DAY } from '../simulator/example-days.ts'
import { type ComputePage, type InPage, startComputePage } from './compute-page-reader.ts'
import { fitOf, nmeaOf } from './logs.ts'

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

const FOLDERS: Record<string, () => InputFile[]> = {
  'ladder-van': () => folderFiles('samples/ladder-van'),
  'ladder-van-rough': () => folderFiles('samples/ladder-van-rough'),
  'kinds-of-files': () => [
    inputFile('track.gpx', straightTrack('2024-05-03T08:00:00Z')),
    inputFile('watch.fit', fitOf('2024-05-03T08:10:00Z')),
    inputFile('mouse.nmea', nmeaOf('2024-05-03T08:20:00Z')),
    inputFile('packed.zip', zipOf([{ name: 'inner.gpx', content: straightTrack('2024-05-03T08:30:00Z') }])),
    inputFile('weather.csv', STEADY_WEATHER),
  ],
  workbook: () => [
    ...folderFiles('samples/ladder-van', (path) => /campaign\.yaml|\.gpx$/.test(path)),
    inputFile('campaign.xlsx', readFileSync('test/data/spreadsheets/campaign.xlsx')),
  ],
  'a-day': () => [inputFile('day.gpx', exampleDay(WHOLE_DAY).gpx)],
  // Several recorders in one car, packed files, many weather stations missing.
  telephones: () => folderFiles('test/data/mobilitynet/gpx', (path) => /freeway/.test(path)),
}

/** The report's files of the command line, by their paths. */
function byCommand(name: string, files: InputFile[]): (path: string) => string {
  const folder = join(top, name)
  for (const { path, bytes } of files) {
    mkdirSync(join(folder, path, '..'), { recursive: true })
    writeFileSync(join(folder, path), bytes)
  }
  expect(ceteris('report', folder, '--no-cache', '--quiet').status).not.toBe(2)
  return (path) => readFileSync(join(folder, 'report', path), 'utf8')
}

describe.each(Object.entries(FOLDERS))('the report of %s', (name, filesOf) => {
  it('has the same bytes from the page as from the command line, pictures aside', async () => {
    const files = filesOf()
    const written = byCommand(name, files)
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
    }, basename(name))
    expect(found.json).toBe(written('report.json'))
    expect(found.again).toBe(true)
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
