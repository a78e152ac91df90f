import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect } from 'vitest'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { folderFiles, inputFile } from '../campaign/folder.ts'
import { ceteris, STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { zipOf } from '../read/zip.ts'
import { exampleDay, WHOLE_DAY } from '../simulator/example-days.ts'
import { fitOf, nmeaOf } from './logs.ts'

/** A straight drive that crosses the tile of test/data/terrain. */
const overPlane = (start: string): string =>
  straightTrack(start)
    .replace(/lat="([\d.]+)"/g, (_, latitude) => `lat="${(Number(latitude) - 3.52).toFixed(7)}"`)
    .replaceAll('lon="5"', 'lon="9.205"')

/** Folders of every kind of file, by their names. */
export const FOLDERS: Record<string, () => InputFile[]> = {
  'ladder-van': () => folderFiles('samples/ladder-van'),
  'ladder-van-rough': () => folderFiles('samples/ladder-van-rough'),
  'kinds-of-files': () => [
    inputFile('track.gpx', straightTrack('2024-05-03T08:00:00Z')),
    inputFile('watch.fit', fitOf('2024-05-03T08:10:00Z')),
    inputFile('mouse.nmea', nmeaOf('2024-05-03T08:20:00Z')),
    inputFile('packed.zip', zipOf([{ name: 'inner.gpx', content: straightTrack('2024-05-03T08:30:00Z') }])),
    inputFile('weather.csv', STEADY_WEATHER),
  ],
  terrain: () => [
    inputFile('there.gpx', overPlane('2024-05-03T08:05:00Z')),
    inputFile('again.gpx', overPlane('2024-05-03T08:35:00Z')),
    inputFile('plane.tif', readFileSync('test/data/terrain/plane.tif')),
    inputFile('weather.csv', STEADY_WEATHER),
  ],
  workbook: () => [
    ...folderFiles('samples/ladder-van', (path) => /campaign\.yaml|04-1[45].*\.gpx$/.test(path)),
    inputFile('campaign.xlsx', readFileSync('test/data/spreadsheets/campaign.xlsx')),
  ],
  'a-day': () => [inputFile('day.gpx', exampleDay(WHOLE_DAY).gpx)],
  // Several recorders in one car, packed files, many weather stations missing.
  telephones: () => folderFiles('test/data/mobilitynet/gpx', (path) => /freeway/.test(path)),
}

/** The files of the report that the command line makes, by their paths. */
export function byCommand(top: string, name: string, files: InputFile[]): (path: string) => string {
  const folder = join(top, name)
  for (const { path, bytes } of files) {
    mkdirSync(join(folder, path, '..'), { recursive: true })
    writeFileSync(join(folder, path), bytes)
  }
  expect(ceteris('report', folder, '--no-cache', '--quiet').status).not.toBe(2)
  return (path) => readFileSync(join(folder, 'report', path), 'utf8')
}
