import type { ClaimFacts } from '../../report/words/claims/claim-reasons.ts'
import type { StintRun } from './stints.ts'

/** A claim that names the runs of its stints, not these. */
export function byTheirRuns(facts: ClaimFacts, stints: StintRun[]): ClaimFacts {
  const members = new Map(stints.map(({ id, runs }) => [id, runs]))
  const runsOf = (ids: readonly string[]): string[] => ids.flatMap((id) => members.get(id) ?? [id])
  const countOf = (ids: readonly string[]): { count: number; runs: number } => {
    const own = ids.filter((id) => members.has(id) && !facts.left_out.some(({ run }) => run === id))
    return { count: own.length, runs: runsOf(own).length }
  }
  const [setup, baseline] = [countOf(facts.runs), countOf(facts.baseline_runs)]
  // Laps have no fuel of their own; they count through their stint.
  const counted = new Set(runsOf([...facts.runs, ...facts.baseline_runs]))
  const left = facts.left_out.flatMap(({ run, ...why }) => runsOf([run]).map((id) => ({ run: id, ...why })))
  const seen = new Set<string>()
  return {
    ...facts,
    runs: runsOf(facts.runs),
    baseline_runs: runsOf(facts.baseline_runs),
    stints: setup.count + baseline.count > 0 ? { setup, baseline } : null,
    caution_codes: facts.caution_codes.flatMap(({ code, setups }): ClaimFacts['caution_codes'] => {
      if (code !== 'single-drive') return [{ code, setups }]
      const isStint = (name: string): boolean => (name === facts.setup ? setup : baseline).count > 0
      const of = (wanted: boolean): string[] => setups.filter((name) => isStint(name) === wanted)
      return [
        ...(of(false).length > 0 ? [{ code, setups: of(false) }] : []),
        ...(of(true).length > 0 ? [{ code: 'single-stint' as const, setups: of(true) }] : []),
      ]
    }),
    evidence: facts.evidence.map((record) =>
      record.kind === 'consistency'
        ? record
        : { ...record, runs: runsOf(record.runs), baseline_runs: runsOf(record.baseline_runs) },
    ),
    left_out: left.filter(({ run }) => !counted.has(run) && !seen.has(run) && seen.add(run)),
    drift: facts.drift && { ...facts.drift, runs: runsOf(facts.drift.runs) },
  }
}
