import type { System } from '../../base/quantities.ts'
import { plainText } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { coastDownWords } from '../words/claims/coast-down.ts'
import { wrapped } from './terminal-text.ts'

/** The road load from coast-downs for a terminal, with the lines to paste; none without any. */
export function coastDownText({ coast_down: coast }: Report, width: number, system: System = 'si'): string[] {
  if (coast === null) return []
  return [...wrapped(plainText(coastDownWords(coast), system), width), ...(coast.campaign_lines ?? [])]
}
