import { atLeast, fixed, signed } from '../base/figures.ts'
import { cleaned } from '../base/names.ts'
import { bestStep } from './claim-words.ts'
import type { Cause, Report, ReportClaim, ReportPair, ReportRun } from './contract.ts'
import { FACTOR_WORDS, type Factor, largestFactor, plural, VERDICT_WORDS } from './words.ts'

/** What the user can do now, most useful first; each a sentence or two. */
export function nextSteps(report: Report): string[] {
  const { pairs, runs, problems } = report
  const steps = forTheClaims(report.claims)
  const of = (verdict: ReportPair['verdict']) => pairs.filter((pair) => pair.verdict === verdict)
  const judged = report.claims.some((claim) => claim.adjusted_consumption_change_pct !== null)
  if (!judged && of('comparable').length > 0) {
    steps.push(`Compare the fuel of the pairs marked ${VERDICT_WORDS.comparable.sign} as measured.`)
  }
  if (!judged && of('adjustable').length > 0) {
    steps.push(
      `For the pairs marked ${VERDICT_WORDS.adjustable.sign}, take out the difference made by the conditions before comparing fuel.`,
    )
  }
  steps.push(...forTheRest(of('not-comparable'), report))
  if (of('unknown').length > 0) steps.push(...forTheUnknown(of('unknown'), runs))
  if (runs.length < 2)
    steps.push('Put at least two GPX tracks with times into the folder, each of one drive of the same road.')
  const errors = problems.filter(({ severity }) => severity === 'error').length
  if (errors > 0) {
    steps.push(
      `See to ${errors === 1 ? 'the error' : `the ${errors} errors`} among the problems: what was wrong there was not used.`,
    )
  }
  return steps
}

const MOST_CLAIM_STEPS = 4

/** The best step of each claim, those that are not settled first. */
function forTheClaims(claims: readonly ReportClaim[]): string[] {
  const open = claims.toSorted((a, b) => Number(a.verdict === 'supported') - Number(b.verdict === 'supported'))
  return [...new Set(open.flatMap((claim) => bestStep(claim) ?? []))].slice(0, MOST_CLAIM_STEPS)
}

function forTheRest(pairs: readonly ReportPair[], report: Report): string[] {
  const { runs } = report
  const caused = (...causes: Cause[]) => pairs.filter(({ cause }) => cause !== null && causes.includes(cause))
  const steps: string[] = []
  if (caused('other-road', 'opposite-direction').length > 0) {
    steps.push('Drive one road in one direction each time: runs on different roads are never compared.')
  }
  if (caused('incomplete-road', 'detour').length > 0) {
    steps.push(
      'Start the recording before setting off and stop it at the end, and keep to the road: runs are compared over the whole of it.',
    )
  }
  const { margin_pct } = report.settings
  // A difference beyond the margin is itself the trouble; a small one in a wide interval is not.
  const byItsSize = (pair: ReportPair): boolean =>
    Math.abs(pair.difference_pct?.mean ?? 0) > margin_pct && ![null, 'wind'].includes(largestFactor(pair))
  const unsure = caused('not-known-well-enough').filter((pair) => !byItsSize(pair))
  if (unsure.length > 0) steps.push(unsureStep(unsure, report))
  const large = [...caused('too-large'), ...caused('not-known-well-enough').filter(byItsSize)]
  for (const factor of new Set(large.map(largestFactor))) {
    const example = large.find((pair) => largestFactor(pair) === factor)
    const like = example && runs.find((run) => run.id === example.a)
    if (factor !== null && like) steps.push(repeatStep(factor, like))
  }
  if (caused('outside-model').length > 0) {
    steps.push(
      'Repeat where a condition differs that the calculation does not carry; the reason of each pair names it.',
    )
  }
  return steps
}

function unsureStep(pairs: readonly ReportPair[], { runs, routes, settings }: Report): string {
  const ids = new Set(pairs.flatMap(({ a, b }) => [a, b]))
  const concerned = runs.filter(({ id }) => ids.has(id))
  const nearest = concerned.flatMap(({ air }) => {
    const distances = air.stations.flatMap((station) => station.distance_km ?? [])
    return distances.length > 0 ? [Math.min(...distances)] : []
  })
  const far =
    Math.max(0, ...nearest) >= 1 ? ` (the nearest used is up to ${fixed(Math.max(...nearest), 0)} km away)` : ''
  const undirected = concerned.some(({ flags }) => flags.some(({ code }) => code === 'wind-direction-unknown'))
  const direction = undirected ? ', with the direction of the wind, which is missing for some runs' : ''
  const allLoops = concerned.every(({ route }) => routes.find(({ id }) => id === route)?.shape !== 'one-way')
  const loop = allLoops ? '' : ', or drive a loop, where an error of the wind mostly cancels'
  const tightest = Math.min(...pairs.map(({ tightest_margin_pct: margin }) => margin ?? Number.POSITIVE_INFINITY))
  const best = Number.isFinite(tightest) ? `; the best of them would pass at ± ${atLeast(tightest, 1)} %` : ''
  return `${plural(pairs.length, 'pair')} failed because the conditions are not known to within ± ${settings.margin_pct} %${best}: add weather observations closer to the road and to the time${far}${direction}, or drive when there is less wind${loop}.`
}

function repeatStep(factor: Factor, like: ReportRun): string {
  const { air, wind } = like
  const name = cleaned(like.id)
  const asIn: Record<Factor, string> = {
    air_density: `air density near ${fixed(air.density_kgm3, 3)} kg/m³`,
    wind: `wind like that of ${name} (${fixed(wind.speed_mps, 1)} m/s from ${fixed(wind.from_deg, 0)}°, headwind ${signed(wind.headwind_mps, 1)} m/s)`,
    rolling_temperature: `a temperature near ${fixed(air.temperature_c, 0)} °C`,
    speed: `the speed of ${name} (${fixed(like.moving_speed_mps === null ? null : like.moving_speed_mps * 3.6, 0)} km/h while moving, ${plural(like.stop_count, 'stop')})`,
    route: `the very path of ${name}`,
  }
  return `Where ${FACTOR_WORDS[factor]} differs too much to adjust for, drive again with ${asIn[factor]}.`
}

function forTheUnknown(pairs: readonly ReportPair[], runs: readonly ReportRun[]): string[] {
  const ids = new Set(pairs.flatMap(({ a, b }) => [a, b]))
  const airless = runs.filter((run) => ids.has(run.id) && run.air.density_kgm3 === null)
  if (airless.length === 0)
    return [`Supply what is missing for the pairs marked ${VERDICT_WORDS.unknown.sign}; the reason of each names it.`]
  const names = airless
    .slice(0, 3)
    .map((run) => `${cleaned(run.id)} (${run.start_time.slice(0, 16).replace('T', ' ')} UTC)`)
  const more = airless.length > 3 ? ` and ${airless.length - 3} more` : ''
  return [
    `Add weather observations for ${names.join(', ')}${more}: a station's reports of that day near the road, or your own note of the wind and temperature in runs.csv.`,
  ]
}
