/** How a problem bears on the answer: `error` the thing is unusable, `warning` it was repaired or weakened, `note` for information. */
export type Severity = 'error' | 'warning' | 'note'

/** Something wrong, repaired or assumed, with the place where it was found. */
export interface Problem {
  /** Stable, kebab-case, listed in docs/problem-codes.md. */
  code: string
  severity: Severity
  /** What was found and what was expected, in a sentence without the file's name. */
  message: string
  /** Path relative to the campaign folder; filled in by whoever knows it. */
  file?: string
  /** 1-based. */
  line?: number
  /** 1-based. */
  column?: number
  /** What the user can do about it. */
  hint?: string
}

/** A value, or none, with all that was noticed on the way. Bad input never throws; it comes back as problems. */
export interface Outcome<T> {
  /** `null` when the input is unusable; at least one problem then has the severity `error`. */
  value: T | null
  problems: Problem[]
}

/** An outcome that holds a value, with whatever was noticed on the way. */
export function found<T>(value: T, problems: Problem[] = []): Outcome<T> {
  return { value, problems }
}

/** An outcome without a value, for the reason given. */
export function failed<T>(problem: Omit<Problem, 'severity'>, others: Problem[] = []): Outcome<T> {
  return { value: null, problems: [...others, { severity: 'error', ...problem }] }
}
