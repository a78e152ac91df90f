import { consumptionCsv } from '../report/consumption.ts'
import { reportJson } from '../report/json.ts'
import { markdownReport } from '../report/markdown.ts'
import { htmlPage } from '../report/page/page.ts'
import type { Thumbnails } from '../report/page/photos.ts'
import { stintsCsv } from '../report/stints.ts'
import { claimsCsv, partsCsv, runsCsv } from '../report/tables.ts'
import type { CampaignResult } from './run-campaign.ts'

/**
 * The files of a report's folder by their names, but for its pairs.csv and its cards.
 * @param thumbnails small copies of photos, for the page
 */
export const reportTexts = (
  { report, allPairs, along }: CampaignResult,
  thumbnails?: Thumbnails,
): Record<string, string> => ({
  'report.json': reportJson(report),
  'runs.csv': runsCsv(report),
  'claims.csv': claimsCsv(report),
  'parts.csv': partsCsv(report),
  ...(report.consumption.length > 0 ? { 'consumption.csv': consumptionCsv(report) } : {}),
  ...(report.stints.length > 0 ? { 'stints.csv': stintsCsv(report) } : {}),
  'index.html': htmlPage(report, along, allPairs, thumbnails),
  'report.md': markdownReport(report),
})
