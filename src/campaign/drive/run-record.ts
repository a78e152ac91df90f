import type { AirField } from '../../air/field.ts'
import type { RunAir } from '../../air/types.ts'
import { hypotenuse, rootSumOfSquares } from '../../base/arithmetic.ts'
import type { Place } from '../../base/place.ts'
import { sum } from '../../base/statistics.ts'
import type { ComparableRun, Missing } from '../../compare/pair.ts'
import { wetness } from '../../compare/remarks.ts'
import { demandOf } from '../../demand/ensemble.ts'
import { type KineticPart, kineticPartOf } from '../../demand/kinetic-part.ts'
import { densityRelativeSd } from '../../demand/run-draws.ts'
import type { SharedDraws } from '../../demand/shared-draws.ts'
import type { Demand, EnsembleRun, StepAir, Steps } from '../../demand/types.ts'
import { wetOrDry } from '../../read/table/yes-or-no.ts'
import type { AirMeans, SunOver, WindMet } from '../../report/quantities/drive-facts.ts'
import { type Member, outlineOf } from '../../road/types.ts'
import { isCoarse } from '../../track/flags.ts'
import { type LoggedOfDrive, loggedOf } from '../../track/logged.ts'
import { slowGaps } from '../../track/slow-gaps.ts'
import type { Drive } from '../../track/types.ts'
import type { RouteContext } from '../load/route-context.ts'
import type { Run } from '../load/runs.ts'
import { overDistance, sunOver, windMet } from './conditions.ts'
import { type LoggedRun, loggedRun } from './logged-run.ts'
import { type StepsInAir, stepsInAir } from './steps-in-air.ts'

/** What is kept of a run once its road, its air and its demand are known: figures, no columns over its whole length. */
export interface KeptRecord {
  run: Omit<Run, 'drive'>
  route: number
  /** Where the run began, degrees. */
  start: Place
  runAir: RunAir
  wind: WindMet
  sun: SunOver
  means: AirMeans
  /** null when temperature or wind is missing. */
  demand: Demand | null
  /** Names the recording by what it holds. */
  recording: string
  /** What the recorded changes of speed make of the demand. */
  kinetic: RecordedPart
  comparable: ComparableRun
  /** What its logger wrote beside the positions; null: nothing. */
  logged: LoggedRun | null
}

/** A run with its road, its air and its demand, and all that these were made from. */
export interface RunRecord extends KeptRecord {
  run: Run
  drive: Drive
  member: Member
  steps: Steps
  air: StepAir
  ensembleRun: EnsembleRun
  log: LoggedOfDrive | null
}

/** A run on its road, in its air, with its demand. */
export function recordOf(run: Run, drive: Drive, route: RouteContext, field: AirField, shared: SharedDraws): RunRecord {
  const inAir = stepsInAir(run, drive, route, field)
  const { steps, runAir, air } = inAir
  const ensembleRun: EnsembleRun = {
    ...inAir,
    recording: recordingName(drive),
    region: route.region,
    recordingSd: recordingSd(drive),
  }
  const computed = runAir.missing.length === 0 ? demandOf(ensembleRun, shared) : null
  const demand = computed && isAboveZero(computed) ? computed : null
  const sun = sunOver(steps)
  const log = loggedOf(drive.log, drive.motion, run.part)
  return {
    run,
    drive,
    route: route.index,
    member: route.member,
    start: { latitude: steps.latitude[0], longitude: steps.longitude[0] },
    steps,
    air,
    runAir,
    wind: windMet(steps, air, shared.bestExposure),
    sun,
    means: airMeans(inAir, densityRelativeSd(ensembleRun, shared)),
    ensembleRun,
    log,
    logged: loggedRun(log, shared.vehicle.powertrain.kind),
    demand,
    recording: ensembleRun.recording,
    kinetic: recordedPart(kineticPartOf(steps, ensembleRun, shared), ensembleRun.recordingSd),
    comparable: {
      route: route.index,
      routeName: route.name,
      relation: route.member.relation,
      match: outlineOf(route.member.match),
      draws: demand?.drawsJPerM ?? null,
      missing: computed && !demand ? ['demand'] : missingOf(runAir),
      outside: outsideOf(run, runAir, sun),
    },
  }
}

function airMeans({ steps, air, runAir: { along } }: StepsInAir, densitySd: number): AirMeans {
  const mean = (values: Float64Array): number => sum(values) / values.length
  const densityKgM3 = overDistance(air.densityKgM3, steps)
  return {
    temperatureK: overDistance(air.temperatureK, steps),
    relativeHumidity: mean(along.relativeHumidity),
    pressurePa: mean(along.pressurePa),
    densityKgM3,
    densitySdKgM3: Number.isFinite(densityKgM3) ? densityKgM3 * densitySd : Number.NaN,
  }
}

/** What no demand holds and a pair remarks on. */
const outsideOf = ({ row, summary }: Run, air: RunAir, { phase }: SunOver): ComparableRun['outside'] => ({
  // Who drove there knows better than who reported near there.
  wet:
    wetOrDry(row?.roadWet ?? null) ??
    wetness(air.roadWet, air.precipitationMm, air.presentWeather, air.weatherObserved),
  phase,
  payloadKg: row?.payloadKg ?? Number.NaN,
  tyrePressurePa: row?.tyrePressurePa ?? Number.NaN,
  accessoriesW: row?.accessoriesW ?? Number.NaN,
  standingShare: summary.standingTimeS / summary.durationS,
  startTime: summary.startTime,
  endTime: summary.endTime,
})

/** A ratio to a demand that some draws take to nothing says nothing. */
const isAboveZero = ({ nominalJPerM, drawsJPerM }: Demand): boolean =>
  nominalJPerM > 0 && drawsJPerM.every((demand) => demand > 0)

/** With what sparse, scattered and missing fixes hide of the changes of speed: of these no smoothing tells. */
export const recordedPart = ({ log, sd, commonSd }: KineticPart, recordingSd: number): RecordedPart => ({
  log,
  sd: hypotenuse(sd, recordingSd),
  commonSd,
  drawnSd: recordingSd,
})

/** A kinetic part with all that the recording leaves in doubt of it. */
export interface RecordedPart extends KineticPart {
  /** What of that the draws of the demand hold already, standard deviation of ln. */
  drawnSd: number
}

/** What of a doubt about the motion the draws of the demand do not hold yet. */
export const notYetDrawn = (sd: number, { drawnSd }: RecordedPart): number =>
  Math.sqrt(Math.max(0, sd * sd - drawnSd * drawnSd))

function recordingName({ fixes, fixCount }: Drive): string {
  return [fixes.time[0], fixes.latitude[0], fixes.longitude[0], fixCount].join('/')
}

const missingOf = ({ missing }: RunAir): Missing[] => (missing.length === 2 ? ['weather'] : missing)

/** Of the best recordings, beside what the smoothing of their speeds leaves in doubt. Common practice, no source. */
const LEAST_SD = 0.001

/**
 * Relative standard deviation of a demand from the recording: sparse fixes, where no recorded speed stands between them, hide how the vehicle pulled away and slowed
 * down, gaps hide it whole, and positions from cell towers make it up. Sizes after telephones in one car (mobilitynet:
 * 0 to 50 % between a good and a coarse one) and one logger read with and without its held rows at a fix every 12 s
 * (rsk-twizy: 1 to 6 %), both in town.
 */
export function recordingSd(drive: Drive): number {
  const intervalS = Math.min(drive.speedIntervalS, drive.medianFixIntervalS)
  const beyondS = Math.max(0, intervalS - 2)
  // Pulling away and slowing down take some ten seconds: what is recorded more often than that hides less of them.
  const sparse = 0.0025 * beyondS * Math.min(1, beyondS / 10)
  const scatter = 0.005 * Math.max(0, drive.positionNoiseM - 3)
  const stoodSamples = slowGaps(drive.motion).reduce((total, { from, past }) => total + past - from, 0)
  const hidden = Math.max(0, drive.gapShare - stoodSamples / drive.motion.count)
  return rootSumOfSquares([LEAST_SD, sparse, scatter, 0.3 * hidden, isCoarse(drive) ? 0.25 : 0])
}
