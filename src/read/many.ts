import type { Problem } from '../base/problem.ts'

/**
 * Keeps the first few problems of each code in their order and replaces the rest of that code by one that counts them,
 * so that a file with ten thousand bad rows makes a short list.
 */
export function firstOfEach(problems: Problem[], keep = 3): Problem[] {
  const seen = new Map<string, Problem[]>()
  const kept: Problem[] = []
  for (const problem of problems) {
    const same = seen.get(problem.code) ?? []
    seen.set(problem.code, same)
    same.push(problem)
    if (same.length <= keep) kept.push(problem)
  }
  for (const [code, same] of seen) {
    const more = same.length - keep
    if (more <= 0) continue
    const first = same[keep]
    const where = first.line === undefined ? '' : `, from line ${first.line} on`
    kept.push({ code, severity: worst(same), message: `${more} more of the same kind${where}` })
  }
  return kept
}

function worst(problems: Problem[]): Problem['severity'] {
  for (const severity of ['error', 'warning'] as const) {
    if (problems.some((problem) => problem.severity === severity)) return severity
  }
  return 'note'
}
