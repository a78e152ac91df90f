import { describe, expect, it } from 'vitest'
import { countPairs } from '../../src/campaign/pairs/pairs.ts'
import { runCampaign } from '../../src/campaign/run-campaign.ts'
import { pairsFileName } from '../../src/report/tables.ts'
import { STEADY_WEATHER, straightTrack } from '../cli/command.ts'
import { DEFAULTS, inputFile } from './folder.ts'

/** So many drives on each of two roads that are 100 km apart, one after another. */
function twoRoads(each: number) {
  return Array.from({ length: 2 * each }, (_, i) => {
    const start = new Date(Date.parse('2024-05-03T08:00:00Z') + i * 60_000).toISOString()
    const text = straightTrack(start, 120)
    return inputFile(`${i}.gpx`, i % 2 === 0 ? text : text.replaceAll('lat="52.', 'lat="52.9'))
  })
}

describe('of very many runs', () => {
  it('pairs of runs on one road alone are listed, and the others are counted', async () => {
    const files = [...twoRoads(21), inputFile('weather.csv', STEADY_WEATHER)]
    const { report, allPairs, pairCount } = await runCampaign({
      files,
      unreadable: [],
      settings: { ...DEFAULTS, draws: 20 },
      version: 'test',
    })
    const route = new Map(report.runs.map((run) => [run.id, run.route]))
    const pairs = [...allPairs]
    expect(new Set(route.values()).size).toBe(2)
    expect(pairs.every(({ a, b }) => route.get(a) === route.get(b))).toBe(true)
    // 42 runs: 2 · 21·20/2 pairs on one road, and 21 · 21 on two.
    expect([pairs.length, pairCount]).toEqual([420, 420])
    expect(report.pairs_note).toContain('pairs.csv holds all 420 pairs of drives on one road.')
    expect(report.pairs_note).toContain('The 441 pairs of drives on different roads are not comparable and not listed.')
  })

  it('pairs are counted by road', () => {
    const on = (...roads: number[]) => countPairs(roads.map((route) => ({ route })))
    expect(on(0)).toEqual({ onOneRoad: 0, onTwo: 0 })
    expect(on(0, 1, 2)).toEqual({ onOneRoad: 0, onTwo: 3 })
    expect(on(0, 0, 1, 0)).toEqual({ onOneRoad: 3, onTwo: 3 })
  })

  it('the table of pairs is compressed where no spreadsheet could open it', () => {
    // 1,048,576 rows in a sheet, the header among them (ECMA-376-1).
    expect(pairsFileName(1_048_575)).toBe('pairs.csv')
    expect(pairsFileName(1_048_576)).toBe('pairs.csv.gz')
  })
})
