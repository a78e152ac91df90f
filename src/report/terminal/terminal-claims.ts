import { cleaned } from '../../base/names.ts'
import { present } from '../../base/present.ts'
import { plainText, type Sentence } from '../../base/sentence.ts'
import type { Report, ReportClaim } from '../contract.ts'
import { changeInBrief } from '../words/claims/changes.ts'
import { doubtsOf, onSeveralRoads, roadOfClaim } from '../words/claims/claims.ts'
import { partSentences } from '../words/claims/parts.ts'
import { sidesInBrief } from '../words/claims/sides.ts'
import { plural } from '../words.ts'
import { shortNames } from './short-names.ts'
import { notShown, type TextColumn, textTable, wrapped } from './terminal-text.ts'

const MOST_CLAIMS = 20
const MOST_TOLD = 6
const MOST_DOUBTS = 4
const MOST_PARTS = 20
const WIDEST_NAME = 16

/** Claims for a terminal: sentences first, then the table, then what speaks against them. */
export function claimLines({ claims, runs }: Report, sentences: readonly Sentence[], width: number): string[] {
  const told = sentences.slice(0, MOST_TOLD).flatMap((sentence) => wrapped(plainText(sentence), width, '- ', '  '))
  const untold = sentences.length - Math.min(sentences.length, MOST_TOLD)
  if (untold > 0) told.push(`… and ${plural(untold, 'more claim')} (in the table, or in claims.csv)`)
  const shown = claims.slice(0, MOST_CLAIMS)
  const { lines, leftOut } = textTable(claimColumns(shown, runs), width)
  const more = claims.length - shown.length
  if (more > 0) lines.push(`… and ${plural(more, 'more claim')} (all in claims.csv)`)
  return [...told, '', ...lines, ...notShown(leftOut, width), ...doubtLines(shown, width)]
}

const vehicleOf = ({ control }: ReportClaim): string => cleaned(control?.test_vehicle ?? '–')

function claimColumns(claims: readonly ReportClaim[], runs: Report['runs']): TextColumn[] {
  const column = (
    header: string,
    rank: number,
    align: TextColumn['align'],
    cell: (claim: ReportClaim) => string,
  ): TextColumn => ({ header, rank, align, cells: claims.map(cell) })
  const setups = claims.flatMap(({ setup, baseline }) => [cleaned(setup), cleaned(baseline)])
  const setupNames = shortNames(setups, WIDEST_NAME)
  const roadNames = shortNames(
    claims.map((claim) => cleaned(roadOfClaim(claim))),
    WIDEST_NAME,
  )
  const vehicleNames = shortNames(claims.map(vehicleOf), WIDEST_NAME)
  return [
    column('setup', 0, 'left', ({ setup }) => present(setupNames.get(cleaned(setup)))),
    ...(new Set(claims.map(vehicleOf)).size > 1
      ? [column('vehicle', 1, 'left', (claim) => present(vehicleNames.get(vehicleOf(claim))))]
      : []),
    column('against', 4, 'left', ({ baseline }) => present(setupNames.get(cleaned(baseline)))),
    ...(onSeveralRoads(claims)
      ? [column('road', 1, 'left', (claim) => present(roadNames.get(cleaned(roadOfClaim(claim)))))]
      : []),
    column('as measured, %', 3, 'right', (claim) => changeInBrief(claim.raw_consumption_change_pct)),
    column('corrected, %', 0, 'right', (claim) => changeInBrief(claim.adjusted_consumption_change_pct)),
    column('verdict', 2, 'left', ({ verdict }) => verdict),
    column('drives', 5, 'left', (claim) => sidesInBrief(claim, runs)),
  ]
}

/** What asks for care, each said once, with the setups that it is about. */
function doubtLines(claims: readonly ReportClaim[], width: number): string[] {
  const setups = new Map<string, string[]>()
  for (const claim of claims) {
    for (const doubt of doubtsOf(claim).map((sentence) => plainText(sentence))) {
      setups.set(doubt, [...(setups.get(doubt) ?? []), cleaned(claim.setup)])
    }
  }
  const all = [...setups].map(([doubt, of]) => `${[...new Set(of)].join(', ')}: ${doubt}`)
  const shown = all.slice(0, MOST_DOUBTS).flatMap((line) => wrapped(line, width, '! ', '  '))
  const more = all.length - MOST_DOUBTS
  return more > 0 ? [...shown, `… and ${plural(more, 'more caution')} (all in report.json)`] : shown
}

/** What the parts did, a line each. */
export function partLines(report: Report, width: number): string[] {
  const sentences = partSentences(report)
  const more = sentences.length - MOST_PARTS
  return [
    ...sentences.slice(0, MOST_PARTS).flatMap((sentence) => wrapped(plainText(sentence), width, '- ', '  ')),
    ...(more > 0 ? [`… and ${more} more (all in parts.csv)`] : []),
  ]
}
