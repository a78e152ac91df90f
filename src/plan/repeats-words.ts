import { counted, figure, listed } from '../claim/wording.ts'
import type { MeasuringWay } from './choices.ts'
import type { BudgetSource, Design } from './design.ts'
import type { DrivingOrder } from './order.ts'
import { budgetShares, type CheapestDesign, type RepeatsPlan } from './repeats.ts'
import type { Wrap } from './windows-words.ts'

const WAYS: Record<MeasuringWay, string> = {
  pump: 'filled before and after each run at one pump',
  chained: 'filled at one pump, the fill after a run being the fill before the next',
  'any-pump': 'filled at another pump each time',
  scale: 'weighed before and after each run',
  logged: 'as logged by the engine',
  battery: 'by a charge meter',
}

const SOURCES: Record<BudgetSource, string> = {
  fills: 'reading the fuel (fills, weighings, charges)',
  pump_meter: 'different pumps',
  fuel_temperature: 'temperature of the fuel',
  distance: 'distance',
  conditions: 'conditions (wind, air, temperature)',
  repeatability: 'run-to-run repeatability',
}

const km = (metres: number): string => `${Number((metres / 1000).toFixed(metres < 1e5 ? 1 : 0))} km`
const pct = (log: number, decimals = 1): string => figure(100 * Math.expm1(log), decimals)
const share = (power: number): string => {
  const whole = Math.round(100 * power)
  return whole >= 100 ? '>99' : String(whole)
}

/** The plan as text for a terminal. */
export function repeatsText(plan: RepeatsPlan, wrap: Wrap = (text) => [text]): string {
  const { question, cheapest } = plan
  const { repeatability } = question
  return [
    `Effect sought: ${figure(Math.abs(question.effectPct))} % of consumption, on a ${shapeWord(question.shape)} route`,
    `Fuel: ${WAYS[question.measuring.way]}, ${figure(question.measuring.per100Km)} ${question.measuring.way === 'battery' ? 'kWh' : 'l'} per 100 km`,
    `Each run: repeatability ${figure(100 * repeatability.sd, 2)} %, conditions known to ${figure(100 * question.conditionsSd[question.shape], 2)} % (one standard deviation)`,
    '',
    ...wrap('Probability in percent that a claim will be supported / smallest effect found in 8 of 10 campaigns'),
    ...powerTable(plan),
    '',
    ...cheapest.flatMap((c) => wrap(cheapestInWords(c, plan))),
    '',
    ...budgetLines(cheapest[0].design ?? plan.designs[plan.designs.length - 1]),
    '',
    ...shapeLines(plan),
    '',
    ...orderLines(plan).flatMap(wrap),
    '',
    ...wrap(oneRunEachInWords(plan)),
    '',
  ].join('\n')
}

const shapeWord = (shape: string): string => shape.replaceAll('-and-', ' and ').replace('one-way', 'one-way')

function powerTable({ designs, question }: RepeatsPlan): string[] {
  const width = 16
  const counts = [...new Set(designs.map((d) => d.runsPerSetup))]
  const head = `runs each${question.routesM.map((m) => km(m).padStart(width)).join('')}`
  const cell = (d: Design): string => `${share(d.power)} % / ${pct(d.detectable80)} %`.padStart(width)
  const row = (runs: number): string =>
    `${String(runs).padStart(9)}${question.routesM.map((m) => cell(designs.find((d) => d.runsPerSetup === runs && d.routeM === m)!)).join('')}`
  return [head, ...counts.map(row)]
}

function cheapestInWords({ power, design, drivenM }: CheapestDesign, plan: RepeatsPlan): string {
  const percent = Math.round(100 * power)
  if (design) {
    return `Least driving for ${percent} %: ${counted(design.runsPerSetup, 'run')} with and ${design.runsPerSetup} without the change on ${km(design.routeM)}, ${km(drivenM)} in all (95 % interval about ±${pct(design.halfWidth)} %)`
  }
  const best = plan.designs.reduce((a, b) => (b.power > a.power ? b : a))
  return `Nothing here reaches ${percent} %: ${best.runsPerSetup} runs each on ${km(best.routeM)} reach ${share(best.power)} %. A longer route or a better way of measuring the fuel would help (${SOURCES[budgetShares(best)[0].source]} weighs most).`
}

function budgetLines(design: Design): string[] {
  const shares = budgetShares(design)
  return [
    `Where the uncertainty comes from, ${counted(design.runsPerSetup, 'run')} each on ${km(design.routeM)}: ±${figure(100 * design.standardError, 2)} % (one standard deviation of the change)`,
    ...shares.map(
      (s) =>
        `  ${SOURCES[s.source].padEnd(46)} ±${figure(100 * s.sd, 2)} %  ${String(Math.round(100 * s.share)).padStart(3)} %`,
    ),
  ]
}

function shapeLines({ shapes }: RepeatsPlan): string[] {
  const { design } = shapes[0]
  return [
    `The same ${counted(design.runsPerSetup, 'run')} each on ${km(design.routeM)} of another shape:`,
    ...shapes.map(
      (s) =>
        `  ${shapeWord(s.shape).padEnd(16)} ${share(s.design.power).padStart(3)} %, effects from ${pct(s.design.detectable80)} %`,
    ),
  ]
}

function orderLines({ orders, question }: RepeatsPlan): string[] {
  const [best, alternating, blocks] = orders
  const count = best.runs.length / 2
  if (count === 1) {
    return [
      'Order to drive (A without, B with the change): A, B and then A again. One A and one B cannot be told from anything that drifts meanwhile (a warming engine, a day that gets windier); an A at both ends shows the drift and takes it out.',
    ]
  }
  const lines = [
    `Order to drive (A without, B with the change): ${best.runs.join('-')}`,
    `Whatever drifts steadily shifts the difference by ${shiftInWords(best)}; A-B-A-B… would shift it by ${shiftInWords(alternating)}, all A before all B by ${shiftInWords(blocks)}. It takes ${counted(best.changes, 'change')} of the vehicle.`,
  ]
  if (question.measuring.way === 'chained') {
    const chain = (o: DrivingOrder): string => figure(Math.sqrt(o.fillVariance), 2)
    lines.push(
      `In a chain, the fill between two runs of one setup cancels: the fills weigh ${chain(best)} of one fill's error here, ${chain(alternating)} in A-B-A-B…, ${chain(blocks)} in A-A-B-B… The drift is the greater danger: alternate all the same.`,
    )
  }
  return lines
}

function shiftInWords({ trendShift }: DrivingOrder): string {
  const shift = Math.abs(trendShift)
  return shift < 1e-9 ? 'nothing' : `${figure(shift, 2)} of its step from run to run`
}

function oneRunEachInWords({ oneRunEach: one, question }: RepeatsPlan): string {
  const sought = Math.abs(question.effectPct)
  const verdict =
    one.power >= 0.8
      ? 'which is enough for the effect sought, if what is believed of the repeatability holds'
      : `so that ${figure(sought)} % would be supported in ${share(one.power)} of 100 campaigns`
  return [
    `One run each on ${km(one.routeM)} leaves a 95 % interval of about ±${pct(one.halfWidth)} %: effects from ${pct(one.detectable80)} % are found in 8 of 10 campaigns, ${verdict}.`,
    'It measures no repeatability of its own: the interval rests on what is known beforehand.',
  ].join(' ')
}

/** The plan as data: lengths in m, sizes in percent, names with units. */
export function repeatsRecord(plan: RepeatsPlan): Record<string, unknown> {
  const percent = (log: number): number => round(100 * Math.expm1(log))
  const record = (d: Design) => ({
    runs_per_setup: d.runsPerSetup,
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
    assumptions: [
      `Repeatability and conditions are taken to be the same at every length; fuel ${WAYS[question.measuring.way]}.`,
      `At most ${counted(Math.max(...plan.designs.map((d) => d.runsPerSetup)), 'run')} per setup on ${listed(question.routesM.map(km))}.`,
    ],
  }
}

const round = (value: number): number => Number(value.toPrecision(5))
