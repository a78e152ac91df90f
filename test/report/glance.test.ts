import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { plainText } from '../../src/base/sentence.ts'
import type { Report, ReportClaim, ReportRun } from '../../src/report/contract.ts'
import { DATA_DOUBTS } from '../../src/report/data-doubts.ts'
import { htmlPage } from '../../src/report/page/page.ts'
import { terminalSummary } from '../../src/report/terminal/terminal.ts'
import { nextSteps } from '../../src/report/words/claims/next-steps.ts'
import { glanceWords } from '../../src/report/words/glance.ts'
import { changeAtAGlance } from '../../src/report/words/glance-claims.ts'
import { claim } from './claims-fixture.ts'
import { fixture, pair } from './fixture.ts'

/** Whether a line says what a reader must take away is decided by the rules of issue and design, not by our output. */
const [model] = fixture.runs
type As = ReportRun['use']['as']
type Why = ReportRun['use']['why']
const drive = (id: string, as: As = 'as-measured', why: Why = { code: 'within-margin' }): ReportRun => ({
  ...model,
  id,
  use: { ...model.use, as, why, difference_pct: { mean: 0.2, low90: -0.3, high90: 0.8 } },
})
const change = (estimate: number, half: number) => ({ estimate, low95: estimate - half, high95: estimate + half })
const supported = (changes: Partial<ReportClaim> = {}): ReportClaim => ({
  ...claim(),
  setup: 'bars',
  baseline: 'ladders',
  runs: ['b1', 'b2'],
  baseline_runs: ['a1', 'a2'],
  verdict: 'supported',
  held_back: null,
  missing: null,
  drift: null,
  sense: null,
  evidence: [],
  caution_codes: [],
  cautions: [],
  adjusted_consumption_change_pct: change(-4.6, 2),
  ...changes,
})
const report = (claims: ReportClaim[], changes: Partial<Report> = {}): Report => ({
  ...fixture,
  runs: [drive('a1'), drive('a2'), drive('b1'), drive('b2', 'corrected', { code: 'outside-margin' })],
  pairs: [pair('a1', 'b1'), pair('a2', 'b2')],
  claims,
  ...changes,
})
const drift = (pct: number): NonNullable<ReportClaim['drift']> => ({
  runs: ['a1', 'a2'],
  span_hours: 30,
  change_over_span_pct: change(pct, 1),
  resolved: true,
  corrected: false,
  sentence: '',
})
const helped = (...claims: ReportClaim[]): string => plainText(glanceWords(report(claims)).helped.answer)

describe('did it help', () => {
  it('a change shown without reservation is a plain yes, or no where more is used', () => {
    expect(helped(supported())).toBe('Yes: 4.6 % less fuel.')
    expect(helped(supported({ adjusted_consumption_change_pct: change(5, 2) }))).toBe('No: 5.0 % more fuel.')
    expect(helped(supported(), supported({ setup: 'bare' }))).toBe('Yes: both changes save fuel.')
  })

  it('what weakens a claim stands in the same sentence', () => {
    const single = supported({ caution_codes: [{ code: 'single-drive', setups: ['bars'] }] })
    expect(helped(single)).toBe('Yes: 4.6 % less fuel, but it rests on one drive.')
    expect(helped(supported({ setup: 'bare' }), single)).toBe('Yes, but "bars" rests on one drive.')
    const baseline = supported({ caution_codes: [{ code: 'single-drive', setups: ['ladders'] }] })
    expect(helped(baseline)).toBe('Yes: 4.6 % less fuel, but it rests on one drive with "ladders".')
    const session = supported({ caution_codes: [{ code: 'one-session', setups: ['bars'] }] })
    expect(helped(session)).toMatch(/^Yes: .*, but .*one go/)
    const battery = supported({ caution_codes: [{ code: 'battery-not-known', setups: [] }] })
    expect(helped(battery)).toMatch(/^Yes: .*, but .*battery/)
  })

  it('a drift as large as the change takes the yes away, a smaller one qualifies it', () => {
    const caution = { code: 'drift' as const, setups: [] }
    expect(
      helped(supported({ verdict: 'unresolved', held_back: 'drift', drift: drift(6.4), caution_codes: [caution] })),
    ).toMatch(/^Not shown yet: .*drifted.*\+6\.4/)
    expect(helped(supported({ drift: drift(1.2), caution_codes: [caution] }))).toMatch(
      /^Yes: .*, but .*drifted by \+1\.2/,
    )
    const open = supported({ verdict: 'unresolved', drift: drift(1.2), caution_codes: [caution] })
    expect(plainText(glanceWords(report([open])).next.answer)).toMatch(/^The baseline drifts: .*"ladders"/)
    expect(helped(supported({ drift: { ...drift(6.4), corrected: true }, caution_codes: [caution] }))).toBe(
      'Yes: 4.6 % less fuel.',
    )
  })

  it('a claim of drives that no pair lets compare says so', () => {
    const apart = ['a1', 'a2'].flatMap((a) =>
      ['b1', 'b2'].map((b) => pair(a, b, { verdict: 'not-comparable', cause: 'surely-different' })),
    )
    const told = glanceWords(report([supported()], { pairs: apart }))
    expect(plainText(told.helped.answer)).toMatch(/^Yes: .*, but .*no two drives are comparable/)
  })

  it('unresolved is not no', () => {
    const open = supported({ verdict: 'unresolved', adjusted_consumption_change_pct: change(-2, 4) })
    expect(helped(open)).toMatch(/^Not shown yet/)
    expect(helped(supported({ verdict: 'unresolved', held_back: 'scatter-grew' }))).toMatch(
      /^Not shown yet.*differ more/,
    )
    expect(helped(supported({ verdict: 'unresolved', held_back: 'large-correction' }))).toMatch(/^Not shown yet/)
    expect(helped(supported({ setup: 'bare' }), open)).toBe('In part: shown for "bare", not yet for "bars".')
  })

  it('a claim held back for roads of which nobody says asks for the column that says it', () => {
    const told = glanceWords(report([supported({ verdict: 'unresolved', held_back: 'wet-unknown' })]))
    expect(plainText(told.next.answer)).toMatch(/wet or dry into the column road_wet of runs.csv/)
  })

  it('of one drive says one thing throughout: which setup must be driven next', () => {
    const waiting = (setup: string): ReportClaim =>
      supported({
        setup,
        verdict: 'not testable',
        adjusted_consumption_change_pct: null,
        raw_consumption_change_pct: null,
        runs: [],
        baseline_runs: [],
        missing: { code: 'not-driven', setups: [setup] },
        next_steps: [],
      })
    const one = { ...drive('a1', 'left-out', { code: 'no-counterpart' }), setup: 'ladders' }
    const only = report([waiting('bars'), waiting('bare')], { runs: [one], pairs: [], problems: [] })
    const told = glanceWords(only)
    expect(plainText(told.helped.answer)).toBe('Cannot be told: no drive was made with bars or bare.')
    expect(told.claims.map(({ drives }) => drives)).toEqual(['0 drives against 1', '0 drives against 1'])
    expect(nextSteps(only).map((step) => plainText(step))).toEqual([plainText(told.next.answer)])
    expect(plainText(told.next.answer)).toBe('Drive the same road with "bars" and "bare".')
    const text = terminalSummary(only, { width: 100, color: false })
    expect(text).toContain('0 : 1')
    expect(text).not.toMatch(/0 : 0|excluded|no claim/)
    expect(htmlPage(only)).toContain('<span class="hidden">not used yet: </span>alone')
  })

  it('without fuel nothing is claimed', () => {
    expect(helped()).toBe('Not tested: no fuel is given.')
  })
})

describe('the change in words', () => {
  it.each([
    [change(-6, 3.1), '6.0 % less fuel (2.9 to 9.1 %)'],
    [change(6, 3.1), '6.0 % more fuel (2.9 to 9.1 %)'],
    [change(-2, 4), '2.0 % less fuel (6.0 % less to 2.0 % more)'],
    // An end that one decimal would call zero is shown away from it.
    [change(-2, 1.97), '2.0 % less fuel (0.1 to 4.0 %)'],
  ])('%o', (interval, words) => expect(changeAtAGlance(interval)).toBe(words))
})

describe('what next', () => {
  const wide = (more: number, weighed: number) =>
    supported({
      verdict: 'unresolved',
      adjusted_consumption_change_pct: change(-2, 30),
      caution_codes: [{ code: 'single-drive', setups: ['bars'] }],
      next_steps: [
        { step: 'weigh-the-fuel' as const, after: weighed },
        { step: 'more-runs' as const, after: more },
      ]
        .toSorted((a, b) => a.after - b.after)
        .map(({ step, after }) => ({ ...claim().next_steps[0], step, width_before_pct: 60, width_after_pct: after })),
    })
  const next = (one: ReportClaim): string => plainText(glanceWords(report([one])).next.answer)

  it('is one more drive of a setup that has one, but not where weighing does far more for a wide interval', () => {
    expect(next(wide(41, 35))).toMatch(/^Drive once more/)
    expect(next(wide(41, 11))).toMatch(/^Weigh the fuel/)
  })
})

describe('can I compare', () => {
  it('does not call a drive excluded that is only alone so far', () => {
    const runs = [
      drive('a'),
      drive('b'),
      drive('c', 'left-out', { code: 'wet' }),
      drive('d', 'left-out', { code: 'no-partner' }),
    ]
    const { more } = glanceWords(report([], { runs, pairs: [pair('a', 'b')] })).compare
    expect(plainText(more)).toContain('Excluded: 1 (wet road). Not used yet: 1 (alone).')
  })

  const compare = (runs: ReportRun[], more: Partial<Report> = {}): string => {
    const { answer, more: rest } = glanceWords(report([supported()], { runs, ...more })).compare
    return `${plainText(answer)} ${plainText(rest)}`
  }
  it('counts drives by their use, and says why some are left out', () => {
    expect(compare([drive('a'), drive('b')])).toBe('Yes: all 2 drives can be used. 2 as measured.')
    const some = [drive('a'), drive('b', 'corrected'), drive('c', 'left-out', { code: 'wet' })]
    expect(compare(some)).toBe('2 of 3 drives can be used. 1 as measured, 1 after correction. Excluded: 1 (wet road).')
  })
  it('is no plain yes where no two drives are comparable, whatever the claim says', () => {
    const apart = { verdict: 'not-comparable', cause: 'surely-different' } as const
    const two = [drive('a', 'corrected'), drive('b', 'corrected')]
    const none = { pairs: [pair('a', 'b', apart)] }
    const words = 'All 2 drives can be used, but only after correction: no two of them are comparable.'
    expect(compare(two, none)).toContain(words)
    const open = supported({ verdict: 'unresolved' })
    expect(plainText(glanceWords(report([open], { runs: two, ...none })).compare.answer)).toBe(words)
    // A pair of one setup says nothing of the change.
    const setups = ['plain', 'plain', 'skirt'].map((setup, i) => ({ ...drive('abc'[i], 'corrected'), setup }))
    const within = { pairs: [pair('a', 'b'), pair('a', 'c', apart), pair('b', 'c', apart)] }
    expect(compare(setups, within)).toMatch(/^All 3 .* no two with different setups are comparable/)
    expect(compare(setups, { pairs: [...within.pairs, pair('b', 'c')] })).toMatch(/^Yes/)
  })
  it('does not rule drives out that only lack a claim, where no pair is known to within the margin', () => {
    const open = ['a', 'b'].map((id) => drive(id, 'left-out', { code: 'undecided' }))
    const words = compare(open, { claims: [] })
    expect(words).toMatch(/^Not as they are: of no two of the 2 drives is it known to within [\d.]+ % /)
    expect(words).toContain('A claim needs less')
    const apart = ['a', 'b'].map((id) => drive(id, 'left-out', { code: 'not-comparable' }))
    expect(compare(apart, { claims: [] })).toMatch(/^No: no two of the 2 drives can be used/)
  })
  it('says what is missing before it says no', () => {
    const airless = [
      drive('a', 'left-out', { code: 'no-weather' }),
      drive('b', 'left-out', { code: 'no-weather' }),
    ].map((run) => ({ ...run, demand: { mean_j_per_m: null, sd_pct: null } }))
    expect(compare(airless, { claims: [] })).toMatch(/^Cannot be told: no weather/)
    expect(plainText(glanceWords(report([], { runs: airless })).next.answer)).toMatch(/^Add weather/)
    expect(compare([], { claims: [] })).toMatch(/no drive could be read/)
    expect(compare([drive('a')], { claims: [] })).toMatch(/takes two/)
  })
})

describe('what next, where drives are missing', () => {
  const missing = (setup: string) =>
    supported({
      verdict: 'not testable',
      adjusted_consumption_change_pct: null,
      runs: [],
      baseline_runs: [],
      missing: { code: 'not-driven', setups: [setup] },
    })
  const told = (claim: ReportClaim) =>
    glanceWords(report([claim], { runs: [{ ...drive('a1'), setup: 'ladders' }], pairs: [] }))
  it('a setup nobody drove is to be driven, and the baseline’s drive is counted', () => {
    const { next, claims } = told(missing('bars'))
    expect(plainText(next.answer)).toBe('Drive the same road with "bars".')
    expect(claims[0].drives).toBe('0 drives against 1')
  })
  it('a baseline written wrongly is told with the setup that was meant, and nothing is said to help', () => {
    const settings = { ...report([]).settings, baseline: 'laders' }
    const runs = [drive('a1'), drive('a2')].map((run) => ({ ...run, setup: 'ladders' }))
    const { helped, next } = glanceWords(report([], { runs, settings }))
    expect(plainText(helped.answer)).toBe('Not tested: no drive has the setup "laders", which is the baseline.')
    expect(plainText(next.answer)).toBe(
      'Correct the baseline in campaign.yaml: no drive has the setup "laders". Did you mean "ladders"?',
    )
  })
  it('a baseline nobody drove is first of all to be looked up in campaign.yaml', () => {
    expect(plainText(told(missing('ladders')).next.answer)).toMatch(
      /^Correct the baseline in campaign\.yaml.*"ladders"/,
    )
  })
})

describe('values that are used and probably wrong', () => {
  const problem = (code: string, severity: 'warning' | 'note' = 'warning'): Report['problems'][number] => ({
    path: 'fuel.csv',
    line: 4,
    column: null,
    code,
    severity,
    message: '',
    hint: null,
  })
  const told = (...problems: Report['problems']) => glanceWords(report([supported()], { problems }))
  it.each(DATA_DOUBTS)('%s is to be corrected first, and reserves the claim', (code) => {
    const { next, helped } = told(problem(code))
    expect(plainText(next.answer)).toMatch(/^Check and correct fuel\.csv, line 4: /)
    expect(plainText(helped.answer)).toMatch(/^Yes: .*, but it rests on values that are probably wrong/)
  })
  it('a note and any other warning leave the answers as they are', () => {
    const { next, helped } = told(problem('odometer-off', 'note'), problem('column-guessed'))
    expect(plainText(next.answer)).toMatch(/^Publish/)
    expect(plainText(helped.answer)).toBe('Yes: 4.6 % less fuel.')
  })
})

it('every problem that casts doubt on values is one that the tool has', () => {
  const codes = readFileSync(new URL('../../docs/problem-codes.md', import.meta.url), 'utf8')
  expect(DATA_DOUBTS.filter((code) => !codes.includes(`\`${code}\``))).toEqual([])
})
