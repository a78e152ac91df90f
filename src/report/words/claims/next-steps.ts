import { atLeast, fixed } from '../../../base/figures.ts'
import { CLOCK, figure, joined, listing, moment, name, type Sentence, say } from '../../../base/sentence.ts'
import type { Cause, Report, ReportClaim, ReportPair, ReportRun } from '../../contract.ts'
import { glanceOf } from '../../glance.ts'
import type { Next } from '../../glance-answers.ts'
import { FACTOR_WORDS, type Factor, largestFactor, plural, VERDICT_WORDS, vaguestFactor } from '../../words.ts'
import { nextWords } from '../glance-next.ts'
import { usedIn } from '../used.ts'
import { bestStep } from './claims.ts'

/** What the user can do now, most useful first; each a sentence or two. The first is the step of the report's first lines. */
export function nextSteps(report: Report): Sentence[] {
  const { next } = glanceOf(report)
  const all = allSteps(report, next)
  const first = all.find(({ code }) => code === next.code)
  if (first) return [first, ...all.filter((step) => step !== first)].map(({ words }) => words)
  const { answer, more } = nextWords(next, usedIn(report))
  const told: Sentence = more.length > 0 ? joined([answer, ' ', more]) : answer
  return [told, ...all.map(({ words }) => words)]
}

/** A step, and the code of the first lines' step where it says the same with more to it. */
interface Step {
  code: Next['code'] | null
  words: Sentence
}

/** All steps in order; a step for a claim that says no more than the first lines' does is not among them. */
function allSteps(report: Report, next: Next): Step[] {
  const { pairs, runs, problems } = report
  const used = usedIn(report)
  const plain = (words: Sentence): Step => ({ code: null, words })
  const steps = forTheClaims(report.claims, next).map(plain)
  const of = (verdict: ReportPair['verdict']) => pairs.filter((pair) => pair.verdict === verdict)
  const judged = report.claims.some((claim) => claim.adjusted_consumption_change_pct !== null)
  if (!judged && of('comparable').length > 0) {
    steps.push(plain([`Compare the ${used} of the pairs marked ${VERDICT_WORDS.comparable.sign} as measured.`]))
  }
  if (!judged && of('adjustable').length > 0) {
    const which = `the pairs marked ${VERDICT_WORDS.adjustable.sign}`
    steps.push(plain([`For ${which}, correct for the conditions before comparing ${used}.`]))
  }
  steps.push(...forTheRest(of('not-comparable'), report), ...forTheUndecided(of('undecided'), report).map(plain))
  if (of('unknown').length > 0) steps.push(...forTheUnknown(of('unknown'), runs))
  if (pairs.length === 0 && runs.length > 1) steps.push(...forTheAirless(runs))
  const errors = problems.filter(({ severity }) => severity === 'error').length
  if (errors > 0) {
    const which = errors === 1 ? 'the error' : `the ${errors} errors`
    steps.push(plain([`Fix ${which} listed under Problems: what was wrong there was not used.`]))
  }
  return steps
}

const MOST_CLAIM_STEPS = 4
const MOST_NAMES = 3

/** The best step of each claim, those that are not settled first, but for what the first lines say already. */
function forTheClaims(claims: readonly ReportClaim[], next: Next): Sentence[] {
  const open = claims.toSorted((a, b) => Number(a.verdict === 'supported') - Number(b.verdict === 'supported'))
  const steps = open.flatMap((claim) => {
    const step = bestStep(claim)
    return step === null || isToldBy(next, claim) ? [] : [step]
  })
  const texts = steps.map((step) => JSON.stringify(step))
  return steps.filter((_, i) => texts.indexOf(texts[i]) === i).slice(0, MOST_CLAIM_STEPS)
}

/** Whether the first lines' step is the best step of a claim. */
function isToldBy({ code, setups }: Next, { next_steps: [best], setup, baseline }: ReportClaim): boolean {
  if (best?.step === 'more-runs')
    return (code === 'more-drives' || code === 'another-day') && [setup, baseline].every((one) => setups.includes(one))
  return best?.step === code
}

function forTheRest(pairs: readonly ReportPair[], report: Report): Step[] {
  const { runs } = report
  const caused = (...causes: Cause[]) => pairs.filter(({ cause }) => cause !== null && causes.includes(cause))
  const steps: Step[] = []
  const add = (words: Sentence, code: Step['code'] = null): void => void steps.push({ code, words })
  if (caused('other-road', 'opposite-direction').length > 0) {
    add(['Drive one road in one direction each time: drives on different roads are never compared.'], 'same-road')
  }
  if (caused('incomplete-road', 'detour').length > 0) {
    add([
      'Start recording before you set off, stop it after you arrive, and keep to the road: drives are compared over the whole of it.',
    ])
  }
  const large = caused('too-large', 'surely-different')
  for (const factor of new Set(large.map(largestFactor))) {
    const example = large.find((pair) => largestFactor(pair) === factor)
    const like = example && runs.find((run) => run.id === example.a)
    if (factor !== null && like) add(repeatStep(factor, like))
  }
  const outside = caused('outside-model')
  if (outside.length > 0) add(dryRoadStep(outside, runs))
  return steps
}

/** What would decide the undecided pairs: a step for each condition that leaves some of them open. */
function forTheUndecided(pairs: readonly ReportPair[], report: Report): Sentence[] {
  const factors = [...new Set(pairs.map(vaguestFactor))]
  return factors.map((factor) => {
    const group = pairs.filter((pair) => vaguestFactor(pair) === factor)
    return decidingStep(factor ?? 'wind', group, report)
  })
}

function decidingStep(factor: Factor, pairs: readonly ReportPair[], report: Report): Sentence {
  const margins = pairs.flatMap(({ tightest_margin_pct: margin }) => margin ?? [])
  const ids = new Set(pairs.flatMap(({ a, b }) => [a, b]))
  const concerned = report.runs.filter(({ id }) => ids.has(id))
  return joined([
    `To decide ${plural(pairs.length, 'undecided pair')}`,
    margins.length > 0 ? ` (smallest passing margin ±${atLeast(Math.min(...margins), 1)} %)` : null,
    `, ${FACTOR_WORDS[factor]} must be known better: `,
    ...decidedBy(factor, concerned, report),
  ])
}

function decidedBy(factor: Factor, concerned: readonly ReportRun[], { routes }: Report): Sentence {
  switch (factor) {
    case 'wind': {
      const undirected = concerned.some(({ flags }) => flags.some(({ code }) => code === 'wind-direction-unknown'))
      const allLoops = concerned.every(({ route }) => routes.find(({ id }) => id === route)?.shape !== 'one-way')
      return joined([
        'add weather observations closer to the road and to the time of the drive',
        nearestStationWords(concerned),
        undirected ? ', with the wind direction, which is missing for some drives' : null,
        ', or drive when there is less wind',
        allLoops ? null : ', or drive a loop, where an error of the wind mostly cancels',
        '.',
      ])
    }
    case 'air_density':
    case 'rolling_temperature':
      return joined([
        'note the temperature beside the road before and after each drive',
        factor === 'air_density' ? ', and add a station that reports pressure' : null,
        nearestStationWords(concerned),
        ', or drive again at a like temperature.',
      ])
    case 'speed':
      return [
        `${concerned.some(isSparse) ? 'record a position every second, ' : ''}state mass and drag area of the vehicle, or drive again at the same speeds.`,
      ]
    case 'route':
      return ['keep to the same path, or add terrain tiles for its heights.']
  }
}

/** Whether positions came less often than every few seconds, or not at all for a while. */
const isSparse = ({ flags }: ReportRun): boolean => flags.some(({ code }) => code === 'low-rate' || code === 'gaps')

/** "(the nearest station is up to 38 km away)": of the drive that is farthest from one. */
function nearestStationWords(runs: readonly ReportRun[]): Sentence | null {
  const nearest = runs.flatMap(({ air }) => {
    const distances = air.stations.flatMap((station) => station.distance_km ?? [])
    return distances.length > 0 ? [Math.min(...distances)] : []
  })
  const farKm = Math.max(0, ...nearest)
  return farKm < 1 ? null : say` (the nearest station is up to ${figure(1000 * farKm, 'distance', 0)} away)`
}

function repeatStep(factor: Factor, like: ReportRun): Sentence {
  const { air, wind } = like
  const asIn: Record<Factor, Sentence> = {
    air_density: say`an air density near ${figure(air.density_kgm3, 'density', 3)}`,
    wind: say`wind like that of ${name(like.id)} (${figure(wind.speed_mps, 'wind', 1)} from ${fixed(wind.from_deg, 0)}°, headwind ${figure(wind.headwind_mps, 'wind', 1, { sign: true })})`,
    rolling_temperature: say`a temperature near ${figure(air.temperature_c, 'temperature', 0)}`,
    speed: say`the speed of ${name(like.id)} (${figure(like.moving_speed_mps, 'speed', 0)} while moving, ${plural(like.stop_count, 'stop')})`,
    route: say`exactly the path of ${name(like.id)}`,
  }
  return say`Where ${FACTOR_WORDS[factor]} differs too much to correct for, drive again with ${asIn[factor]}.`
}

/** Names of drives, the first few; "a, b and 4 more". */
function someOf(ids: readonly (string | Sentence)[]): Sentence {
  const shown = ids.slice(0, MOST_NAMES).map((id) => (typeof id === 'string' ? name(id) : id))
  const more = ids.length - shown.length
  return listing(more > 0 ? [...shown, `${more} more`] : shown)
}

function dryRoadStep(pairs: readonly ReportPair[], runs: readonly ReportRun[]): Sentence {
  const ids = new Set(pairs.flatMap(({ a, b }) => [a, b]))
  const wet = runs.filter((run) => ids.has(run.id) && run.air.road_wet === true).map(({ id }) => id)
  return wet.length === 0 ? ['Repeat the drives on a dry road.'] : say`Repeat ${someOf(wet)} on a dry road.`
}

function forTheUnknown(pairs: readonly ReportPair[], runs: readonly ReportRun[]): Step[] {
  const ids = new Set(pairs.flatMap(({ a, b }) => [a, b]))
  const steps = forTheAirless(runs.filter((run) => ids.has(run.id)))
  if (steps.length > 0) return steps
  const which = `the pairs marked ${VERDICT_WORDS.unknown.sign}`
  return [{ code: null, words: [`Add what is missing for ${which}; each pair's reason names it.`] }]
}

function forTheAirless(runs: readonly ReportRun[]): Step[] {
  const airless = runs.filter((run) => run.air.density_kgm3 === null)
  if (airless.length === 0) return []
  const names = airless.map((run) => say`${name(run.id)} (${moment(run.start_time)} ${CLOCK})`)
  const words = say`Add weather observations for ${someOf(names)}: reports of that day from a station near the road, or your own note of wind and temperature in runs.csv.`
  return [{ code: 'add-weather', words }]
}
