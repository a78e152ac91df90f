import { plainText } from '../../base/sentence.ts'
import type { Design } from '../../plan/design.ts'
import type { RepeatsPlan } from '../../plan/repeats.ts'
import { repeatsAssumptions } from '../../report/words/plans/repeats.ts'

/** The plan as data: lengths in m, sizes in percent, names with units. */
export function repeatsRecord(plan: RepeatsPlan): Record<string, unknown> {
  const percent = (log: number): number => round(100 * Math.expm1(log))
  const record = (d: Design) => ({
    runs_per_setup: d.runsPerSetup,
    baseline_runs: d.baselineRuns,
    route_m: d.routeM,
    power: round(d.power),
    standard_error_pct: round(100 * d.standardError),
    half_width95_pct: percent(d.halfWidth),
    detectable80_pct: percent(d.detectable80),
    detectable90_pct: percent(d.detectable90),
    budget_pct: Object.fromEntries(Object.entries(d.budget).map(([name, sd]) => [name, round(100 * sd)])),
  })
  const { question } = plan
  return {
    schema: 'ceteris-plan-repeats/1',
    question: {
      effect_pct: question.effectPct,
      shape: question.shape,
      fuel: question.measuring.way,
      read_as_well: question.measuring.also,
      baseline_drives: question.baselineDrives,
      consumption_per_100_km: question.measuring.per100Km,
      conditions_pct: round(100 * question.conditionsSd[question.shape]),
      repeatability_pct: round(100 * question.repeatability.sd),
      repeatability_degrees_of_freedom: round(question.repeatability.degreesOfFreedom),
    },
    designs: plan.designs.map(record),
    shapes: plan.shapes.map((s) => ({ shape: s.shape, ...record(s.design) })),
    cheapest: plan.cheapest.map((c) => ({
      power: c.power,
      driven_m: c.design ? c.drivenM : null,
      design: c.design && record(c.design),
    })),
    orders: plan.orders.map((o) => ({
      order: o.runs.join('-'),
      trend_shift_steps: round(o.trendShift),
      vehicle_changes: o.changes,
    })),
    one_run_each: record(plan.oneRunEach),
    long_enough_m: plan.longEnoughM,
    enough_runs_per_setup: plan.enoughRuns,
    enough_baseline_runs: plan.enoughBaselineRuns,
    enough_by: plan.enoughBy,
    assumptions: repeatsAssumptions(plan, Math.max(...plan.designs.map((d) => d.runsPerSetup))).map((sentence) =>
      plainText(sentence),
    ),
  }
}

const round = (value: number): number => Number(value.toPrecision(5))
