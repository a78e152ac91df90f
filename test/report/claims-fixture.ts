import type { Report, ReportClaim } from '../../src/report/contract.ts'
import { fixture, HOSTILE_NAME } from './fixture.ts'

/** A name that Markdown would make a link of, with the signs that end cells and code. */
export const HOSTILE_SETUP = '[x](javascript:alert(1)) | `a` @here www.example.org'

const change = (estimate: number, low95: number, high95: number) => ({ estimate, low95, high95 })

/** A hand-made claim, no result of the program. */
export const claim = (changes: Partial<ReportClaim> = {}): ReportClaim => ({
  setup: 'rack',
  baseline: 'bare',
  route: 'dyke-road',
  pooled: false,
  runs: ['morning-2'],
  baseline_runs: ['morning-1', 'img-src-x'],
  left_out: [{ run: '1-1', reason: 'the road was wet, the baseline’s was dry' }],
  measured_per_100_km: { unit: 'l', setup: 7.4, baseline: 7.1 },
  raw_consumption_change_pct: change(4.2, 1.9, 6.6),
  raw_distance_per_fuel_change_pct: change(-4.0, -6.2, -1.9),
  adjusted_consumption_change_pct: change(5.1, 2.9, 7.4),
  adjusted_distance_per_fuel_change_pct: change(-4.9, -6.9, -2.8),
  conditions_change_pct: change(-0.9, -1.5, -0.3),
  verdict: 'supported',
  reason: 'At like conditions the consumption changes by +5.1 %, and the 95 % interval, +2.9 to +7.4 %, excludes zero.',
  implied_drag_area_change_pct: change(12.1, 6.8, 17.9),
  sense: {
    drag_share: 0.42,
    drag_share_low95: 0.35,
    drag_share_high95: 0.5,
    most_saving_pct: -42,
    most_saving_bound_pct: -50,
    verdict: 'possible',
    sentence: 'Drag is about 42 % of what the vehicle needs on this road.',
  },
  uncertainty_shares: { fills: 0.6, conditions: 0.3, repeatability: 0.1 },
  next_steps: [
    {
      step: 'more-runs',
      width_before_pct: 4.5,
      width_after_pct: 3.4,
      sentence:
        'One more run each with rack and with bare would narrow the 95 % interval from 4.5 to 3.4 percentage points.',
    },
  ],
  drift: null,
  evidence: [
    { kind: 'pump', remark: 'By the pump, consumption changed by +5.1 %.' },
    { kind: 'trip computer', remark: 'By the trip computer, consumption changed by −3.0 %.' },
    { kind: 'consistency', agree: false, remark: 'The pump and trip computer disagree (chi-square 9.1, p 0.003).' },
  ],
  worth: null,
  cautions: [],
  statement: `With rack in place of bare, 5.1 % more fuel. Left out: ${HOSTILE_NAME}.`,
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
      reason: 'The 95 % interval of the change at like conditions, −1.9 to +2.7 %, contains zero.',
      evidence: [],
    }),
    claim({
      setup: '=2+2',
      verdict: 'explained by conditions',
      adjusted_consumption_change_pct: change(1.2, -0.9, 3.3),
      adjusted_distance_per_fuel_change_pct: change(-1.2, -3.2, 0.9),
      reason: 'As measured the consumption is 4.2 % more, but at like conditions +1.2 % are left.',
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
      reason: `Cannot be tested: no run was driven with ${HOSTILE_NAME}.`,
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
      separating_run: 'one run on dyke-road with only -skirts fitted would tell -skirts and =covers',
    },
  ],
}
