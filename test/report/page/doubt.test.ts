import { beforeAll, describe, expect, it } from 'vitest'
import type { Report } from '../../../src/report/contract.ts'
import { doubtFigure, sourceInWords } from '../../../src/report/page/claims/doubt.ts'
import { sampleResult } from '../page-samples.ts'

let report: Report
beforeAll(async () => {
  report = (await sampleResult()).report
})

/** The sources beside which a claim's figure names a step, were that the only one and all sources as large. */
function shrunkBy(step: Report['claims'][number]['next_steps'][number]['step'], sources: readonly string[]): string[] {
  const next = { step, width_before_pct: 4, width_after_pct: 3, sentence: '' }
  const shares = Object.fromEntries(sources.map((source) => [source, 1 / sources.length]))
  const { markup } = doubtFigure({ ...report.claims[0], uncertainty_shares: shares, next_steps: [next] })!
  const rows = markup.split('<tr>').filter((row) => row.includes('points</li>'))
  return sources.filter((source) => rows.some((row) => row.includes(`<td>${sourceInWords(source, 'fuel')}</td>`)))
}

// GUM (JCGM 100:2008), 4.2.3 and F.1.1.2: more observations make smaller what varies from one to the next, the mean of n by
// the square root of n, and leave what all of them share, as the pump's meter and the choice of roads.
describe('what would shrink each source of a claim’s doubt', () => {
  it('names more drives beside all that differs from drive to drive, and not beside what drives share', () => {
    const own = ['fills', 'fuel_temperature', 'fuel_batch', 'distance', 'conditions', 'repeatability', 'other_readings']
    expect(shrunkBy('more-runs', [...own, 'pump_meter', 'between_routes'])).toEqual(own)
  })

  it('names an anemometer beside the conditions alone', () => {
    expect(shrunkBy('nearer-anemometer', ['fills', 'pump_meter', 'conditions', 'repeatability'])).toEqual([
      'conditions',
    ])
  })
})
