import { plainText } from '../base/sentence.ts'
import { isByControl } from './by-control.ts'
import type { Report, ReportClaim } from './contract.ts'
import { type MarkdownColumn, markdownList, markdownSentence, markdownTable, markdownText } from './markdown-text.ts'
import { answerOf } from './words/answer.ts'
import { changeInBrief } from './words/claims/changes.ts'
import { senseWords } from './words/claims/claim-reasons.ts'
import { bestStep, comparedWords, doubtsOf, roadOfClaim } from './words/claims/claims.ts'
import { controlSides, controlWords } from './words/claims/control.ts'
import { evidenceWords } from './words/claims/evidence.ts'
import { partSentences } from './words/claims/parts.ts'
import { driveCounts, sideWords } from './words/claims/sides.ts'
import { drivesById, type StatementDrives, statementWords } from './words/claims/statement.ts'
import { usedIn } from './words/used.ts'

/** What each setup did to the consumption, with its reasons. */
export function claimsPart(report: Report): string {
  const { claims } = report
  if (claims.length === 0) return ''
  const parts = partSentences(report)
  return [
    `## Claims\n\n${markdownList(answerOf(report).claims)}`,
    `${markdownText(`Change of ${usedIn(report)} for the same distance, percent, with its 95 % interval.`)}\n`,
    markdownTable(claimColumns(report), claims),
    ...claims.map((claim) => claimPart(claim, drivesById(report))),
    ...(parts.length > 0 ? [`### Parts\n\n${markdownList(parts)}`] : []),
  ].join('\n')
}

const claimColumns = (report: Report): MarkdownColumn<ReportClaim>[] => [
  { header: 'setup', align: 'left', cell: ({ setup }) => setup },
  { header: 'compared with', align: 'left', cell: ({ baseline }) => baseline },
  { header: 'road', align: 'left', cell: roadOfClaim },
  { header: 'as measured', align: 'right', cell: (c) => changeInBrief(c.raw_consumption_change_pct) },
  {
    header: 'corrected to equal conditions',
    align: 'right',
    cell: (c) => changeInBrief(c.adjusted_consumption_change_pct),
  },
  {
    header: `distance for the same ${usedIn(report)}, corrected`,
    align: 'right',
    cell: (c) => changeInBrief(c.adjusted_distance_per_fuel_change_pct),
  },
  { header: 'verdict', align: 'left', cell: ({ verdict }) => verdict },
  {
    header: 'drives',
    align: 'left',
    cell: (claim) => {
      const { runs, baseline_runs, stints, control } = claim
      if (control !== null && isByControl({ control })) return controlSides(control)
      if (stints !== null)
        return `${sideWords(runs, stints.setup)} against ${sideWords(baseline_runs, stints.baseline)}`
      const { setup, baseline } = driveCounts(claim, report.runs)
      return `${setup} against ${baseline}`
    },
  },
]

function claimPart(claim: ReportClaim, drives: StatementDrives): string {
  const { sense } = claim
  const step = bestStep(claim)
  const items = [
    ...evidenceWords(claim),
    ...(claim.control ? [controlWords(claim.control)] : []),
    ...(sense ? [senseWords(sense, claim.implied_drag_area_change_pct)] : []),
    ...doubtsOf(claim),
    ...(step ? [step] : []),
  ].map((item) => plainText(item))
  return `### ${markdownSentence(comparedWords(claim))}\n\n> ${markdownSentence(statementWords(claim, drives))}\n\n${markdownList([...new Set(items)])}`
}
