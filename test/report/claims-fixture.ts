import type { Report, ReportClaim } from '../../src/report/contract.ts'
import { fixture, HOSTILE_NAME } from './fixture.ts'

/** A name that Markdown would make a link of, with the signs that end cells and code. */
export const HOSTILE_SETUP = '[x](javascript:alert(1)) | `a` @here www.example.org'

const change = (estimate: number, low95: number, high95: number) => ({ estimate, low95, high95 })

type Estimate = Extract<ReportClaim['evidence'][number], { readings: unknown }>

const estimate = (kind: Estimate['kind'], consumption_change_pct: Estimate['consumption_change_pct']): Estimate => ({
  kind,
  consumption_change_pct,
  adjusted: true,
  runs: ['morning-2'],
  baseline_runs: ['morning-1'],
  readings: [],
  baseline_readings: [],
  reading_sd_pct: kind === 'pump' ? null : 2,
  readings_scatter_more: false,
  says_little: false,
  weight: 0.5,
  from_others_pct: 1,
  from_others_sd: 1,
  remark: `By the ${kind}, consumption changed.`,
})

/** A hand-made claim, no result of the program. */
export const claim = (changes: Partial<ReportClaim> = {}): ReportClaim => ({
  setup: 'rack',
  baseline: 'bare',
  route: 'dyke-road',
  pooled: false,
  runs: ['morning-2'],
  baseline_runs: ['morning-1', 'img-src-x'],
  stints: null,
  left_out: [{ run: '1-1', reason: 'its road was wet, the baseline’s was dry', why: { code: 'wet' } }],
  measured_per_100_km: { unit: 'l', setup: 7.4, baseline: 7.1 },
  raw_consumption_change_pct: change(4.2, 1.9, 6.6),
  raw_distance_per_fuel_change_pct: change(-4.0, -6.2, -1.9),
  adjusted_consumption_change_pct: change(5.1, 2.9, 7.4),
  adjusted_distance_per_fuel_change_pct: change(-4.9, -6.9, -2.8),
  by_fuel_alone_consumption_change_pct: null,
  measured_by: ['l'],
  control: null,
  conditions_change_pct: change(-0.9, -1.5, -0.3),
  verdict: 'supported',
  held_back: null,
  scatter: null,
  missing: null,
  reason:
    'Corrected to equal conditions, consumption changes by +5.1 %; the 95 % interval, +2.9 to +7.4 %, excludes zero.',
  implied_drag_area_change_pct: change(12.1, 6.8, 17.9),
  sense: {
    drag_share: 0.42,
    drag_share_low95: 0.35,
    drag_share_high95: 0.5,
    most_saving_pct: -42,
    most_saving_bound_pct: -50,
    verdict: 'possible',
    sentence: 'Drag is about 42 % of the energy demand on this road.',
  },
  uncertainty_shares: { fills: 0.6, conditions: 0.3, repeatability: 0.1 },
  next_steps: [
    {
      step: 'more-runs',
      width_before_pct: 4.5,
      width_after_pct: 3.4,
      sentence:
        'One more drive each with rack and with bare would narrow the 95 % interval from 4.5 to 3.4 percentage points.',
    },
  ],
  drift: null,
  evidence: [
    estimate('pump', change(5.1, 2.9, 7.4)),
    estimate('trip computer', change(-3, -6, 0.1)),
    {
      kind: 'consistency',
      weighted_mean_pct: change(2.1, 0.3, 4),
      chi_square: 9.1,
      degrees_of_freedom: 1,
      p: 0.003,
      agree: false,
      stands_apart: null,
      furthest: null,
      pump_widened_by: 3,
      fused_widened_by: null,
      remark: 'The pump and trip computer disagree (chi-square 9.1 with 1 degree of freedom, p 0.003).',
    },
  ],
  worth: null,
  cautions: [],
  caution_codes: [],
  fuel_measured: { fill_sd_l: 0.05, at_15c: true },
  statement: 'With rack, compared with bare, 5.1 % more fuel.',
  ...changes,
})

const NOTHING = {
  adjusted_consumption_change_pct: null,
  adjusted_distance_per_fuel_change_pct: null,
  conditions_change_pct: null,
  implied_drag_area_change_pct: null,
  sense: null,
  uncertainty_shares: {},
  next_steps: [],
  evidence: [],
}

/** The report of `fixture.ts` with a claim of each verdict and parts of which two go together. */
export const withClaims: Report = {
  ...fixture,
  claims: [
    claim(),
    claim({
      setup: HOSTILE_SETUP,
      verdict: 'unresolved',
      adjusted_consumption_change_pct: change(0.4, -1.9, 2.7),
      adjusted_distance_per_fuel_change_pct: change(-0.4, -2.6, 1.9),
      reason: 'Corrected to equal conditions, the 95 % interval of the change, −1.9 to +2.7 %, contains zero.',
      evidence: [],
    }),
    claim({
      setup: '=2+2',
      verdict: 'explained by conditions',
      adjusted_consumption_change_pct: change(1.2, -0.9, 3.3),
      adjusted_distance_per_fuel_change_pct: change(-1.2, -3.2, 0.9),
      reason: 'As measured, consumption is 4.2 % more, but corrected to equal conditions +1.2 % is left.',
      evidence: [],
    }),
    claim({
      ...NOTHING,
      setup: HOSTILE_NAME,
      route: null,
      runs: [],
      baseline_runs: [],
      measured_per_100_km: null,
      raw_consumption_change_pct: null,
      raw_distance_per_fuel_change_pct: null,
      verdict: 'not testable',
      missing: { code: 'not-driven', setups: [HOSTILE_NAME] },
      reason: `Cannot be tested: no drive was made with ${HOSTILE_NAME}.`,
    }),
  ],
  parts: [
    {
      part: 'roof rack',
      consumption_change_pct: change(5.1, 2.9, 7.4),
      inseparable_from: [],
      never_left_off: false,
    },
    { part: '-skirts', consumption_change_pct: null, inseparable_from: ['=covers'], never_left_off: false },
    { part: '=covers', consumption_change_pct: null, inseparable_from: ['-skirts'], never_left_off: false },
  ],
  part_groups: [
    {
      parts: ['-skirts', '=covers'],
      combined_change_pct: change(-2.1, -4, -0.1),
      exchanged: false,
      separating_run: 'one drive on dyke-road with only -skirts fitted would separate -skirts and =covers',
      separating: { road: 'dyke-road', parts: ['-skirts'], setup: null, tells: ['-skirts', '=covers'] },
    },
  ],
}
