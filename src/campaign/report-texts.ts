import { consumptionCsv } from '../report/consumption.ts'
import { reportJson } from '../report/json.ts'
import { markdownReport } from '../report/markdown.ts'
import { htmlPage } from '../report/page/page.ts'
import type { Thumbnails } from '../report/page/photos.ts'
import { stintsCsv } from '../report/stints.ts'
import { claimsCsv, partsCsv, runsCsv } from '../report/tables.ts'
import { betweenIds, type CampaignResult } from './run-campaign.ts'

/**
 * The files of a report's folder by their names, but for its pairs.csv and its cards.
 * @param thumbnails small copies of photos, for the page
 */
export const reportTexts = (result: CampaignResult, thumbnails?: Thumbnails): Record<string, string> => ({
  'report.json': reportJson(result.report),
  'runs.csv': runsCsv(result.report),
  'claims.csv': claimsCsv(result.report),
  'parts.csv': partsCsv(result.report),
  ...(result.report.consumption.length > 0 ? { 'consumption.csv': consumptionCsv(result.report) } : {}),
  ...(result.report.stints.length > 0 ? { 'stints.csv': stintsCsv(result.report) } : {}),
  'index.html': pageText(result, thumbnails),
  'report.md': markdownReport(result.report),
})

/** The text of index.html. */
export const pageText = ({ report, along, onePair, scoresAt }: CampaignResult, thumbnails?: Thumbnails): string =>
  htmlPage(report, along, { between: onePair ? betweenIds(onePair) : undefined, scoresAt, thumbnails })
