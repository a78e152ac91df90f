import { name, type Sentence, say } from '../../../base/sentence.ts'
import { fixOfProblem, flagFix } from './fixes.ts'
import { type WeaknessFacts, type WeaknessWords, weaknessWords } from './weaknesses.ts'

/** What a finding of `check` is about; filled by check/. */
export type FindingAbout =
  /** A problem that the report tells already, in the words it has there. */
  | { kind: 'problem'; message: string; hint: string | null }
  /** A flag of drives: the words it has for the first of them, and how many more have it. */
  | { kind: 'flag'; first: string; message: string; more: number }
  /** What makes the answer worse, and of how many drives in all. */
  | { kind: 'weakness'; facts: WeaknessFacts; of: number }

export interface FindingFacts {
  code: string
  severity: 'error' | 'warning' | 'note'
  about: FindingAbout
  /** Ids of the drives concerned. */
  runs: readonly string[]
}

/** What is wrong or weak, and what to do about it. */
export function findingWords({ code, severity, about, runs }: FindingFacts): WeaknessWords {
  switch (about.kind) {
    case 'problem':
      return { message: [name(about.message)], fix: [name(about.hint ?? fixOfProblem(code, severity))] }
    case 'flag':
      return { message: flagWords(about), fix: [flagFix(code)] }
    case 'weakness':
      return weaknessWords(about.facts, { ids: runs, of: about.of })
  }
}

function flagWords({ first, message, more }: Extract<FindingAbout, { kind: 'flag' }>): Sentence {
  if (more === 0) return say`${name(first)}: ${name(message)}`
  return say`${name(message)} (${name(first)}; ${more === 1 ? 'one more drive has' : `${more} more drives have`} the same)`
}
