import { hypotenuse } from '../../base/arithmetic.ts'
import { finiteOrNull } from '../../base/figures.ts'
import { plainText } from '../../base/sentence.ts'
import { mean, standardDeviation, sum } from '../../base/statistics.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import { isoTime } from '../../base/utc.ts'
import { holdAgainst, isProcedureId } from '../../compare/limits.ts'
import type { Vehicle } from '../../demand/vehicle.ts'
import type { ReportRun } from '../../report/contract.ts'
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
  const { run, demand, member } = record
  const told = {
    id: run.id,
    track: run.track,
    setup: run.row?.setup ?? null,
    route: route.id,
    ...summaryTold(record),
    ...heightsTold(record),
    air: airTold(record),
    wind: windTold(record),
    sun: sunTold(record),
    demand: { mean_j_per_m: demand?.nominalJPerM ?? null, sd_pct: finiteOrNull(demandSdPct(record)) },
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

function summaryTold({ run: { summary } }: RunRecord) {
  return {
    start_time: isoTime(summary.startTime),
    end_time: isoTime(summary.endTime),
    distance_m: summary.distanceM,
    duration_s: summary.durationS,
    moving_time_s: summary.movingTimeS,
    stop_count: summary.stopCount,
    mean_speed_mps: finiteOrNull(summary.meanSpeedMps),
    moving_speed_mps: finiteOrNull(summary.movingSpeedMps),
    max_speed_mps: finiteOrNull(summary.maxSpeedMps),
  }
}

function heightsTold(record: RunRecord) {
  const { gainM, lossM, netM } = heightsOf(record)
  return {
    elevation_gain_m: finiteOrNull(gainM),
    elevation_loss_m: finiteOrNull(lossM),
    net_elevation_m: finiteOrNull(netM),
  }
}

function airTold({ runAir, means, comparable }: RunRecord): ReportRun['air'] {
  return {
    temperature_c: finiteOrNull(celsiusFromKelvin(means.temperatureK)),
    relative_humidity_pct: runAir.assumed.humiditySd > 0 ? null : finiteOrNull(100 * means.relativeHumidity),
    station_pressure_hpa: runAir.assumed.pressureSdPa > 0 ? null : finiteOrNull(means.pressurePa / 100),
    density_kgm3: finiteOrNull(means.densityKgM3),
    density_kgm3_sd: finiteOrNull(means.densitySdKgM3),
    precipitation_mm: finiteOrNull(runAir.precipitationMm),
    present_weather: runAir.presentWeather,
    road_wet: comparable.outside.wet,
    stations: runAir.stations.map((s) => ({
      id: s.id,
      distance_km: finiteOrNull(s.distanceM / 1000),
      nearest_observation_min: finiteOrNull(s.gapS / 60),
      weight: s.weight,
    })),
  }
}

function windTold({ runAir, wind, demand }: RunRecord): ReportRun['wind'] {
  return {
    speed_mps: finiteOrNull(wind.speedMps),
    from_deg: finiteOrNull(wind.fromDeg),
    headwind_mps: finiteOrNull(wind.headwindMps),
    headwind_mps_sd: demand && Number.isFinite(wind.headwindMps) ? demand.headwindSdMps : null,
    crosswind_abs_mps: finiteOrNull(wind.crosswindAbsMps),
    yaw_abs_deg: finiteOrNull(wind.yawAbsDeg),
    gust_mps: finiteOrNull(runAir.gustMps),
  }
}

function sunTold({ sun }: RunRecord): ReportRun['sun'] {
  return {
    altitude_deg: finiteOrNull(sun.altitudeDeg),
    azimuth_deg: finiteOrNull(sun.azimuthDeg),
    phase: sun.phase,
    start_altitude_deg: finiteOrNull(sun.startAltitudeDeg),
    end_altitude_deg: finiteOrNull(sun.endAltitudeDeg),
  }
}

/** Off the profile a run without heights of its own is level: where more than this is, its climbs are not known. */
const MOST_UNKNOWN_SHARE = 0.05

/** Climbs of the run from its route's shared profile where it lies on the road; NaN where nobody knows them. */
function heightsOf({ steps, run }: RunRecord): { gainM: number; lossM: number; netM: number } {
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
