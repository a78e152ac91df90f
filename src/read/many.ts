import type { Problem } from '../base/problem.ts'

/**
 * Keeps the first few problems of each code in their order and replaces the rest of that code by one that counts them
 * and names their lines, so that a file with ten thousand bad rows makes a short list.
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
    const rest = same.slice(keep)
    const lines = rest.flatMap(({ line }) => line ?? [])
    const where = lines.length === 0 ? '' : `, ${onLines(lines)}`
    // With the line of the first of them, it is listed behind those that it follows.
    const place = lines.length > 0 ? { line: lines.reduce((first, line) => Math.min(first, line)) } : {}
    kept.push({ code, severity: worst(same), message: `${more} more of the same kind${where}`, ...place })
  }
  return kept
}

function worst(problems: Problem[]): Problem['severity'] {
  for (const severity of ['error', 'warning'] as const) {
    if (problems.some((problem) => problem.severity === severity)) return severity
  }
  return 'note'
}

/** Most stretches of lines that are named. */
const MOST_STRETCHES = 20

/** `on line 7`, or `on lines 7, 9 to 12`; of very many stretches the first and the last line. */
function onLines(lines: number[]): string {
  const stretches: [number, number][] = []
  for (const line of [...new Set(lines)].sort((a, b) => a - b)) {
    const last = stretches.at(-1)
    if (last && line === last[1] + 1) last[1] = line
    else stretches.push([line, line])
  }
  const named = stretches.slice(0, MOST_STRETCHES).map(([from, to]) => (from === to ? `${from}` : `${from} to ${to}`))
  const more = stretches.length > named.length ? `, … ${stretches[stretches.length - 1][1]}` : ''
  return `on line${new Set(lines).size === 1 ? '' : 's'} ${named.join(', ')}${more}`
}
