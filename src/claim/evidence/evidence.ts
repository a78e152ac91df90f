import { square } from '../../base/arithmetic.ts'
import { chiSquareTail } from '../../base/chi-square.ts'
import { mean } from '../../base/statistics.ts'
import type { FuelRun, Interval95 } from '../types.ts'
import {
  BARELY_BELOW,
  birgeRatio,
  type Consistency,
  consistencyOf,
  DISAGREE_BELOW,
  percentInterval,
} from './consistency.ts'
import { type EvidenceKind, READING_KINDS, READING_SD, type Reading, type ReadingKind, WAYS } from './ways.ts'

/** The fills' own estimate of the change. */
export interface PumpChange {
  /** ln of the setup's consumption over the baseline's. */
  logChange: number
  /** K draws of it with all its errors, from the same named draws as the runs' demand. */
  draws: Float64Array
  /** The claim's own interval, percent; where left out it is made from the draws. */
  changePct?: Interval95
  runs: string[]
  baselineRuns: string[]
}

export interface EvidenceInput {
  /** Of one route; runs that are left out do not count. */
  setupRuns: readonly FuelRun[]
  baselineRuns: readonly FuelRun[]
  /** null where no run has a fill. */
  pump: PumpChange | null
  /** Whether the change is adjusted for the conditions, the pump's too: then only runs with a demand count. */
  adjusted: boolean
  /**
   * K draws, mean 0, of what the vehicle itself took more or less than its demand says in this run, ln: every way of
   * measuring sees it alike, but that electric energy is not that of a fuel. null or left out: none.
   */
  scatterOf?: (run: FuelRun, kind: ReadingKind) => Float64Array | null
  readingSd?: Partial<Record<ReadingKind, number>>
}

/** One way of measuring with what it says of the change. */
export interface EvidenceEstimate {
  kind: EvidenceKind
  readings: Reading[]
  baselineReadings: Reading[]
  runs: string[]
  baselineRuns: string[]
  consumptionChangePct: Interval95
  /** What one reading is taken to be worth, percent, one standard deviation; null for the pump. */
  readingSdPct: number | null
  /** True where the readings scatter more than that, so that their own scatter was taken. */
  scattersMore: boolean
  /** ln of the ratio and its standard deviation. */
  logChange: number
  logSd: number
}

export interface Evidence {
  adjusted: boolean
  /** The pump first, where there is one. */
  estimates: EvidenceEstimate[]
  /** In the order of `estimates`; null where there are fewer than two. */
  consistency: Consistency | null
  /** What the pump's errors are multiplied by because other ways disagree with it; 1 where none does. */
  pumpWidening: number
  /** What the errors of all ways fused are multiplied by because they agree barely; 1 where they agree well, or not at all. */
  fusedWidening: number
}

/**
 * What every way of measuring says of the same change, adjusted by the same demand, and whether they agree. The
 * adjustment's errors are shared by all of them: they widen each estimate but are no ground for a disagreement.
 */
export function evidenceOf(input: EvidenceInput): Evidence {
  const weighed = [
    ...(input.pump ? [ofPump(input.pump)] : []),
    ...READING_KINDS.flatMap((kind) => ofReadings(kind, input)),
  ]
  const covariance = weighed.map((a, i) =>
    weighed.map((b, j) => covarianceOf(a.draws, b.draws) + (i === j ? a.ownVariance + LEAST_VARIANCE : 0)),
  )
  const estimates = weighed.map(({ estimate, changePct }, i): EvidenceEstimate => {
    const logSd = Math.sqrt(covariance[i][i])
    return { ...estimate, logSd, consumptionChangePct: changePct ?? percentInterval(estimate.logChange, logSd) }
  })
  const consistency = consistencyOf(
    estimates.map(({ logChange }) => logChange),
    covariance,
  )
  return {
    adjusted: input.adjusted,
    estimates,
    consistency,
    pumpWidening: pumpWidening(estimates, covariance),
    fusedWidening: fusedWidening(consistency),
  }
}

/** Chance alone makes ways that are all right agree so badly once in 25; something wrong with one of them does so more often. */
const fusedWidening = (consistency: Consistency | null): number =>
  consistency && DISAGREE_BELOW <= consistency.p && consistency.p < BARELY_BELOW ? birgeRatio(consistency) : 1

/**
 * Where ways of measuring disagree, something has larger errors than it is believed to have, and nobody knows what: the
 * pump's errors are then multiplied by the Birge ratio. Not so where one other way stands apart from all and the rest agree.
 */
function pumpWidening(estimates: readonly EvidenceEstimate[], covariance: readonly (readonly number[])[]): number {
  const changes = estimates.map(({ logChange }) => logChange)
  const all = consistencyOf(changes, covariance)
  if (all === null || all.p >= DISAGREE_BELOW || estimates[0].kind !== 'pump') return 1
  const sizes = all.normalisedResiduals.map(Math.abs)
  const furthest = sizes.indexOf(Math.max(...sizes))
  const rest = <T>(list: readonly T[]): T[] => list.filter((_, i) => i !== furthest)
  const ofRest = consistencyOf(rest(changes), rest(covariance).map(rest))
  const isBorneOut = furthest > 0 && ofRest !== null && ofRest.p >= DISAGREE_BELOW
  return isBorneOut ? 1 : birgeRatio(all)
}

/** Keeps the covariance regular where a caller's pump has no error at all: 0.0001 %. */
const LEAST_VARIANCE = 1e-12

interface Weighed {
  /** Where it is known already. */
  changePct?: Interval95
  estimate: Omit<EvidenceEstimate, 'logSd' | 'consumptionChangePct'>
  /** K draws of the errors that others may share. */
  draws: Float64Array
  /** Variance of what is its own. */
  ownVariance: number
}

function ofPump({ logChange, draws, changePct, runs, baselineRuns }: PumpChange): Weighed {
  const estimate = {
    kind: 'pump' as const,
    readings: [],
    baselineReadings: [],
    runs,
    baselineRuns,
    readingSdPct: null,
    scattersMore: false,
    logChange,
  }
  return { estimate, changePct, draws, ownVariance: 0 }
}

interface Read {
  run: FuelRun
  value: number
  /** ln of the consumption, adjusted where asked for. */
  y: number
}

function ofReadings(kind: ReadingKind, input: EvidenceInput): Weighed[] {
  const { read, unit, log } = WAYS[kind]
  const readingsOf = (runs: readonly FuelRun[]): Read[] =>
    runs.flatMap((run) => {
      const value = read(run)
      if (run.leftOut !== null || !(value > 0) || (input.adjusted && run.demandDraws === null)) return []
      return [
        {
          run,
          value,
          y: log(value, run) - (input.adjusted && run.demandDraws ? mean(run.demandDraws.map(Math.log)) : 0),
        },
      ]
    })
  const mine = readingsOf(input.setupRuns)
  const base = readingsOf(input.baselineRuns)
  if (mine.length === 0 || base.length === 0) return []
  const sd = input.readingSd?.[kind] ?? READING_SD[kind]
  const { variance, scattersMore } = readingVariance(kind, [mine, base], sd, input)
  const draws = changeErrors(kind, mine, base, input)
  const plain = (list: Read[]): Reading[] => list.map(({ run, value }) => ({ run: run.id, value, unit }))
  const estimate = {
    kind,
    readings: plain(mine),
    baselineReadings: plain(base),
    runs: mine.map(({ run }) => run.id),
    baselineRuns: base.map(({ run }) => run.id),
    readingSdPct: 100 * sd,
    scattersMore,
    logChange: mean(mine.map(({ y }) => y)) - mean(base.map(({ y }) => y)),
  }
  return [{ estimate, draws, ownVariance: variance * (1 / mine.length + 1 / base.length) }]
}

/**
 * Variance of one reading: as stated, or as the readings of like runs scatter where that is more than chance allows once
 * the errors are counted that the readings share with the other ways of measuring.
 */
function readingVariance(
  kind: ReadingKind,
  groups: Read[][],
  sd: number,
  input: EvidenceInput,
): { variance: number; scattersMore: boolean } {
  const degreesOfFreedom = groups.reduce((sum, group) => sum + group.length - 1, 0)
  if (degreesOfFreedom === 0) return { variance: square(sd), scattersMore: false }
  const squares = groups.reduce((sum, group) => sum + squaresWithin(group.map(({ y }) => y)), 0)
  const errors = groups.map((group) => group.map(({ run }) => sharedErrors(run, kind, input)))
  const count = errors[0][0].length
  let shared = 0
  for (let k = 0; k < count; k++) {
    for (const group of errors) shared += squaresWithin(group.map((column) => column[k])) / count
  }
  const scattersMore = chiSquareTail(squares / (square(sd) + shared / degreesOfFreedom), degreesOfFreedom) < 0.05
  return { variance: scattersMore ? (squares - shared) / degreesOfFreedom : square(sd), scattersMore }
}

function squaresWithin(values: number[]): number {
  const centre = mean(values)
  return values.reduce((sum, value) => sum + square(value - centre), 0)
}

/** K draws, mean 0, of what is wrong with one run's ln consumption whatever it is measured by; empty where nothing is. */
function sharedErrors(run: FuelRun, kind: ReadingKind, { adjusted, scatterOf }: EvidenceInput): Float64Array {
  const demand = adjusted ? run.demandDraws?.map((joules) => -Math.log(joules)) : undefined
  const centre = demand ? mean(demand) : 0
  const scatter = scatterOf?.(run, kind) ?? undefined
  return (demand ?? scatter ?? new Float64Array(0)).map(
    (_, k) => (demand ? demand[k] - centre : 0) + (scatter ? scatter[k] : 0),
  )
}

/** Draws of the errors that the change shares with the other ways of measuring. */
function changeErrors(kind: ReadingKind, mine: Read[], base: Read[], input: EvidenceInput): Float64Array {
  const sums = new Float64Array(Math.max(...[...mine, ...base].map(({ run }) => sharedErrors(run, kind, input).length)))
  const add = (reads: Read[], share: number): void => {
    for (const { run } of reads)
      sharedErrors(run, kind, input).forEach((error, k) => {
        sums[k] += share * error
      })
  }
  add(mine, 1 / mine.length)
  add(base, -1 / base.length)
  return sums
}

/** 0 where one has no draws: nothing is shared. */
function covarianceOf(a: Float64Array, b: Float64Array): number {
  const count = Math.min(a.length, b.length)
  if (count < 2) return 0
  const [centreA, centreB] = [mean(a), mean(b)]
  let sum = 0
  for (let k = 0; k < count; k++) sum += (a[k] - centreA) * (b[k] - centreB)
  return sum / (count - 1)
}
