import type { CampaignResult } from '../../src/campaign/campaign-result.ts'
import type { Report, ReportClaim } from '../../src/report/contract.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { emptyReport, manyRuns, sampleResult } from './page-samples.ts'

/** Pages whose first screens must be right, each the sample with something that qualifies its answer. */
export async function firstScreens(): Promise<Map<string, string>> {
  const sample = await sampleResult()
  const three = (name: string): boolean => !/2026-04-1[57]|2026-04-2|14-b/.test(name)
  const airless = await sampleResult((name) => three(name) && !/weather/.test(name))
  const fuelless = await sampleResult((name) => !/runs\.csv/.test(name))
  const one = await sampleResult((name) => !/\.gpx$/.test(name) || /16-bars/.test(name))
  const [many, alongMany] = manyRuns(sample.report, sample.along, 100, 780)
  return new Map([
    ['sample', page(sample)],
    ['one claim that rests on one drive', page(withClaims(sample, ({ setup }) => setup === 'bars'))],
    ['a drift as large as the change', page(withDrift(sample))],
    ['without weather', page(airless)],
    ['without fuel', page(fuelless)],
    ['one drive', page(one)],
    ['empty', htmlPage(emptyReport)],
    ['100 drives', htmlPage(many, alongMany)],
    ['long names', page(withLongNames(sample))],
  ])
}

const page = ({ report, along }: Pick<CampaignResult, 'report' | 'along'>): string => htmlPage(report, along)

type Made = Pick<CampaignResult, 'report' | 'along'>
const changed = ({ report, along }: Made, changes: Partial<Report>): Made => ({
  report: { ...report, ...changes },
  along,
})

const withClaims = (made: Made, wanted: (claim: ReportClaim) => boolean): Made =>
  changed(made, { claims: made.report.claims.filter(wanted) })

/** The baseline drifts by 9.1 %, more than either change. */
function withDrift(made: Made): Made {
  const drift = (claim: ReportClaim): ReportClaim['drift'] => ({
    runs: claim.baseline_runs,
    span_hours: 80,
    change_over_span_pct: { estimate: 9.1, low95: 6.2, high95: 12.1 },
    resolved: true,
    corrected: false,
    sentence: 'a drift',
  })
  const claims = made.report.claims.map((claim) => ({
    ...claim,
    verdict: 'unresolved' as const,
    held_back: 'drift' as const,
    drift: drift(claim),
  }))
  return changed(made, { claims })
}

const LONG = 'roof-bars-with-ladders-and-a-box-of-tools'

function withLongNames(made: Made): Made {
  const text = JSON.stringify(made.report).replaceAll('"ladders"', `"${LONG}"`).replaceAll('"bars"', `"${LONG}-2"`)
  return changed(made, JSON.parse(text))
}
