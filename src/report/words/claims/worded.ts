import { plainText, type Sentence } from '../../../base/sentence.ts'
import type { ReportClaim } from '../../contract.ts'
import { leftOutWords } from '../drives/left-out.ts'
import {
  type ClaimFacts,
  cautionWords,
  claimReason,
  driftWords,
  nextStepWords,
  senseWords,
  worthWords,
} from './claim-reasons.ts'
import { controlWords } from './control.ts'
import { evidenceWords } from './evidence.ts'
import { type StatementDrives, statementWords } from './statement.ts'

const plain = (sentence: Sentence): string => plainText(sentence)

/** A claim with the texts that report.json holds of it, in SI. */
export function wordedClaim(facts: ClaimFacts, drives: StatementDrives): ReportClaim {
  const { drift, sense, worth } = facts
  const remarks = evidenceWords(facts)
  return {
    ...facts,
    left_out: facts.left_out.map((one) => ({ ...one, reason: plain(leftOutWords(one.why)) })),
    reason: plain(claimReason(facts)),
    sense: sense && { ...sense, sentence: plain(senseWords(sense, facts.implied_drag_area_change_pct)) },
    next_steps: facts.next_steps.map((step) => ({ ...step, sentence: plain(nextStepWords(step, facts)) })),
    drift: drift && { ...drift, sentence: plain(driftWords(drift)) },
    evidence: facts.evidence.map((record, i) => ({ ...record, remark: plain(remarks[i]) })),
    control: facts.control && { ...facts.control, sentence: plain(controlWords(facts.control)) },
    worth: worth && { ...worth, sentence: plain(worthWords(worth)) },
    cautions: facts.caution_codes.map((caution) => plain(cautionWords(caution, facts))),
    statement: plain(statementWords(facts, drives)),
  }
}
