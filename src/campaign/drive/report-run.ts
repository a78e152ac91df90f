import { hypotenuse } from '../../base/arithmetic.ts'
import { finiteOrNull } from '../../base/figures.ts'
import { plainText } from '../../base/sentence.ts'
import { mean, standardDeviation, sum } from '../../base/statistics.ts'
import { isoTime } from '../../base/time.ts'
import { holdAgainst, isProcedureId } from '../../compare/limits.ts'
import type { Vehicle } from '../../demand/vehicle.ts'
import type { ReportRun } from '../../report/contract.ts'
import type { DriveFacts, Heights } from '../../report/quantities/drive-facts.ts'
import { valuesOf } from '../../report/quantities/run-figure.ts'
import { AIR, DEMAND, HEIGHTS, SPEEDS, SUN, WIND } from '../../report/quantities/run-figures.ts'
import { limitLine } from '../../report/words/claims/limits.ts'
import { conditionsWords } from '../../report/words/drives/conditions.ts'
import { elevationGain } from '../../track/elevation.ts'
import { detourM, flagsFor } from './run-flags.ts'
import { notYetDrawn, type RunRecord } from './run-record.ts'

/** One run as the report tells it. */
export function reportRun(
  record: RunRecord,
  route: { id: string; lengthM: number },
  procedures: string[],
  roughnessM: number,
  vehicle: Vehicle,
): Omit<ReportRun, 'consumption' | 'use'> {
  const { run, runAir, member } = record
  const facts: DriveFacts = {
    ...record,
    summary: run.summary,
    heights: heightsOf(record),
    demandSdPct: demandSdPct(record),
  }
  const told = {
    id: run.id,
    track: run.track,
    setup: run.row?.setup ?? null,
    route: route.id,
    start_time: isoTime(run.summary.startTime),
    end_time: isoTime(run.summary.endTime),
    distance_m: run.summary.distanceM,
    duration_s: run.summary.durationS,
    moving_time_s: run.summary.movingTimeS,
    stop_count: run.summary.stopCount,
    ...valuesOf(SPEEDS, facts),
    ...valuesOf(HEIGHTS, facts),
    air: {
      ...valuesOf(AIR, facts),
      present_weather: runAir.presentWeather,
      road_wet: record.comparable.outside.wet,
      stations: stationsTold(runAir),
    },
    wind: valuesOf(WIND, facts),
    sun: { ...valuesOf(SUN, facts), phase: record.sun.phase },
    demand: valuesOf(DEMAND, facts),
    note: run.row?.note ?? null,
    extra: run.row?.extra ?? [],
    photo: run.row?.photo ?? null,
    road: {
      relation: member.relation,
      covered_share: member.match.coveredShare,
      detour_m: detourM(member),
    },
    logged: record.logged,
    flags: flagsFor(record, route.lengthM, vehicle),
    limits: procedures
      .filter(isProcedureId)
      .flatMap((id) => holdAgainst(id, conditionsOf(record, roughnessM)).map(limitLine)),
  }
  return { ...told, conditions: plainText(conditionsWords(told)) }
}

const stationsTold = ({ stations }: RunRecord['runAir']): ReportRun['air']['stations'] =>
  stations.map(({ id, distanceM, gapS, weight }) => ({
    id,
    distance_km: finiteOrNull(distanceM / 1000),
    nearest_observation_min: finiteOrNull(gapS / 60),
    weight,
  }))

/** Off the profile a run without heights of its own is level: where more than this is, its climbs are not known. */
const MOST_UNKNOWN_SHARE = 0.05

/** Climbs of the run from its route's shared profile where it lies on the road; NaN where nobody knows them. */
function heightsOf({ steps, run }: RunRecord): Heights {
  const totalM = sum(steps.distanceM)
  let unknownM = 0
  for (let i = 0; i < steps.elevationM.length; i++)
    if (Number.isNaN(steps.elevationM[i])) unknownM += steps.distanceM[i]
  const ownHeights = Number.isFinite(run.summary.elevationGainM)
  if (!ownHeights && unknownM > MOST_UNKNOWN_SHARE * totalM) {
    return { gainM: Number.NaN, lossM: Number.NaN, netM: Number.NaN }
  }
  const count = steps.climbM.length
  const heightM = new Float64Array(count + 1)
  const distanceM = new Float64Array(count + 1)
  for (let i = 0; i < count; i++) {
    heightM[i + 1] = heightM[i] + steps.climbM[i]
    distanceM[i + 1] = distanceM[i] + steps.distanceM[i]
  }
  const { gainM, lossM } = elevationGain(heightM, distanceM)
  return { gainM, lossM, netM: heightM[count] }
}

/** Standard deviation of the demand with that from the noise of the recorded speeds, percent; NaN without a demand. */
function demandSdPct({ demand, kinetic }: RunRecord): number {
  if (!demand) return Number.NaN
  return (
    100 * hypotenuse(standardDeviation(demand.drawsJPerM) / mean(demand.drawsJPerM), notYetDrawn(kinetic.sd, kinetic))
  )
}

function conditionsOf({ runAir, wind, means, steps, comparable }: RunRecord, roughnessM: number) {
  let highest = Number.NEGATIVE_INFINITY
  for (const elevation of steps.elevationM) if (elevation > highest) highest = elevation
  return {
    meanWindMps: wind.speedMps,
    gustMps: runAir.gustMps,
    meanCrosswindMps: wind.crosswindAtTenMetresMps,
    windHeightM: 10,
    roughnessM,
    temperatureK: means.temperatureK,
    densityKgM3: means.densityKgM3,
    precipitationMm: runAir.precipitationMm,
    roadWet: comparable.outside.wet === null ? Number.NaN : comparable.outside.wet ? 1 : 0,
    highestElevationM: Number.isFinite(highest) ? highest : Number.NaN,
  }
}
