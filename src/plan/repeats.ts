import { square } from '../base/arithmetic.ts'
import { type PlannedShape, ROUTE_SHAPES } from './choices.ts'
import { type BudgetSource, type Design, type Drives, designOf, type RepeatabilityBelief } from './design.ts'
import { type Measuring, runErrorsOf } from './measuring.ts'
import { type DrivingOrder, drivingOrders } from './order.ts'

/**
 * Standard deviation of ln(demand) of one run from what is not known of its air, where no folder tells: stations some
 * kilometres away, light wind. On a way back an error of the wind cancels to first order. Common practice, no source.
 */
export const CONDITIONS_SD: Record<PlannedShape, number> = { 'one-way': 0.015, 'there-and-back': 0.006, loop: 0.006 }

export const MOST_RUNS_PER_SETUP = 12

export interface RepeatsQuestion {
  /** Change of consumption sought, percent; a saving is negative. The size is what counts. */
  effectPct: number
  shape: PlannedShape
  routesM: number[]
  measuring: Measuring
  /** Standard deviation of ln(demand) of one run from its air, by shape. */
  conditionsSd: Record<PlannedShape, number>
  repeatability: RepeatabilityBelief
  /** Drives of the baseline; null: as many as with the change. */
  baselineDrives: number | null
}

export interface CheapestDesign {
  power: number
  /** null where no design considered has this power. */
  design: Design | null
  shape: PlannedShape
  /** Of all its runs, m. */
  drivenM: number
}

export interface RepeatsPlan {
  question: RepeatsQuestion
  /** On the shape asked for: a row for each number of runs and each length. */
  designs: Design[]
  /** The other shapes, for the number of runs and the length of the cheapest design at 80 %, or of the largest design. */
  shapes: { shape: PlannedShape; design: Design }[]
  cheapest: CheapestDesign[]
  /** The design of the greatest power, and what weighs most in its uncertainty. */
  strongest: Design
  weighsMost: BudgetSource
  /** The shortest road, in steps of 10 km, on which the most drives reach 80 %; null where they do on a length asked for, or on no length. */
  longEnoughM: number | null
  /** The fewest drives of each setup that reach 80 % on the longest road asked for; null where the table has them, or too many are needed. */
  enoughRuns: number | null
  /** The fewest drives of the baseline with which the most drives with the change reach 80 % there; null where their number is not given, or too many are needed. */
  enoughBaselineRuns: number | null
  /** Another way of measuring with which the most drives on the longest road asked for reach 80 %; null where none does, or none is needed. */
  enoughBy: OtherWay | null
  /** For the cheapest design, the best first. */
  orders: DrivingOrder[]
  oneRunEach: Design
}

/** The plan for a question: every number of runs and every length, and which of them is enough with the least driving. */
export function repeatsPlan(question: RepeatsQuestion): RepeatsPlan {
  const chained = question.measuring.way === 'chained'
  const effectLog = Math.log1p(question.effectPct / 100)
  const drivesOf = (runs: number): Drives => ({ change: runs, baseline: question.baselineDrives ?? runs })
  const design = (runs: number, routeM: number, shape: PlannedShape, drives = drivesOf(runs)): Design => {
    const errors = runErrorsOf(question.measuring, routeM, question.conditionsSd[shape])
    return designOf(drives, routeM, errors, question.repeatability, { chained, effectLog })
  }
  const counts = Array.from({ length: MOST_RUNS_PER_SETUP }, (_, i) => i + 1)
  const designs = question.routesM.flatMap((routeM) => counts.map((runs) => design(runs, routeM, question.shape)))
  const cheapest = [0.8, 0.9].map((power) => cheapestOf(designs, power, question.shape))
  const strongest = designs.reduce((a, b) => (b.power > a.power ? b : a))
  const isEnough = (runs: number, routeM: number): boolean =>
    design(runs, routeM, question.shape).power >= cheapest[0].power
  const notReached = cheapest[0].design === null
  const roadSteps = notReached ? smallest(MOST_ROAD_STEPS, (n) => isEnough(MOST_RUNS_PER_SETUP, n * ROAD_STEP_M)) : null
  const longestM = Math.max(...question.routesM)
  const isEnoughBaseline = (baseline: number): boolean =>
    design(0, longestM, question.shape, { change: MOST_RUNS_PER_SETUP, baseline }).power >= cheapest[0].power
  const isFixed = question.baselineDrives !== null
  const shown = cheapest[0].design ?? designs[designs.length - 1]
  return {
    question,
    designs,
    shapes: ROUTE_SHAPES.map((shape) => ({ shape, design: design(shown.runsPerSetup, shown.routeM, shape) })),
    cheapest,
    strongest,
    weighsMost: budgetShares(strongest)[0].source,
    longEnoughM: roadSteps === null ? null : roadSteps * ROAD_STEP_M,
    enoughBy: notReached ? wayThatIsEnough(question, effectLog) : null,
    enoughRuns: notReached ? smallest(MOST_RUNS_TOLD, (runs) => isEnough(runs, longestM)) : null,
    enoughBaselineRuns: notReached && isFixed ? smallest(MOST_RUNS_TOLD, isEnoughBaseline) : null,
    orders: drivingOrders(shown.runsPerSetup, chained, shown.baselineRuns),
    oneRunEach: designs[counts.length * (question.routesM.length - 1)],
  }
}

/** What a campaign with fuel can change to, the least trouble first: a reading beside the pump, a scale, or the engine's own count, each with its usual error. */
const OTHER_WAYS = ['trip-computer-as-well', 'scale', 'logged'] as const
export type OtherWay = (typeof OTHER_WAYS)[number]

function wayThatIsEnough(
  { measuring, routesM, conditionsSd, shape, repeatability, baselineDrives }: RepeatsQuestion,
  effectLog: number,
): OtherWay | null {
  if (measuring.way === 'battery') return null
  const longestM = Math.max(...routesM)
  const isEnough = (other: OtherWay): boolean => {
    const changed =
      other === 'trip-computer-as-well'
        ? { ...measuring, also: 'trip-computer' as const }
        : { ...measuring, way: other, error: null }
    const errors = runErrorsOf(changed, longestM, conditionsSd[shape])
    const drives = { change: MOST_RUNS_PER_SETUP, baseline: baselineDrives ?? MOST_RUNS_PER_SETUP }
    const options = { chained: changed.way === 'chained', effectLog }
    return designOf(drives, longestM, errors, repeatability, options).power >= 0.8
  }
  const isOther = (other: OtherWay): boolean =>
    other === 'trip-computer-as-well' ? measuring.also === null : other !== measuring.way && other !== measuring.also
  return OTHER_WAYS.find((other) => isOther(other) && isEnough(other)) ?? null
}

/** A road longer than this many steps in one drive is no test any more, nor are more drives than these. */
const ROAD_STEP_M = 10_000
const MOST_ROAD_STEPS = 200
const MOST_RUNS_TOLD = 100

/** The smallest number from 1 to `most` that is enough, where all above one that is enough are; null where none is. */
function smallest(most: number, isEnough: (n: number) => boolean): number | null {
  if (!isEnough(most)) return null
  let [low, high] = [0, most]
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (isEnough(middle)) high = middle
    else low = middle
  }
  return high
}

/** The least driving; at a tie the fewer runs. */
function cheapestOf(designs: Design[], power: number, shape: PlannedShape): CheapestDesign {
  const enough = designs.filter((d) => d.power >= power)
  const drivenM = (d: Design): number => (d.runsPerSetup + d.baselineRuns) * d.routeM
  const best = enough.reduce<Design | null>((least, d) => {
    if (least === null) return d
    const further = drivenM(d) - drivenM(least)
    return further < -1e-6 || (further < 1e-6 && d.runsPerSetup < least.runsPerSetup) ? d : least
  }, null)
  return { power, design: best, shape, drivenM: best ? drivenM(best) : Number.NaN }
}

/** Shares of the variance of a design, the largest first. */
export function budgetShares({ budget, standardError }: Design): { source: BudgetSource; sd: number; share: number }[] {
  return (Object.entries(budget) as [BudgetSource, number][])
    .map(([source, sd]) => ({ source, sd, share: square(sd) / square(standardError) }))
    .filter(({ share }) => share > 1e-9)
    .sort((a, b) => b.share - a.share)
}
