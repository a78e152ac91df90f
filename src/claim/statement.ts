import type { RunConsumption } from './consumption.ts'
import type { FuelUnit } from './measure.ts'
import type { Interval95 } from './types.ts'
import type { Judgement } from './verdict.ts'
import { counted, figure, listed, moreOrLess, rangeInWords, signedFigure } from './wording.ts'

/** What a statement is made of. */
export interface StatementParts extends Judgement {
  setup: string
  baseline: string
  /** null for a claim pooled over routes or without one. */
  route: string | null
  raw: Interval95 | null
  adjusted: Interval95 | null
  adjustedDistance: Interval95 | null
  setupRuns: RunConsumption[]
  baselineRuns: RunConsumption[]
  leftOut: { id: string; reason: string }[]
  /** Sentences that whoever reads the claim must know. */
  cautions: string[]
  /** Of one fill, litres. */
  fillSdLitres: number
}

/** Conditions of more runs than this are not told one by one. */
const MOST_CONDITIONS = 4

/** One paragraph that can be published: the change, its interval, runs, conditions, what was adjusted and what was not. */
export function statementOf(parts: StatementParts): string {
  const sentences = parts.adjusted ? told(parts, parts.adjusted) : untold(parts)
  return sentences.filter((sentence) => sentence !== '').join(' ')
}

function told(parts: StatementParts, adjusted: Interval95): string[] {
  const noun = nounFor(parts)
  const distance = parts.adjustedDistance!
  return [
    `With ${parts.setup} in place of ${parts.baseline}${placeOf(parts)}, the vehicle used ${moreOrLess(adjusted.estimate)} ${noun} for the same distance under like conditions (95 % interval ${rangeInWords(adjusted)}); in other words ${moreOrLess(distance.estimate)} distance for the same ${noun} (${rangeInWords(distance)}).`,
    ...(parts.raw
      ? [
          `As measured, before adjusting, the change of consumption was ${signedFigure(parts.raw.estimate)} % (${rangeInWords(parts.raw)}).`,
        ]
      : []),
    runsInWords(parts),
    howMeasured(parts),
    'Each run was adjusted, by a model of the unchanged vehicle, for wind, air density, temperature and its own recorded speed, stops and slopes; not for rain or a wet road, other traffic, tyre pressure, the quality of the fuel, or anything else that a track and a weather report do not show.',
    conditionsInWords(parts),
    leftOutInWords(parts),
    ...parts.cautions,
    verdictInWords(parts),
  ]
}

function untold(parts: StatementParts): string[] {
  const raw = parts.raw
    ? `As measured, and not adjusted for any condition, the vehicle used ${moreOrLess(parts.raw.estimate)} ${nounFor(parts)} for the same distance with ${parts.setup} than with ${parts.baseline}${placeOf(parts)} (95 % interval ${rangeInWords(parts.raw)}); wind and weather may have made all of it.`
    : `Nothing can be said yet of ${parts.setup} against ${parts.baseline}${placeOf(parts)}.`
  return [
    raw,
    ...(parts.raw ? [runsInWords(parts), howMeasured(parts), conditionsInWords(parts)] : []),
    leftOutInWords(parts),
    verdictInWords(parts),
  ]
}

/** In the statement the figures have been said already. */
function verdictInWords({ verdict, reason }: Judgement): string {
  if (verdict === 'supported') return 'Verdict: supported; the 95 % interval excludes zero.'
  if (verdict === 'unresolved') {
    return 'Verdict: unresolved; the 95 % interval contains zero, so these runs neither show a change nor rule one out.'
  }
  return `Verdict: ${verdict}. ${reason}`
}

const placeOf = ({ route }: StatementParts): string => (route === null ? '' : ` on ${route}`)

const unitOf = ({ setupRuns, baselineRuns }: StatementParts): FuelUnit => [...setupRuns, ...baselineRuns][0].unit

const nounFor = (parts: StatementParts): string => (unitOf(parts) === 'kWh' ? 'energy' : 'fuel')

const dayOf = (seconds: number): string => new Date(1000 * seconds).toISOString().slice(0, 10)

function runsInWords(parts: StatementParts): string {
  const all = [...parts.setupRuns, ...parts.baselineRuns]
  const days = all.map((c) => dayOf(c.run.startTime)).sort()
  const km = all.map((c) => c.distanceM / 1000)
  const when = days[0] === days[days.length - 1] ? `on ${days[0]}` : `between ${days[0]} and ${days[days.length - 1]}`
  const [shortest, longest] = [figure(Math.min(...km), 0), figure(Math.max(...km), 0)]
  const length = shortest === longest ? `${longest} km` : `${shortest} to ${longest} km`
  return `This rests on ${counted(parts.setupRuns.length, 'run')} with ${parts.setup} and ${parts.baselineRuns.length} with ${parts.baseline}, of ${length} each, driven ${when} (UTC).`
}

function howMeasured(parts: StatementParts): string {
  const all = [...parts.setupRuns, ...parts.baselineRuns]
  const unit = unitOf(parts)
  if (unit === 'kWh') return 'Energy was read from the charger.'
  if (unit === 'kg') return 'Fuel was weighed.'
  const at15C = all.every((c) => c.reading.at15C)
  const temperature = at15C ? 'volumes are brought to 15 °C' : 'the temperature of the fuel is not known'
  return `Fuel was measured by refilling at the pump, each fill taken to repeat to ${figure(parts.fillSdLitres, 2)} l (one standard deviation); ${temperature}.`
}

function conditionsInWords(parts: StatementParts): string {
  const of = (name: string, runs: RunConsumption[]): string => `with ${name}: ${rangeOfConditions(runs)}`
  return `Conditions ${of(parts.setup, parts.setupRuns)}. Conditions ${of(parts.baseline, parts.baselineRuns)}.`
}

/** One run's own line; of several runs the range of each figure, or their lines where figures are not known. */
function rangeOfConditions(runs: RunConsumption[]): string {
  const air = runs.flatMap(({ run }) => run.air ?? [])
  if (runs.length > 1 && air.length === runs.length) {
    const range = (values: number[], digits: number): string => {
      const [low, high] = [figure(Math.min(...values), digits), figure(Math.max(...values), digits)]
      return low === high ? low : `${low} to ${high}`
    }
    return [
      `${range(
        air.map((a) => a.temperatureC),
        0,
      )} °C`,
      `air ${range(
        air.map((a) => a.densityKgM3),
        3,
      )} kg/m³`,
      `wind ${range(
        air.map((a) => a.windMps),
        1,
      )} m/s`,
    ].join(', ')
  }
  const shown = runs.slice(0, MOST_CONDITIONS).map(({ run }) => run.conditions)
  const rest = runs.length - shown.length
  return `${shown.join('; ')}${rest > 0 ? `; and ${counted(rest, 'more run')}` : ''}`
}

function leftOutInWords({ leftOut }: StatementParts): string {
  if (leftOut.length === 0) return ''
  const reasons = leftOut.slice(0, MOST_CONDITIONS).map(({ id, reason }) => `${id} (${reason})`)
  const rest = leftOut.length - reasons.length
  return `Left out: ${listed(rest > 0 ? [...reasons, `${rest} more`] : reasons)}.`
}
