import type { Report } from '../contract.ts'
import { claimCardNames, fileName } from './card-names.ts'
import { squareClaimCard, wideClaimCard } from './claim-card.ts'
import { squareConditionsCard, wideConditionsCard } from './conditions-card.ts'
import type { Card, Typefaces } from './marks.ts'

/** How many cards are drawn: of all claims and the first runs, of everything, or none. */
export type CardChoice = 'some' | 'all' | 'none'

export interface NamedCard {
  /** File name without its ending: letters, digits and hyphens only. */
  name: string
  card: Card
}

/** Runs that get a card when not all are asked for. */
export const MOST_RUN_CARDS = 12

/** The cards of a report, each wide for films and square for posts: of the claims, then of the runs. */
export function cardsOf(report: Report, choice: CardChoice, typefaces: Typefaces): NamedCard[] {
  if (choice === 'none') return []
  const runs = choice === 'all' ? report.runs : report.runs.slice(0, MOST_RUN_CARDS)
  const taken = new Set<string>()
  const claimNames = claimCardNames(report, taken)
  const claimCards = report.claims.flatMap((claim, i) =>
    both(claimNames[i], wideClaimCard(claim, report, typefaces), squareClaimCard(claim, report, typefaces)),
  )
  const runCards = runs.flatMap((run) => {
    const name = fileName(`run-${run.id}`, taken)
    return both(name, wideConditionsCard(run, report, typefaces), squareConditionsCard(run, report, typefaces))
  })
  return [...claimCards, ...runCards]
}

const both = (name: string, wide: Card, square: Card): NamedCard[] => [
  { name: `${name}-wide`, card: wide },
  { name: `${name}-square`, card: square },
]

/** The text of alternative-text.txt: for each card its file name and what to write into a post's field for it. */
export const alternativeTexts = (cards: readonly NamedCard[]): string =>
  cards.map(({ name, card }) => `${name}\n${card.title}. ${card.description}\n`).join('\n')
