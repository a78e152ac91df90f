import { join } from 'node:path'
import { ROOT, writeModules } from './bundle.mjs'

/**
 * Prints the sentences of report/words with sample values, one JSON object a line: { id, sample, text }. For whoever
 * edits the tool's English: `npm run sentences`. The samples are invented, and no result of the program.
 */
await writeModules()
const words = (name) => import(join(ROOT, 'dist-modules', 'report', 'words', `${name}.js`))
const { plainText } = await import(join(ROOT, 'dist-modules', 'base', 'sentence.js'))
const pairs = await words('pairs')
const reasons = await words('claims/claim-reasons')
const { statementWords } = await words('claims/statement')
const { evidenceWords } = await words('claims/evidence')
const { flagWords } = await words('drives/flags')
const { limitWords } = await words('claims/limits')
const { leftOutWords } = await words('drives/left-out')
const { claimProblemWords } = await words('checks/claim-problems')
const { conditionsWords } = await words('drives/conditions')
const { separatingWords, partRemark } = await words('claims/parts')
const { claimSentences } = await words('claims/claims')
const { answerOf } = await words('answer')
const { glanceWords } = await words('glance')
const { useReason } = await words('drives/drive-use')

const told = (id, sample, sentence) => console.log(JSON.stringify({ id, sample, text: plainText(sentence) }))

const pair = (changes) => ({
  a: 'monday',
  b: 'tuesday',
  difference_pct: { mean: 1.4, low90: 0.3, high90: 2.6 },
  verdict: 'not-comparable',
  cause: null,
  missing: [],
  outside_model: null,
  common_share: 0.86,
  contributions_pct: null,
  contributions_interval90_pct: null,
  remarks: [],
  remark_codes: [],
  score: 30,
  tightest_margin_pct: 2.6,
  ...changes,
})
const PAIRS = [
  { cause: 'other-road' },
  { cause: 'opposite-direction' },
  { cause: 'detour' },
  { cause: 'incomplete-road' },
  ...['weather', 'wind', 'temperature', 'demand'].map((what) => ({ cause: 'missing', missing: [what] })),
  { cause: 'outside-model', outside_model: 'wet-and-dry' },
  { cause: 'too-large' },
  { cause: 'not-known-well-enough' },
  { cause: 'not-known-well-enough', difference_pct: { mean: 8, low90: 5.6, high90: 10.5 } },
  { verdict: 'comparable', difference_pct: { mean: 0.3, low90: -0.2, high90: 0.8 } },
  { verdict: 'adjustable' },
]
for (const changes of PAIRS) {
  told('pairs.pairReason', changes, pairs.pairReason(pair(changes), { marginPct: 1, roads: ['route-1', 'route-2'] }))
}
const REMARKS = [
  ...['both-wet', 'wetness-unknown', 'recordings-overlap'].map((code) => ({ code })),
  { code: 'phase', a: 'day', b: 'night' },
  { code: 'tyre-pressure', a: 2.2e5, b: 2.6e5 },
  { code: 'accessories', a: 0, b: 300 },
  { code: 'payload', a: 75, b: 150 },
  { code: 'standing-share', a: 0.02, b: 0.11 },
]
for (const remark of REMARKS) told('pairs.pairRemark', remark, pairs.pairRemark(remark))
for (const changes of [{ cause: 'detour' }, { cause: 'incomplete-road' }, PAIRS[8]]) {
  told('pairs.reasonsTogether', changes, pairs.reasonsTogether([pair(changes), pair(changes)], (n) => `${n} pairs`))
}

const drive = {
  start_time: '2026-04-14T08:00:00Z',
  distance_m: 68_000,
  moving_speed_mps: 20,
  demand: { mean_j_per_m: 700, sd_pct: 4 },
  air: { temperature_c: 12, density_kgm3: 1.214, road_wet: false, stations: [] },
  wind: { speed_mps: 3.4, from_deg: 235, headwind_mps: -0.4 },
  sun: { phase: 'twilight' },
}
told('conditions.conditionsWords', {}, conditionsWords(drive))

const change = (estimate, low95, high95) => ({ estimate, low95, high95 })
const drift = { runs: ['a', 'b'], span_hours: 26, change_over_span_pct: change(6.4, 3, 9.9), resolved: true, corrected: false }
const sense = { drag_share: 0.42, most_saving_bound_pct: -50, verdict: 'possible' }
const estimate = (kind, changes = {}) => ({
  kind,
  consumption_change_pct: change(-5, -9, -1),
  readings: [{ value: 410 }],
  baseline_readings: [{ value: 402 }],
  reading_sd_pct: kind === 'pump' ? null : 2,
  readings_scatter_more: false,
  says_little: false,
  ...changes,
})
const apart = { kind: 'trip computer', from_others_pct: 12, standard_deviations: 3.2 }
const agreement = (changes) => ({
  kind: 'consistency',
  pump_widened_by: null,
  chi_square: 9.1,
  degrees_of_freedom: 1,
  p: 0.003,
  agree: false,
  stands_apart: null,
  furthest: null,
  ...changes,
})
const claim = (changes = {}) => ({
  setup: 'bare',
  baseline: 'ladders',
  route: 'route-1',
  pooled: false,
  runs: ['monday'],
  baseline_runs: ['tuesday', 'wednesday'],
  left_out: [{ run: 'friday', why: { code: 'wet' } }],
  control: null,
  held_back: null,
  stints: null,
  worth: null,
  scatter: null,
  by_fuel_alone_consumption_change_pct: null,
  measured_by: ['l'],
  measured_per_100_km: { unit: 'l', setup: 7, baseline: 7.4 },
  raw_consumption_change_pct: change(-5.4, -7, -3.8),
  adjusted_consumption_change_pct: change(-6, -8.7, -4.2),
  adjusted_distance_per_fuel_change_pct: change(6.4, 4.4, 9.5),
  conditions_change_pct: change(0.6, -0.4, 1.6),
  implied_drag_area_change_pct: change(-14, -20, -9),
  verdict: 'supported',
  missing: null,
  sense: null,
  drift: null,
  evidence: [],
  next_steps: [{ step: 'more-runs', width_before_pct: 6.2, width_after_pct: 4.6 }],
  caution_codes: [],
  fuel_measured: { fill_sd_l: 0.15, at_15c: true },
  ...changes,
})
const none = { adjusted_consumption_change_pct: null, adjusted_distance_per_fuel_change_pct: null, verdict: 'not testable' }
const missing = ['not-driven', 'all-left-out', 'no-usable-fuel', 'baseline-elsewhere', 'no-conditions']
const CLAIMS = [
  {},
  { verdict: 'unresolved', adjusted_consumption_change_pct: change(0.4, -1.9, 2.7) },
  { verdict: 'explained by conditions', adjusted_consumption_change_pct: change(-1, -2.5, 0.5) },
  { verdict: 'explained by conditions', adjusted_consumption_change_pct: change(-5, -10.5, 0.5) },
  ...missing.map((code) => ({ ...none, missing: { code, setups: ['bare'] } })),
]
for (const changes of CLAIMS) {
  const one = claim(changes)
  told('claim-reasons.claimReason', changes, reasons.claimReason(one))
  told('claims.claimSentences', changes, claimSentences({ claims: [one] })[0])
}
const drives = new Map(['monday', 'tuesday', 'wednesday'].map((id) => [id, drive]))
told('statement.statementWords', {}, statementWords(claim(), drives))
told('statement.statementWords', none, statementWords(claim({ ...CLAIMS.at(-1) }), drives))
const cautions = ['single-drive', 'large-correction', 'fuel-temperature-partly-read', 'no-drift-correction', 'drift']
for (const code of cautions) {
  told('claim-reasons.cautionWords', { code }, reasons.cautionWords({ code, setups: ['bare'] }, claim({ drift })))
}
for (const changes of [{}, { corrected: true }, { resolved: false }]) {
  told('claim-reasons.driftWords', changes, reasons.driftWords({ ...drift, ...changes }))
}
for (const verdict of ['possible', 'estimate beyond', 'beyond']) {
  told('claim-reasons.senseWords', { verdict }, reasons.senseWords({ ...sense, verdict }, change(-14, -20, -9)))
}
const worth = { yearly_distance_km: 15_000, fuel_unit: 'l', fuel: change(62, 41, 90) }
told('claim-reasons.worthWords', {}, reasons.worthWords(worth))
for (const step of ['more-runs', 'weigh-the-fuel', 'longer-route', 'nearer-anemometer']) {
  told('claim-reasons.nextStepWords', { step }, reasons.nextStepWords({ ...claim().next_steps[0], step }, claim()))
}
const little = { says_little: true, consumption_change_pct: change(-20, -47, 21) }
const EVIDENCE = [
  [estimate('pump'), estimate('trip computer', { readings_scatter_more: true }), agreement({})],
  [estimate('pump'), estimate('gauge mark', little), agreement({ agree: true, p: 0.6 })],
  [estimate('pump'), estimate('trip computer'), estimate('logged fuel'), agreement({ stands_apart: apart, pump_widened_by: 1.6 })],
  [estimate('pump'), estimate('trip computer'), estimate('logged fuel'), agreement({ agree: true, furthest: apart })],
]
for (const evidence of EVIDENCE) {
  for (const sentence of evidenceWords(claim({ evidence }))) told('evidence.evidenceWords', {}, sentence)
}
const fuel = { amount: 80, unit: 'l', low: 0.8, high: 120, usual: 8 }
const WHY = [
  { code: 'stated', note: 'flat tyre' },
  ...['part', 'detour', 'wet', 'dry', 'no-fuel', 'no-conditions', 'other-unit'].map((code) => ({ code })),
  { code: 'impossible-fuel', ...fuel, distance_m: 100_000, per_100_km: 80 },
]
for (const why of WHY) told('left-out.leftOutWords', why, leftOutWords(why))
const FAULTS = [
  { code: 'impossible-consumption', track: 'monday.gpx', ...fuel, distanceM: 100_000, per100Km: 80 },
  { code: 'setup-undefined', setup: 'laders', runs: 2, defined: ['bare', 'ladders'], near: 'ladders' },
  { code: 'baseline-never-driven', baseline: 'bare' },
  { code: 'baseline-assumed', baseline: 'bare', by: 'driven-first' },
  { code: 'fuel-without-setup', tracks: ['monday.gpx'] },
  { code: 'mixed-fuel-units', unit: 'l', runs: 1, found: ['kg'] },
  { code: 'fuel-and-electricity', unit: 'l', runs: 2 },
  { code: 'odometer-off', share: 0.03 },
  { code: 'odometer-disagrees', track: 'monday.gpx', odometerM: 104_000, corrected: true, distanceM: 100_000, share: 0.04 },
  { code: 'fill-chain-broken', track: 'monday.gpx', fillGroup: 'a' },
]
for (const fault of FAULTS) told('claim-problems.claimProblemWords', fault, claimProblemWords(fault))
const FLAGS = {
  gaps: { count: 2, longest_s: 42, bridged_m: 810 },
  'position-jumps': { count: 1, farthest_m: 60 },
  'low-rate': { interval_s: 12 },
  'coarse-positions': { scatter_m: 20 },
  'cut-while-moving': { start_mps: 12, end_mps: 20 },
  'no-elevation': {},
  'little-elevation': { share: 0.3 },
  'elevation-drift': { drift_m: 21 },
  'part-of-route': { share: 0.6 },
  detour: { length_m: 3200 },
  'no-weather': {},
  'no-wind': {},
  'no-temperature': {},
  'pressure-assumed': { sd_hpa: 9 },
  'humidity-assumed': { humidity: 0.6, sd: 0.2 },
  'wind-direction-unknown': {},
}
for (const [code, figures] of Object.entries(FLAGS)) told(`flags.${code}`, figures, flagWords({ code, figures, message: '' }))
const reading = { condition: 'mean-wind', value: 4, height_m: 10, brought: { value: 2.17, height_m: 0.7 }, height_unknown: false }
told('limits.limitWords', reading, limitWords(reading))
told('parts.separatingWords', {}, separatingWords({ road: 'route-1', parts: ['bars'], setup: null, tells: ['ladders'] }))
told('parts.partRemark', {}, partRemark({ inseparable_from: ['ladders'], never_left_off: true }))

const run = (id) => ({ id, setup: 'bare', route: 'route-1', stop_count: 2, flags: [], ...drive })
const shares = (wind) => ({ air_density: 0.1, wind, rolling_temperature: 0, speed: 0, route: 0 })
const intervals = Object.fromEntries(Object.keys(shares(0)).map((key) => [key, { low90: 1, high90: 2 }]))
const largest = { contributions_pct: shares(8), contributions_interval90_pct: intervals }
const REPORTS = PAIRS.map((changes) => [{ ...largest, ...changes }, { verdict: 'comparable' }])
const seen = new Set()
for (const some of [[], ...REPORTS, [{ ...PAIRS[9], ...largest }], [{ verdict: 'unknown', cause: 'missing' }]]) {
  const answer = answerOf({
    runs: some.length === 0 ? [] : [run('monday'), run('tuesday')],
    routes: [{ id: 'route-1', shape: 'one-way' }],
    pairs: some.map(pair),
    pairs_note: null,
    consumption: [],
    settings: { margin_pct: 1 },
    claims: [],
    problems: [{ severity: 'error' }],
  })
  for (const sentence of [answer.headline, ...answer.sentences, ...answer.nextSteps]) {
    const text = plainText(sentence)
    if (seen.has(text)) continue
    seen.add(text)
    told('answer.answerOf', { pairs: some }, sentence)
  }
}

const use = (as, code) => ({ as, why: { code }, difference_pct: pair().difference_pct, pairs: 3, usable_pairs: 0 })
const USES = [
  use('as-measured', 'within-margin'),
  ...['outside-margin', 'uncertain', 'adjustable'].map((code) => use('corrected', code)),
  ...['not-corrected', 'comparable'].map((code) => use('as-measured', code)),
  ...['no-claim', 'not-comparable', 'undecided', 'wet-and-dry', 'no-weather', 'no-partner'].map((code) => use('left-out', code)),
]
for (const one of USES) told('drive-use.useReason', { why: one.why }, useReason(one, 2))

const used = { runs: [{ use: use('left-out', 'wet') }], claims: [] }
const glance = (changes) => ({
  compare: { level: 'partly', drives: 8, asMeasured: 2, corrected: 5, leftOut: 1 },
  helped: [],
  noClaim: 'no-fuel',
  next: { code: 'publish', setups: [], widths: null, dryRoad: false },
  ...changes,
})
const glanceTold = (line, sample, changes) => {
  const { answer, more } = glanceWords(used, glance(changes))[line]
  told(`glance.${line}`, sample, [...answer, ' ', ...more])
}
for (const level of ['yes', 'partly', 'no', 'not-known', 'too-few']) {
  glanceTold('compare', { level }, { compare: { ...glance().compare, level, drives: level === 'too-few' ? 1 : 8 } })
}
for (const noClaim of ['no-fuel', 'no-setups', 'no-drives']) glanceTold('helped', { noClaim }, { noClaim })
const helped = (changes) => ({ claim: claim({ drift }), level: 'not-shown', reservations: [], why: null, ...changes })
const NOT_SHOWN = ['contains-zero', 'drift', 'large-correction', 'scatter-grew', 'wet-unknown', 'conditions', 'conditions-possible']
for (const why of NOT_SHOWN) glanceTold('helped', { why }, { noClaim: null, helped: [helped({ why })] })
const RESERVATIONS = [
  ...['evidence-apart', 'drift', 'single-drive', 'single-stint', 'no-usable-pair', 'battery-not-known', 'one-session'],
  ...['drag-exceeded', 'no-drift-correction', 'fuel-temperature-partly-read'],
]
for (const code of RESERVATIONS) {
  const reserved = helped({ level: 'reserved', reservations: [{ code, setups: ['bare'] }] })
  glanceTold('helped', { code }, { noClaim: null, helped: [reserved] })
}
const NEXT = [
  ...['add-tracks', 'same-road', 'add-weather', 'add-fuel', 'add-setups', 'remove-drift', 'settle-evidence', 'add-missing'],
  ...['more-drives', 'another-day', 'weigh-the-fuel', 'longer-route', 'nearer-anemometer', 'publish'],
]
for (const code of NEXT) {
  const widths = code.startsWith('add') ? null : { before: 6.2, after: 4.5 }
  glanceTold('next', { code }, { next: { code, setups: ['bare', 'ladders'], widths, dryRoad: code === 'more-drives' } })
}
