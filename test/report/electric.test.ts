import { beforeAll, describe, expect, it } from 'vitest'
import { plainText } from '../../src/base/sentence.ts'
import { alternativeTexts, cardsOf } from '../../src/report/cards/cards.ts'
import type { Report } from '../../src/report/contract.ts'
import { markdownReport } from '../../src/report/markdown.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { glanceWords } from '../../src/report/words/glance.ts'
import { typefaces } from './cards/typefaces.ts'
import { sampleResult } from './page-samples.ts'

/** Words of a vehicle that is filled up; "filled" squares and dots are not meant, nor the heading for either. */
const OF_FUEL = /\b(fuels?|pumps?|litres?|refuel\w*|l\/100 km)\b/i
const withoutHeading = (text: string): string => text.replaceAll('Fuel or energy', '')

/** The sample's report as that of an electric van. */
function electric({ runs, claims, settings, ...rest }: Report): Report {
  return {
    ...rest,
    settings: { ...settings, powertrain: 'electric' },
    assumptions: [],
    runs: runs.map((run) => ({ ...run, consumption: run.consumption && { ...run.consumption, unit: 'kWh' as const } })),
    claims: claims.map((claim) => ({
      ...claim,
      measured_by: ['kWh' as const],
      measured_per_100_km: claim.measured_per_100_km && { ...claim.measured_per_100_km, unit: 'kWh' as const },
      by_fuel_alone_consumption_change_pct: null,
      evidence: [],
      left_out: [],
      next_steps: claim.next_steps.filter(({ step }) => step !== 'weigh-the-fuel' && step !== 'longer-route'),
      uncertainty_shares: { fills: 0.5, pump_meter: 0.2, conditions: 0.3 },
    })),
  }
}

let report: Report
beforeAll(async () => {
  report = electric((await sampleResult()).report)
})

describe('a report on an electric vehicle', () => {
  it('speaks of energy, and nowhere of fuel', () => {
    const page = htmlPage(report)
      .replace(/<(script|style)>.*?<\/\1>/gs, '')
      .replace(/<title>/g, '')
    const texts = {
      page: page.replace(/<[^>]*?aria-label="([^"]*)"[^>]*>/g, ' $1 ').replace(/<[^>]+>/g, ' '),
      markdown: markdownReport(report),
      terminal: terminalSummary(report, { width: 100, color: false }),
      cards: alternativeTexts(cardsOf(report, 'all', typefaces)),
    }
    for (const [where, text] of Object.entries(texts)) {
      const line = withoutHeading(text)
        .split('\n')
        .find((one) => OF_FUEL.test(one))
      expect(line?.slice(0, 300), where).toBeUndefined()
      expect(text, where).toMatch(/\benergy\b/)
    }
  })

  it('asks for energy where nothing was measured, by the powertrain', () => {
    const runs = report.runs.map((run) => ({ ...run, consumption: null }))
    const bare = { ...report, runs, claims: [] }
    const told = glanceWords(bare)
    expect(plainText(told.helped.answer)).toBe('Not tested: no energy is given.')
    expect(plainText(told.next.answer)).toBe('Write the setup and the energy of each drive into runs.csv.')
    const petrol = glanceWords({ ...bare, settings: { ...report.settings, powertrain: 'petrol' } })
    expect(plainText(petrol.next.answer)).toBe('Write the setup and the fuel of each drive into runs.csv.')
  })
})
