import { byCodeUnits } from '../../base/arithmetic.ts'
import type { Problem } from '../../base/problem.ts'
import type { Report, ReportProblem } from '../../report/contract.ts'

/** A report with more that was found wrong. */
export const withProblems = (report: Report, more: Problem[]): Report => ({
  ...report,
  problems: [...report.problems, ...toldProblems(more)].sort(inOrder),
})

const SEVERITY_ORDER = { error: 0, warning: 1, note: 2 }

/** Problems as a report tells them: the gravest first, then by file and line. */
export const reportProblems = (problems: Problem[]): Report['problems'] => toldProblems(problems).sort(inOrder)

const toldProblems = (problems: Problem[]): Report['problems'] =>
  problems.map((p) => ({
    path: p.file ?? null,
    line: p.line ?? null,
    column: p.column ?? null,
    code: p.code,
    severity: p.severity,
    message: p.message,
    hint: p.hint ?? null,
  }))

const inOrder = (a: ReportProblem, b: ReportProblem): number =>
  SEVERITY_ORDER[a.severity] - SEVERITY_ORDER[b.severity] ||
  byCodeUnits(a.path ?? '', b.path ?? '') ||
  (a.line ?? 0) - (b.line ?? 0) ||
  byCodeUnits(a.code, b.code)
