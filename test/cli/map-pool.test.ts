import { describe, expect, it } from 'vitest'
import type { MappedFile } from '../../src/pipeline/map-file.ts'
import { runCampaign } from '../../src/pipeline/run-campaign.ts'
import { reportJson } from '../../src/report/json.ts'
import { DEFAULTS, folderFiles } from '../pipeline/folder.ts'

// The pool starts its workers from the compiled program, as the command line does.
const { mapAll }: typeof import('../../src/cli/map-pool.ts') = await import('../../dist/cli/map-pool.js' as string)

describe('the map step', () => {
  it('gives the same bytes with one worker, with two, and without', async () => {
    const files = folderFiles('samples/ladder-van', (name) => /04-14|weather|yaml/.test(name))
    const reports: string[] = []
    for (const jobs of [1, 2, 3]) {
      const map = (some: typeof files): Promise<MappedFile[]> => mapAll(some, jobs, 0)
      const input = { files, unreadable: [], settings: DEFAULTS, version: 'test' }
      reports.push(reportJson((await runCampaign(input, map)).report))
    }
    expect(reports[1]).toBe(reports[0])
    expect(reports[2]).toBe(reports[0])
  }, 60_000)
})
