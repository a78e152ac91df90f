import { byCodeUnits } from '../base/arithmetic.ts'
import { present } from '../base/present.ts'
import type { Severity } from '../base/problem.ts'
import { type CampaignInput, workHere } from '../campaign/campaign-input.ts'
import { type WorkingState, workingStateFrom } from '../campaign/computed-campaign.ts'
import { prepareCampaign } from '../campaign/load/loaded-campaign.ts'
import type { MappedFile, WholeFile } from '../campaign/load/map-file.ts'
import { isLeftOut } from '../campaign/load/recordings/left-out.ts'
import { reducePrepared } from '../campaign/run-campaign.ts'
import type { Report } from '../report/contract.ts'
import type { FindingAbout } from '../report/words/checks/findings.ts'
import type { WeaknessFacts } from '../report/words/checks/weaknesses.ts'
import { usedIn } from '../report/words/used.ts'
import { PROBES } from './weakness-probes.ts'
import { type CostMeasure, weaknessesOf } from './weaknesses.ts'

/** Something wrong or weak in a folder, with what it costs the answer and what to do about it. */
export interface Finding {
  code: string
  severity: Severity
  /** What its words are told from (report/words/checks/findings.ts). */
  about: FindingAbout
  /** Percentage points of the mean interval's width; null where no figure was computed. */
  costPoints: number | null
  /** Whether the figure rests on an assumed climate. */
  rough: boolean
  /** Ids of runs that have no answer at all because of it. */
  withoutAnswer: string[]
  /** Whether some answer does not exist at all because of it. */
  blocks: boolean
  runs: string[]
  path: string | null
  line: number | null
  column: number | null
}

export interface CheckResult {
  report: Report
  measure: CostMeasure | null
  /** What costs the answer most first. */
  findings: Finding[]
}

/** Everything wrong or weak in a folder's files, in one list, sorted by what it costs the answer; arguments as for `reduceCampaign`. */
export async function checkCampaign(mapped: WholeFile[], input: CampaignInput): Promise<CheckResult> {
  const work = workHere(mapped)
  const prepared = await prepareCampaign(mapped, input.files, input.settings, work.motions)
  const { report } = await reducePrepared(prepared, mapped, input, work)
  const ensemble = { ...prepared.ensemble, draws: drawsFor(mapped, input.settings.draws) }
  const state = workingStateFrom({ ...prepared, ensemble }, mapped)
  const { measure, weaknesses } = weaknessesOf(state)
  const of = state.records.length
  const quantified = weaknesses.map(({ facts, ...w }) => weak(facts, 'warning', of, w))
  const findings = [
    ...report.problems.map(ofProblem),
    ...quantified,
    ...flagFindings(report),
    ...ledgerFindings(report, state),
  ]
  return { report, measure, findings: findings.sort(byCost) }
}

/** Every weakness asks for all demands again: beyond this many runs, each has fewer draws, so that a list takes no hour. */
const RUNS_WITH_ALL_DRAWS = 60
const FEWEST_DRAWS = 50

function drawsFor(mapped: MappedFile[], draws: number): number {
  const runs = mapped.reduce((sum, file) => sum + file.tracks.length, 0)
  if (runs <= RUNS_WITH_ALL_DRAWS) return draws
  return Math.min(draws, Math.max(FEWEST_DRAWS, Math.round((draws * RUNS_WITH_ALL_DRAWS) / runs)))
}

function finding(given: Pick<Finding, 'code' | 'severity' | 'about'> & Partial<Finding>): Finding {
  const blank = {
    costPoints: null,
    rough: false,
    withoutAnswer: [],
    blocks: false,
    runs: [],
    path: null,
    line: null,
    column: null,
  }
  return { ...blank, ...given }
}

const weak = (facts: WeaknessFacts, severity: Severity, of: number, more: Partial<Finding> = {}): Finding =>
  finding({ ...more, code: facts.code, severity, about: { kind: 'weakness', facts, of } })

const ofProblem = ({ message, hint, ...rest }: Report['problems'][number]): Finding =>
  finding({ ...rest, about: { kind: 'problem', message, hint } })

/** Flags of the runs by kind, but for those that are told as a weakness or as a problem of the run's file already. */
function flagFindings(report: Report): Finding[] {
  const quantified = new Set(PROBES.map((p) => p.code))
  const told = new Set(report.problems.map((p) => `${p.code}\n${p.path}`))
  const byCode = new Map<string, { run: string; severity: Severity; message: string }[]>()
  for (const { id, track, flags } of report.runs) {
    for (const { code, severity, message } of flags) {
      if (quantified.has(code) || code === 'excluded' || told.has(`${code}\n${track}`)) continue
      byCode.set(code, [...(byCode.get(code) ?? []), { run: id, severity, message }])
    }
  }
  return [...byCode].map(([code, group]) => {
    const runs = group.map((g) => g.run)
    const severity = group.some((g) => g.severity === 'warning') ? 'warning' : 'note'
    const leftOut = code === 'part-of-route' || code === 'detour'
    const first = present(group.find((g) => g.severity === severity))
    return finding({
      code,
      severity,
      about: { kind: 'flag', first: first.run, message: first.message, more: group.length - 1 },
      runs,
      withoutAnswer: leftOut ? runs : [],
    })
  })
}

/** What is missing for a comparison or a claim beside the air. */
function ledgerFindings(report: Report, state: WorkingState): Finding[] {
  const { runs, routes } = report
  if (runs.length === 0) return []
  const found: Finding[] = []
  const of = runs.length
  const alone = routes.filter((r) => r.runs.length === 1).flatMap((r) => r.runs)
  if (alone.length > 0) {
    found.push(weak({ code: 'alone-on-its-road' }, 'warning', of, { runs: alone, withoutAnswer: alone }))
  }
  const inStints = new Set(
    report.stints.filter(({ consumption }) => consumption !== null).flatMap((stint) => stint.runs),
  )
  // What is compared with no drive needs no fuel.
  const leftOut = new Set(state.records.filter((r) => isLeftOut(r.run)).map((r) => r.run.id))
  const dry = runs.filter((r) => r.consumption === null && !inStints.has(r.id) && !leftOut.has(r.id)).map((r) => r.id)
  if (dry.length > 0) {
    const severity = dry.length === of ? 'note' : 'warning'
    found.push(weak({ code: 'no-fuel', table: state.runsFile, used: usedIn(report) }, severity, of, { runs: dry }))
  }
  const fewer = moreRunsFinding(report)
  if (fewer) found.push(fewer)
  if (state.campaign.vehicle.powertrain === null) {
    found.push(weak({ code: 'powertrain-unstated', taken: state.shared.vehicle.powertrain.kind }, 'note', of))
  }
  return found
}

/** One more drive of each setup, as the claims say of it. */
function moreRunsFinding({ claims, runs }: Report): Finding | null {
  const steps = claims.flatMap((c) => (c.pooled ? [] : c.next_steps.filter((s) => s.step === 'more-runs')))
  if (steps.length === 0) return null
  const costPoints = steps.reduce((sum, s) => sum + s.width_before_pct - s.width_after_pct, 0) / steps.length
  return weak({ code: 'few-repeats' }, 'warning', runs.length, { costPoints })
}

const SEVERITY_ORDER: Record<Severity, number> = { error: 0, warning: 1, note: 2 }

/** Errors (what was wrong is not used at all), then what leaves something without an answer, then by points, then the rest. */
function rank(f: Finding): number {
  if (f.severity === 'error') return 0
  if (f.blocks || (f.withoutAnswer.length > 0 && f.costPoints === null)) return 1
  return f.costPoints !== null ? 2 : 2 + SEVERITY_ORDER[f.severity]
}

const byCost = (a: Finding, b: Finding): number =>
  rank(a) - rank(b) ||
  (b.costPoints ?? -1) - (a.costPoints ?? -1) ||
  b.withoutAnswer.length - a.withoutAnswer.length ||
  byCodeUnits(a.path ?? '', b.path ?? '') ||
  (a.line ?? 0) - (b.line ?? 0) ||
  byCodeUnits(a.code, b.code)
