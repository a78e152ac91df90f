import { square } from '../../base/arithmetic.ts'
import { drawsOf } from '../../base/draws.ts'
import { present } from '../../base/present.ts'
import { studentCdf } from '../../base/student.ts'
import { READING_KINDS, READING_SD, type ReadingKind } from '../evidence/ways.ts'
import type { ClaimSettings } from '../types.ts'
import { type RoadModel, restrictedLogLikelihood, type ScatterPoint } from './generalised.ts'
import type { Observation, Way } from './observation.ts'
import { REPEATABILITY_PRIOR, type Repeatability, type RepeatabilityPrior } from './repeatability.ts'

/** What is believed of how readings scatter once they were seen: points with their probabilities, and the one in the middle. */
export interface Scatter {
  points: { point: ScatterPoint; probability: number }[]
  /** Means of the logarithms: at this one observations are weighed. */
  centre: ScatterPoint
}

/** Share of the repeatability's variance that one session has in common: each as likely. Common practice, no source. */
const SESSION_SHARES = [0, 0.25, 0.5]
/** How far the scatter of a way may be off what is usual: standard deviation of its logarithm. Common practice, no source. */
const WAY_LOG_SD = 0.5
/** A gauge mark's scatter is so large that nothing is learnt of it. */
const LEARNT: readonly ReadingKind[] = READING_KINDS.filter((way) => way !== 'gauge mark')
const WAY_STEPS = [-1.6, -0.8, 0, 0.8, 1.6]

const REPEATABILITY_POINTS = 41
const REPEATABILITY_SPAN = 60
/** Where more observations than these were made on a road, the scatter of the ways is taken at its most likely value. */
const FEW = 40

/**
 * The scatter from the observations of all roads: the prior times the restricted likelihood, on a grid.
 * @param prior of the repeatability: ln of its density falls as −ν·(ln σ + s²/2σ²)
 * @param readingFactor what the usual scatter of readings other than the fuel is multiplied by
 */
export function scatterOf(
  models: readonly RoadModel[],
  prior: RepeatabilityPrior = REPEATABILITY_PRIOR,
  readingFactor = 1,
): Scatter {
  const used = models.filter(({ observations, columns }) => observations.length > columns.length)
  const observations = used.flatMap((model) => model.observations)
  const most = Math.max(0, ...used.map((model) => model.observations.length))
  const sessions = sharesSessions(observations) ? SESSION_SHARES : [SESSION_SHARES[1]]
  const wayPoints = wayPointsOf(models, used, most <= FEW, readingFactor)
  const centre = Math.max(prior.sd, observedSd(used))
  const grid = Array.from(
    { length: REPEATABILITY_POINTS },
    (_, i) => centre * Math.exp((2 * (i / (REPEATABILITY_POINTS - 1)) - 1) * Math.log(REPEATABILITY_SPAN)),
  )
  const candidates = wayPoints.flatMap(({ ways, log }) =>
    sessions.flatMap((sessionShare) =>
      grid.map((repeatability) => {
        const point = { repeatability, sessionShare, ways }
        return { point, log: log + logPrior(repeatability, prior) + logLikelihood(used, point) }
      }),
    ),
  )
  return weighed(candidates)
}

const logPrior = (sd: number, prior: RepeatabilityPrior): number =>
  -prior.degreesOfFreedom * (Math.log(sd) + square(prior.sd / sd) / 2)

const logLikelihood = (models: readonly RoadModel[], point: ScatterPoint): number =>
  models.reduce((sum, model) => sum + restrictedLogLikelihood(model, point), 0)

/** Whether any two drives are of one session: else nothing hangs on its share. */
function sharesSessions(observations: readonly Observation[]): boolean {
  const runs = new Map(observations.map(({ run, session }) => [run, session]))
  return new Set(runs.values()).size < runs.size
}

/** The scatters of the ways to be tried: a grid, or of many observations the most likely one. */
function wayPointsOf(
  all: readonly RoadModel[],
  used: readonly RoadModel[],
  asGrid: boolean,
  readingFactor: number,
): { ways: ScatterPoint['ways']; log: number }[] {
  const present = new Set<Way>(all.flatMap(({ observations }) => observations.map(({ way }) => way)))
  const usual = (way: ReadingKind): number => readingFactor * READING_SD[way]
  const fixed = Object.fromEntries(READING_KINDS.filter((way) => present.has(way)).map((way) => [way, usual(way)]))
  let points: { ways: Partial<Record<Way, number>>; log: number }[] = [{ ways: fixed, log: 0 }]
  for (const way of LEARNT.filter((way) => present.has(way))) {
    const tried = points.flatMap(({ ways, log }) =>
      WAY_STEPS.map((step) => ({
        ways: { ...ways, [way]: usual(way) * Math.exp(WAY_LOG_SD * step) },
        log: log - square(step) / 2,
      })),
    )
    points = asGrid ? tried : [mostLikely(used, tried)]
  }
  return points
}

function mostLikely<T extends { ways: ScatterPoint['ways']; log: number }>(used: readonly RoadModel[], tried: T[]): T {
  const scored = tried.map((one) => {
    const point = { repeatability: REPEATABILITY_PRIOR.sd, sessionShare: SESSION_SHARES[1], ways: one.ways }
    return { one, log: one.log + logLikelihood(used, point) }
  })
  return scored.reduce((best, next) => (next.log > best.log ? next : best)).one
}

/** Points that bear less than this part of the most likely one's probability are left out. */
const DUST = 1e-7

function weighed(candidates: { point: ScatterPoint; log: number }[]): Scatter {
  const top = Math.max(...candidates.map(({ log }) => log))
  const bearing = candidates
    .map(({ point, log }) => ({ point, probability: Math.exp(log - top) }))
    .filter(({ probability }) => probability > DUST)
  const total = bearing.reduce((sum, { probability }) => sum + probability, 0)
  const points = bearing.map(({ point, probability }) => ({ point, probability: probability / total }))
  const meanOf = (of: (point: ScatterPoint) => number): number =>
    points.reduce((sum, { point, probability }) => sum + probability * of(point), 0)
  const ways = Object.keys(points[0].point.ways) as Way[]
  return {
    points,
    centre: {
      repeatability: Math.exp(meanOf(({ repeatability }) => Math.log(repeatability))),
      sessionShare: meanOf(({ sessionShare }) => sessionShare),
      ways: Object.fromEntries(
        ways.map((way) => [way, Math.exp(meanOf((point) => Math.log(present(point.ways[way]))))]),
      ),
    },
  }
}

/** The scatter when further repeats of this kind had been seen as well. */
export function taughtBy(scatter: Scatter, logLikelihoodOf: (point: ScatterPoint) => number): Scatter {
  return weighed(
    scatter.points.map(({ point, probability }) => ({ point, log: Math.log(probability) + logLikelihoodOf(point) })),
  )
}

/** Scatter of the first way's readings within their setups, known errors included; NaN without repeats. */
export function observedSd(models: readonly RoadModel[]): number {
  let squares = 0
  let degreesOfFreedom = 0
  for (const { observations } of models) {
    for (const group of groupsOf(observations)) {
      const centre = group.reduce((sum, { y }) => sum + y, 0) / group.length
      squares += group.reduce((sum, { y }) => sum + square(y - centre), 0)
      degreesOfFreedom += group.length - 1
    }
  }
  return degreesOfFreedom > 0 ? Math.sqrt(squares / degreesOfFreedom) : 0
}

/** Observations of one setup by one way. */
export function groupsOf(observations: readonly Observation[]): Observation[][] {
  const groups = new Map<string, Observation[]>()
  for (const o of observations) {
    const key = `${o.way}\n${o.run.setup}`
    groups.set(key, [...(groups.get(key) ?? []), o])
  }
  return [...groups.values()]
}

/** The repeatability alone, with draws of it for what is computed draw by draw. @param name of the draws */
export function repeatabilityIn(
  scatter: Scatter,
  models: readonly RoadModel[],
  name: string,
  settings: Pick<ClaimSettings, 'draws' | 'seed'>,
): Repeatability {
  const bySize = new Map<number, number>()
  for (const { point, probability } of scatter.points) {
    bySize.set(point.repeatability, (bySize.get(point.repeatability) ?? 0) + probability)
  }
  const sizes = [...bySize.keys()].sort((a, b) => a - b)
  const probabilities = sizes.map((size) => present(bySize.get(size)))
  const at = (share: number): number => quantileOf(sizes, probabilities, share)
  const z = drawsOf(`claim/${name}`, settings.draws, settings.seed)
  const sd = observedSd(models)
  const repeats = models.reduce(
    (sum, { observations }) => sum + groupsOf(observations).reduce((n, group) => n + group.length - 1, 0),
    0,
  )
  return {
    draws: z.map((value) => at(studentCdf(value, Number.POSITIVE_INFINITY))),
    median: at(0.5),
    low95: at(0.025),
    high95: at(0.975),
    degreesOfFreedom: repeats,
    observedSd: repeats > 0 ? sd : Number.NaN,
  }
}

/** Quantile of a distribution given at points whose logarithms are evenly spaced: each stands for the stretch about it. */
function quantileOf(sizes: number[], probabilities: number[], share: number): number {
  if (sizes.length === 1) return sizes[0]
  const step = Math.log(sizes[1] / sizes[0])
  let below = 0
  for (const [i, size] of sizes.entries()) {
    const part = probabilities[i]
    if (below + part >= share || i === sizes.length - 1) {
      return size * Math.exp(((share - below) / part - 0.5) * step)
    }
    below += part
  }
  return sizes[sizes.length - 1]
}
