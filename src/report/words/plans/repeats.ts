import { fixed } from '../../../base/figures.ts'
import { figure, joined, listing, name, percentSize, type Sentence, say } from '../../../base/sentence.ts'
import { plural } from '../../words.ts'

/** What the words of a plan for repeats are told from; filled by plan/. Sizes in ln unless their name says percent. */
export interface RepeatsFacts {
  question: {
    effectPct: number
    shape: Shape
    routesM: readonly number[]
    measuring: { way: Way; per100Km: number; also: 'trip-computer' | 'logged' | null }
    conditionsSd: Record<Shape, number>
    repeatability: { sd: number }
    baselineDrives: number | null
  }
  cheapest: readonly { power: number; design: DesignFacts | null; drivenM: number }[]
  /** The design of the greatest power among those looked at. */
  strongest: DesignFacts
  /** What weighs most in it. */
  weighsMost: Source
  /** The shortest road on which as many drives reach 80 %; null where no length does. */
  longEnoughM: number | null
  /** The fewest drives of each setup that reach 80 % on the longest road asked for; null where too many are needed. */
  enoughRuns: number | null
  /** The fewest drives of a baseline whose number was given that would do; null where none would. */
  enoughBaselineRuns: number | null
  /** Another way of measuring that is enough; null where none is, or none is needed. */
  enoughBy: string | null
  orders: readonly OrderFacts[]
  oneRunEach: DesignFacts
}

export interface DesignFacts {
  runsPerSetup: number
  baselineRuns: number
  routeM: number
  power: number
  standardError: number
  halfWidth: number
  detectable80: number
}

interface OrderFacts {
  name: 'A-B-B-A' | 'A-B-A-B' | 'A-A-B-B' | 'spread'
  runs: readonly string[]
  trendShift: number
  changes: number
  fillVariance: number
}

type Shape = 'one-way' | 'there-and-back' | 'loop'
type Way = 'pump' | 'chained' | 'any-pump' | 'scale' | 'logged' | 'battery'
type Source =
  | 'fills'
  | 'pump_meter'
  | 'fuel_temperature'
  | 'fuel_batch'
  | 'distance'
  | 'conditions'
  | 'repeatability'
  | 'other_readings'

/** How the fuel is measured. */
export const WAY_WORDS: Record<Way, string> = {
  pump: 'filled before and after each drive at one pump',
  chained: 'filled at one pump, each fill being the end of one drive and the start of the next',
  'any-pump': 'filled at different pumps',
  scale: 'weighed before and after each drive',
  logged: 'as logged by the engine',
  battery: 'by a charge meter',
}

const AS_WELL_WORDS = {
  'trip-computer': ', and by the trip computer as well',
  logged: ', and as logged by the engine as well',
}
const AS_WELL_BY = { 'trip-computer': 'from the trip computer', logged: 'from the engine’s log' }

/** How many drives a design has: of each setup, or with and without the change where these differ. */
const drivesWords = ({ runsPerSetup, baselineRuns }: Pick<DesignFacts, 'runsPerSetup' | 'baselineRuns'>): string =>
  runsPerSetup === baselineRuns
    ? `${plural(runsPerSetup, 'drive')} of each setup`
    : `${plural(runsPerSetup, 'drive')} with and ${baselineRuns} without the change`

/** Sources of a plan's uncertainty. */
export const SOURCE_WORDS: Record<Source, string> = {
  fills: 'measuring the fuel or energy',
  pump_meter: 'different pumps',
  fuel_temperature: 'fuel temperature',
  fuel_batch: 'energy of the fuel from day to day',
  distance: 'distance',
  conditions: 'conditions (wind, air, temperature)',
  repeatability: 'run-to-run repeatability',
  other_readings: 'the reading beside the fuel',
}

export const SHAPE_WORDS: Record<Shape, string> = {
  'one-way': 'one-way',
  'there-and-back': 'there and back',
  loop: 'loop',
}

/** A length with as many decimals as a plan is good for. */
export const lengthOf = (metres: number): Sentence => {
  const whole = metres >= 1e5 || Number.isInteger(Number((metres / 1000).toFixed(1)))
  return [figure(metres, 'distance', whole ? 0 : 1)]
}

/** A size in ln as percent: "3.2". */
export const pctOf = (log: number, decimals = 1): string => fixed(100 * Math.expm1(log), decimals)
/** A change in percent; nobody looks for one of more than 100 %. */
export const changePctOf = (log: number): string => (Math.expm1(log) > 1 ? 'over 100 %' : `${pctOf(log)} %`)

/** A probability in percent, never 100. */
export function chanceOf(power: number): string {
  const whole = Math.round(100 * power)
  return whole >= 100 ? '>99' : String(whole)
}

/** What is asked and what is taken to be known, a line each. */
export function questionLines({ question }: RepeatsFacts): Sentence[] {
  const { effectPct, shape, measuring, repeatability, conditionsSd } = question
  const { way, per100Km, also } = measuring
  return [
    say`Change to be found: ${percentSize(Math.abs(effectPct), 1)} of consumption, on a road driven ${shape === 'loop' ? 'as a loop' : SHAPE_WORDS[shape]}`,
    say`${way === 'battery' ? 'Energy' : 'Fuel'}: ${WAY_WORDS[way]}${also === null ? '' : AS_WELL_WORDS[also]}; ${figure(per100Km, way === 'battery' ? 'kilowattHours' : 'litres', 1)}`,
    say`Each drive: repeatability ${percentSize(100 * repeatability.sd, 2)}, conditions ± ${percentSize(100 * conditionsSd[shape], 2)} (standard deviations)`,
  ]
}

export const tableWords = ({ question: { baselineDrives } }: Pick<RepeatsFacts, 'question'>): string =>
  `Probability that the claim will be supported / smallest change found in 8 of 10 campaigns, by drives ${baselineDrives === null ? 'of each setup' : `with the change against ${baselineDrives} without it`} and length of the road`

/** The least driving for a probability, or what it would take. */
export function cheapestWords(
  plan: RepeatsFacts,
  { power, design, drivenM }: RepeatsFacts['cheapest'][number],
): Sentence {
  const wanted = percentSize(100 * power)
  if (design) {
    return say`Least driving for ${wanted}: ${plural(design.runsPerSetup, 'drive')} with and ${design.baselineRuns} without the change on ${lengthOf(design.routeM)}, ${lengthOf(drivenM)} in all (95 % interval about ±${pctOf(design.halfWidth)} %).`
  }
  const { strongest, weighsMost } = plan
  const most = say`${wanted} is not reached: ${drivesWords(strongest)} on ${lengthOf(strongest.routeM)} reach ${chanceOf(strongest.power)} %.`
  if (power > LONGER_ROAD_POWER) return most
  return say`${most} ${whatIsEnough(plan)} Largest source of uncertainty: ${SOURCE_WORDS[weighsMost]}.`
}

const ENOUGH_BY: Record<string, string> = {
  scale: 'fuel weighed before and after each drive',
  logged: 'fuel as the engine counts it',
  'trip-computer-as-well': 'the trip computer read after each drive as well',
}

/** How much longer or more often to drive, or how else to measure. */
function whatIsEnough(plan: RepeatsFacts): Sentence {
  const { strongest, longEnoughM, enoughRuns, enoughBaselineRuns, enoughBy, question } = plan
  const longest = lengthOf(Math.max(...question.routesM))
  const isUnequal = question.baselineDrives !== null
  const drivesFor = (runs: number) => ({ runsPerSetup: runs, baselineRuns: isUnequal ? strongest.baselineRuns : runs })
  const ways = [
    ...(enoughRuns === null ? [] : [say`${drivesWords({ ...strongest, ...drivesFor(enoughRuns) })} on ${longest}`]),
    ...(enoughBaselineRuns === null
      ? []
      : [say`${drivesWords({ ...strongest, baselineRuns: enoughBaselineRuns })} on ${longest}`]),
    ...(longEnoughM === null ? [] : [say`${drivesWords(strongest)} on ${lengthOf(longEnoughM)}`]),
    ...(enoughBy === null ? [] : [say`${ENOUGH_BY[enoughBy]}, with ${drivesWords(strongest)} on ${longest}`]),
  ]
  if (ways.length === 0)
    return say`Neither a longer road nor 100 drives ${isUnequal ? 'with or without the change' : 'of each setup'} on ${longest} is enough.`
  const alone = longEnoughM === null ? say` A longer road alone is not enough.` : null
  return joined(['It takes ', listing(ways, 'or'), '.', alone])
}

/** The probability that `longEnoughM` is for. */
export const LONGER_ROAD_POWER = 0.8

/** The heading of a design's sources of uncertainty. */
export const budgetWords = (design: DesignFacts): Sentence =>
  say`Sources of uncertainty, ${drivesWords(design)} on ${lengthOf(design.routeM)}: ± ${percentSize(100 * design.standardError, 2)} in all (standard deviation of the change)`

/** The heading of the other shapes of a road. */
export const shapesWords = (design: DesignFacts): Sentence =>
  say`The same ${drivesWords(design)} on ${lengthOf(design.routeM)} of another shape:`

/** The order to drive in, and what a steady drift would do to it and to others. */
export function orderWords({ orders, question }: RepeatsFacts): Sentence[] {
  const [best, ...others] = orders
  if (best.runs.length === 2) {
    return [
      say`Order (A without, B with the change): A, B and then A again. With one A and one B, anything that drifts meanwhile (engine warming up, wind rising) looks like an effect; a second A shows the drift, so that it can be removed.`,
    ]
  }
  const lines = [
    say`Order (A without, B with the change): ${best.runs.join('-')}`,
    say`A steady drift shifts the difference by ${shiftOf(best)}; ${others.map((o) => `in ${ORDER_WORDS[o.name]} by ${shiftOf(o)}`).join(', ')}. The vehicle is changed ${plural(best.changes, 'time')}.`,
  ]
  if (question.measuring.way === 'chained') {
    const chain = (o: OrderFacts): string => fixed(Math.sqrt(o.fillVariance), 2)
    lines.push(
      say`In a chain of fills, the fill between two drives of one setup cancels. The fills together count ${chain(best)} × the error of one fill here, ${others.map((o) => `${chain(o)} × in ${ORDER_WORDS[o.name]}`).join(', ')}. Drift is the greater risk: alternate all the same.`,
    )
  }
  return lines
}

const ORDER_WORDS: Record<OrderFacts['name'], string> = {
  'A-B-B-A': 'A-B-B-A…',
  'A-B-A-B': 'A-B-A-B…',
  'A-A-B-B': 'A…A-B…B',
  spread: 'an even spread',
}

function shiftOf({ trendShift }: OrderFacts): string {
  const shift = Math.abs(trendShift)
  return shift < 1e-9 ? 'nothing' : `${fixed(shift, 2)} × its step from drive to drive`
}

/** What one drive of each setup is good for. */
export function oneEachWords({ oneRunEach: one, question }: RepeatsFacts): Sentence {
  const sought = percentSize(Math.abs(question.effectPct), 1)
  const verdict =
    one.power >= 0.8
      ? say`enough for the change to be found, if the repeatability is as assumed`
      : say`so ${sought} would be supported in ${chanceOf(one.power)} of 100 campaigns`
  return say`${one.baselineRuns === 1 ? 'One drive of each setup' : `One drive with and ${one.baselineRuns} without the change`} on ${lengthOf(one.routeM)} gives a 95 % interval of about ±${pctOf(one.halfWidth)} %: changes from ${changePctOf(one.detectable80)} are found in 8 of 10 campaigns, ${verdict}.${one.baselineRuns === 1 ? ' It does not measure the repeatability: the interval rests on the value assumed beforehand.' : ''}`
}

/** What a plan takes for granted. */
export function repeatsAssumptions({ question }: RepeatsFacts, mostRuns: number): Sentence[] {
  return [
    question.measuring.way === 'battery'
      ? say`Repeatability and conditions are taken to be the same at every length; energy ${WAY_WORDS.battery}.`
      : say`Repeatability and conditions are taken to be the same at every length; fuel ${WAY_WORDS[question.measuring.way]}. Every drive is taken to burn the fuel of another day: drive both setups on the same days, and what its energy differs by cancels.`,
    say`At most ${plural(mostRuns, 'drive')} ${question.baselineDrives === null ? 'of each setup' : 'with the change'} on ${listing(question.routesM.map(lengthOf))}.`,
  ]
}

/** What earlier drives teach for a plan; filled by plan/. */
export type Lesson =
  | { about: 'road'; drives: number; road: string; lengthM: number; shape: string }
  | { about: 'usual-repeatability'; for: 'no-weather' | 'no-repeats' }
  | { about: 'repeatability'; sd: number; low95: number; high95: number; degreesOfFreedom: number }
  | { about: 'few-repeats'; low95: number; high95: number; usualSd: number }
  | { about: 'read-as-well'; also: 'trip-computer' | 'logged' }
  | { about: 'weighed'; fuel: 'petrol' | 'diesel'; source: 'stated' | 'settings' | 'assumed'; densityKgM3: number }

/** A lesson in words. */
export function lessonWords(lesson: Lesson): Sentence {
  switch (lesson.about) {
    case 'road':
      return say`${plural(lesson.drives, 'drive')} on ${name(lesson.road)}, ${figure(lesson.lengthM, 'distance', 1)}, ${lesson.shape.replaceAll('-', ' ')}`
    case 'usual-repeatability':
      return say`${lesson.for === 'no-weather' ? 'no weather is known for two drives of one setup' : 'no two drives of one setup have a consumption'}: the usual repeatability is assumed`
    case 'repeatability':
      return say`run-to-run repeatability ${percentSize(100 * lesson.sd, 2)} (95 % interval ${fixed(100 * lesson.low95, 2)} to ${percentSize(100 * lesson.high95, 2)}), with ${plural(lesson.degreesOfFreedom, 'degree of freedom', 'degrees of freedom')} from repeats`
    case 'few-repeats':
      return say`so few repeats say little: that is mostly the value assumed for any vehicle (${percentSize(100 * lesson.usualSd, 2)}). See both ends with --repeatability ${fixed(100 * lesson.low95, 2)} and ${fixed(100 * lesson.high95, 2)}`
    case 'read-as-well':
      return say`the fuel of most drives was read ${AS_WELL_BY[lesson.also]} as well; --also none plans without that reading`
    case 'weighed':
      return say`weighed fuel is converted to litres of ${lesson.fuel} (${LESSON_SOURCE[lesson.source]}) at ${lesson.densityKgM3 / 1000} kg/l, the middle of ${lesson.fuel === 'diesel' ? 'EN 590' : 'EN 228'}`
  }
}
const LESSON_SOURCE = { stated: 'stated', settings: 'by campaign.yaml', assumed: 'assumed' }
