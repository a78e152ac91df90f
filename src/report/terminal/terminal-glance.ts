import { cleaned } from '../../base/names.ts'
import { plainText } from '../../base/sentence.ts'
import type { Report } from '../contract.ts'
import { type GlanceLine, glanceWords } from '../words/glance.ts'
import type { ClaimAtAGlance } from '../words/glance-claims.ts'
import { plural } from '../words.ts'
import { padEnd, styled, wrapped } from './terminal-text.ts'

/** More claims than these are counted only: the figures should stand on the first screen. */
const MOST_CLAIMS = 4
/** Below this width answers stand under their questions. */
const NARROW = 72
const LABEL_WIDTH = 16

/** The three answers, with the claims' figures: the first lines of a summary, and its last. */
export function glanceLines(report: Report, { width, color }: { width: number; color: boolean }): string[] {
  const { compare, helped, claims, next } = glanceWords(report)
  const line = (told: GlanceLine): string[] => questionLines(told, width, color)
  const shown = claims.slice(0, MOST_CLAIMS).flatMap((claim) => claimLines(claim, width))
  const more = claims.length - MOST_CLAIMS
  const rest = more > 0 ? [`${indentOf(width)}… and ${plural(more, 'more claim')}, below`] : []
  return [...line(compare), ...line(helped), ...shown, ...rest, ...line(next)]
}

const indentOf = (width: number): string => ' '.repeat(width < NARROW ? 2 : LABEL_WIDTH)

function questionLines({ question, answer, more }: GlanceLine, width: number, color: boolean): string[] {
  const text = [answer, more]
    .map((sentence) => plainText(sentence).trim())
    .filter((told) => told !== '')
    .join(' ')
  if (width < NARROW) return [styled(question, 'bold', color), ...wrapped(text, width, '  ')]
  const [first, ...others] = wrapped(text, width, ' '.repeat(LABEL_WIDTH))
  return [styled(padEnd(question, LABEL_WIDTH), 'bold', color) + first.slice(LABEL_WIDTH), ...others]
}

/** "bars: 6.0 % less fuel (2.9 to 9.1 %), 1 drive against 3: shown, but it rests on one drive". */
function claimLines({ name, change, drives, verdict }: ClaimAtAGlance, width: number): string[] {
  const figures = [plainText(change), drives].filter((part) => part !== '').join(', ')
  const indent = indentOf(width)
  return wrapped(`${cleaned(plainText(name))}: ${figures}: ${plainText(verdict)}`, width, indent, `${indent}  `)
}
