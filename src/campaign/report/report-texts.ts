import { consumptionCsv } from '../../report/fuel/consumption.ts'
import { stintsCsv } from '../../report/fuel/stints.ts'
import { reportJson } from '../../report/json.ts'
import { markdownReport } from '../../report/markdown.ts'
import type { Thumbnails } from '../../report/page/drives/photos.ts'
import { htmlPage } from '../../report/page/page.ts'
import { claimsCsv, pairsFileName, partsCsv, runsCsv } from '../../report/tables.ts'
import { betweenIds, type CampaignResult } from '../campaign-result.ts'

/**
 * The files of a report's folder by their names, but for its pairs.csv and its cards.
 * @param thumbnails small copies of photos, for the page
 * @param cards paths of the cards' files, to which the page leads
 */
export function reportTexts(
  result: CampaignResult,
  thumbnails?: Thumbnails,
  cards?: readonly string[],
): Record<string, string> {
  const { report } = result
  const data = {
    'report.json': reportJson(report),
    'runs.csv': runsCsv(report),
    'claims.csv': claimsCsv(report),
    'parts.csv': partsCsv(report),
    ...(report.consumption.length > 0 ? { 'consumption.csv': consumptionCsv(report) } : {}),
    ...(report.stints.length > 0 ? { 'stints.csv': stintsCsv(report) } : {}),
    'report.md': markdownReport(report),
  }
  const files = [...Object.keys(data), pairsFileName(result.pairCount)]
  return { ...data, 'index.html': pageText(result, thumbnails, files, cards) }
}

/**
 * The text of index.html.
 * @param files names of the files beside it
 * @param cards paths of the cards' files beside it
 */
export const pageText = (
  { report, along, onePair, scoresAt }: CampaignResult,
  thumbnails?: Thumbnails,
  files?: readonly string[],
  cards?: readonly string[],
): string =>
  htmlPage(report, along, { between: onePair ? betweenIds(onePair) : undefined, scoresAt, files, cards, thumbnails })
