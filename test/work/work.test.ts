import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { motionsOf } from '../../src/campaign/load/drive-source.ts'
import { reduceCampaign } from '../../src/campaign/run-campaign.ts'
import { listFolder } from '../../src/files/folder.ts'
import { reportJson } from '../../src/report/json.ts'
import { workInMemory } from '../../src/work/campaign-work.ts'
import { mapFolder } from '../../src/work/map-folder.ts'
import { progressLine, silent } from '../../src/work/progress.ts'
import { DEFAULTS, folderFiles, reportOf } from '../campaign/folder.ts'

describe('both map steps', () => {
  it('give the same bytes with one worker, with two, with three, and without any', async () => {
    const root = join(import.meta.dirname, '../../samples/ladder-van')
    const { listed } = await listFolder(root)
    const wanted = listed.filter(({ path }) => /04-14|weather|yaml/.test(path))
    const here = reportJson(
      await reportOf(folderFiles('samples/ladder-van', (name) => /04-14|weather|yaml/.test(name))),
    )
    for (const jobs of [1, 2, 3]) {
      const work = { jobs, progress: silent, worthBytes: 0, worthRuns: 0 }
      const { mapped, kept } = await mapFolder(wanted, work)
      const input = { files: kept, unreadable: [], settings: DEFAULTS, version: 'test' }
      expect(reportJson((await reduceCampaign(mapped, input, workInMemory(motionsOf(mapped), work))).report)).toBe(here)
    }
  })
})

describe('the line of progress', () => {
  it('tells share, rate and time left', () => {
    expect(progressLine('reading', 50 * 2 ** 20, 200 * 2 ** 20, 'bytes', 10)).toBe('reading: 25 %, 5.0 MB/s, 30 s left')
    expect(progressLine('computing', 10, 1000, 'runs', 2)).toBe('computing: 1 %, 10 of 1000 drives, 5.0/s, 3 min left')
    expect(progressLine('reading', 1, 200 * 2 ** 20, 'bytes', 1)).toBe('reading: 0 %, 0.0 MB/s')
    expect(progressLine('computing', 10, 1000, 'runs', 100)).toBe('computing: 1 %, 10 of 1000 drives, 0.1/s, 3 h left')
    expect(progressLine('computing', 0, 0, 'runs', 0)).toBe('computing: 0 %, 0 of 0 drives, 0.0/s')
  })
})
