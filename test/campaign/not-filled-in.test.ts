import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { InputFile } from '../../src/campaign/load/map-file.ts'
import { glanceOf } from '../../src/report/glance.ts'
import { folderFiles, inputFile, reportOf } from './folder.ts'

const sample = folderFiles('samples/ladder-van')
const withTable = (table: InputFile) =>
  reportOf([...sample.filter(({ path }) => path !== 'runs.csv'), table], { draws: 50 })

describe('a table of drives as init wrote it', () => {
  it('is told to be not filled in, and nothing is said of a baseline', async () => {
    const book = inputFile('runs.ods', readFileSync('test/data/spreadsheets/untouched.ods'))
    const report = await withTable(book)
    const said = report.problems.filter(({ severity }) => severity !== 'note')
    // Eight drives below nine lines of comments and the header.
    expect(said.map(({ code, path, line }) => [code, path, line])).toEqual([
      ['table-not-filled-in', 'runs.ods#Drives', 11],
    ])
    expect(said[0].message).toContain('its 8 rows')
    expect(report.claims).toEqual([])
    expect(glanceOf(report).next.code).toBe('add-fuel')
  })

  it('is no longer so with the first word in it', async () => {
    const tracks = sample.map(({ path }) => path).filter((path) => path.endsWith('.gpx'))
    const rows = tracks.map((path, i) => `${path},${i === 0 ? 'ladders' : ''},`).join('\n')
    const report = await withTable(inputFile('runs.csv', `track,setup,fuel_l\n${rows}\n`))
    expect(report.problems.map(({ code }) => code)).not.toContain('table-not-filled-in')
  })
})
