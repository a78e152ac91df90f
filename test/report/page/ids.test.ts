import { describe, expect, it } from 'vitest'
import { STRIPS } from '../../../src/report/along-data.ts'
import { htmlPage } from '../../../src/report/page/page.ts'
import { sampleResult } from '../page-samples.ts'

// HTML Living Standard, 3.2.6: an id is the only one of its value in the page; SVG 2, 5.6: `use` shows the element of its id.
describe('the ids of drawings', () => {
  it('are those of one road and one drive each, where names differ in a sign alone', async () => {
    const { report, along } = await sampleResult()
    const [road] = along.roads
    const [first, second] = along.runs
    const renamed = new Map([
      [first.run, 'drive A-b'],
      [second.run, 'drive A b'],
    ])
    const nameOf = (run: string): string => renamed.get(run) ?? run
    // The sample's road twice, under names that are alike but for a space; each drive on one of them.
    const page = htmlPage(
      { ...report, runs: report.runs.map((run) => ({ ...run, id: nameOf(run.id) })) },
      {
        ...along,
        roads: ['A-b', 'A b'].map((id) => ({ ...road, id })),
        runs: along.runs.map((run, i) => ({ ...run, run: nameOf(run.run), road: i % 2 === 0 ? 'A-b' : 'A b' })),
      },
    )
    const ids = [...page.matchAll(/ id="((?:line|profile|gradient)-[^"]*)"/g)].map(([, id]) => id)
    expect(ids.length).toBe(STRIPS.length * along.runs.length + 2 * 2)
    expect(new Set(ids).size).toBe(ids.length)
  })
})
