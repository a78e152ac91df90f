import { ASSUMED_HUMIDITY } from '../../air/blend.ts'
import { hypotenuse } from '../../base/arithmetic.ts'
import { plainText } from '../../base/sentence.ts'
import { mean, standardDeviation, sum } from '../../base/statistics.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import { holdAgainst, isProcedureId } from '../../compare/limits.ts'
import type { Vehicle } from '../../demand/vehicle.ts'
import type { ReportRun } from '../../report/contract.ts'
import { limitLine } from '../../report/words/claims/limits.ts'
import { conditionsWords } from '../../report/words/drives/conditions.ts'
import { toldFlag } from '../../report/words/drives/flags.ts'
import { elevationGain } from '../../track/elevation.ts'
import { flagsOf } from '../../track/flags.ts'
import { logFlags } from './log-flags.ts'
import { notYetDrawn, type RunRecord } from './run-record.ts'

/** A number for the report: null where it does not exist. */
export const figure = (value: number): number | null => (Number.isFinite(value) ? value : null)

export const isoTime = (seconds: number): string => new Date(seconds * 1000).toISOString()

/** One run as the report tells it. */
export function reportRun(
  record: RunRecord,
  route: { id: string; lengthM: number },
  procedures: string[],
  roughnessM: number,
  vehicle: Vehicle,
): Omit<ReportRun, 'consumption' | 'use'> {
  const { run, runAir, wind, sun, means, demand, member } = record
  const { summary } = run
  const heights = heightsOf(record)
  const told = {
    id: run.id,
    track: run.track,
    setup: run.row?.setup ?? null,
    route: route.id,
    start_time: isoTime(summary.startTime),
    end_time: isoTime(summary.endTime),
    distance_m: summary.distanceM,
    duration_s: summary.durationS,
    moving_time_s: summary.movingTimeS,
    stop_count: summary.stopCount,
    mean_speed_mps: figure(summary.meanSpeedMps),
    moving_speed_mps: figure(summary.movingSpeedMps),
    max_speed_mps: figure(summary.maxSpeedMps),
    elevation_gain_m: figure(heights.gainM),
    elevation_loss_m: figure(heights.lossM),
    net_elevation_m: figure(heights.netM),
    air: {
      temperature_c: figure(celsiusFromKelvin(means.temperatureK)),
      relative_humidity_pct: runAir.assumed.humiditySd > 0 ? null : figure(100 * means.relativeHumidity),
      station_pressure_hpa: runAir.assumed.pressureSdPa > 0 ? null : figure(means.pressurePa / 100),
      density_kgm3: figure(means.densityKgM3),
      density_kgm3_sd: figure(means.densitySdKgM3),
      precipitation_mm: figure(runAir.precipitationMm),
      present_weather: runAir.presentWeather,
      road_wet: record.comparable.outside.wet,
      stations: runAir.stations.map((s) => ({
        id: s.id,
        distance_km: figure(s.distanceM / 1000),
        nearest_observation_min: figure(s.gapS / 60),
        weight: s.weight,
      })),
    },
    wind: {
      speed_mps: figure(wind.speedMps),
      from_deg: figure(wind.fromDeg),
      headwind_mps: figure(wind.headwindMps),
      headwind_mps_sd: demand && Number.isFinite(wind.headwindMps) ? demand.headwindSdMps : null,
      crosswind_abs_mps: figure(wind.crosswindAbsMps),
      yaw_abs_deg: figure(wind.yawAbsDeg),
      gust_mps: figure(runAir.gustMps),
    },
    sun: {
      altitude_deg: figure(sun.altitudeDeg),
      azimuth_deg: figure(sun.azimuthDeg),
      phase: sun.phase,
      start_altitude_deg: figure(sun.startAltitudeDeg),
      end_altitude_deg: figure(sun.endAltitudeDeg),
    },
    demand: { mean_j_per_m: demand?.nominalJPerM ?? null, sd_pct: figure(demandSdPct(record)) },
    note: run.row?.note ?? null,
    extra: run.row?.extra ?? [],
    photo: run.row?.photo ?? null,
    road: {
      relation: member.relation,
      covered_share: member.match.coveredShare,
      detour_m: member.match.detours.reduce((sum, d) => sum + d.toM - d.fromM, 0),
    },
    logged: record.logged,
    flags: flagsFor(record, route.lengthM, vehicle),
    limits: procedures
      .filter(isProcedureId)
      .flatMap((id) => holdAgainst(id, conditionsOf(record, roughnessM)).map(limitLine)),
  }
  return { ...told, conditions: plainText(conditionsWords(told)) }
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

type Flag = ReportRun['flags'][number]
type Found = Omit<Flag, 'message'>

/** Quality of the track, of its place on the road and of its air. */
function flagsFor(record: RunRecord, roadM: number, vehicle: Vehicle): Flag[] {
  const { run, member, runAir } = record
  const told = (code: string, severity: Flag['severity'], message: string): Flag => ({
    code,
    severity,
    message,
    figures: null,
  })
  const { exclude = null } = run.row ?? {}
  return [
    ...run.problems.map(({ code, severity, message }) => told(code, severity, message)),
    ...[
      ...ownFlags(record, vehicle),
      ...roadFlags(member, roadM),
      ...airFlags(runAir),
      ...logFlags(record.log, record.logged, run.summary.distanceM),
    ].map(toldFlag),
    ...(run.otherVehicle ? [toldFlag({ severity: 'warning', ...run.otherVehicle })] : []),
    ...(exclude ? [told('excluded', 'note', `Excluded by runs.csv: ${exclude}`)] : []),
  ]
}

/** What is weak in the drive's own track. A lap, or a part that was stated, begins and ends on the move as it should. */
const ownFlags = (record: RunRecord, vehicle: Vehicle): Found[] =>
  flagsOf(record.drive)
    .filter(({ code }) => record.run.part === null || code !== 'cut-while-moving')
    .flatMap((flag): Found[] => (flag.code === 'long-stand' ? standFlag(flag, record, vehicle) : [flag]))

/** A battery charges for eight minutes or longer, s. Common practice, no source. */
const LEAST_CHARGING_S = 480

/** A long stand with what it would cost if the engine had run on; nothing where runs.csv says of it. */
function standFlag(flag: Found, { run, demand }: RunRecord, { powertrain }: Vehicle): Found[] {
  if (run.engineOff !== null || powertrain.kind === 'human') return []
  const { from_time, to_time } = flag.figures ?? {}
  if (from_time === undefined || to_time === undefined) return [flag]
  const idlingJ = powertrain.idlePowerW.value * (to_time - from_time)
  const share = demand ? { share: idlingJ / (demand.nominalJPerM * run.summary.distanceM) } : {}
  const isCharging = powertrain.kind === 'electric' && to_time - from_time >= LEAST_CHARGING_S
  const code = isCharging ? 'may-be-charging' : powertrain.kind === 'electric' ? 'long-stand-electric' : 'long-stand'
  return [{ ...flag, code, figures: { ...flag.figures, ...share } }]
}

/** A piece of the road that a drive lacks is told from this on, m. */
const LEAST_MISSING_M = 150

/** How much of the road a drive lacks at its begin, at its end, and between, m; only what is worth telling. */
function missingOf(covered: Uint8Array, roadM: number): Record<string, number> {
  const binM = roadM / covered.length
  const first = covered.indexOf(1)
  const last = covered.lastIndexOf(1)
  if (first < 0) return {}
  const holes = covered.subarray(first, last + 1).reduce((count, bin) => count + 1 - bin, 0)
  const lengths = { late_m: first * binM, early_m: (covered.length - 1 - last) * binM, hole_m: holes * binM }
  return Object.fromEntries(Object.entries(lengths).filter(([, length]) => length >= LEAST_MISSING_M))
}

function roadFlags({ relation, match }: RunRecord['member'], roadM: number): Found[] {
  const { hole_m, ...ends } = missingOf(match.covered, roadM)
  const hole = hole_m === undefined ? {} : { hole_m }
  const again: Found[] =
    match.againM > 0 ? [{ code: 'driven-twice', severity: 'note', figures: { length_m: match.againM } }] : []
  if (relation === 'part') {
    const figures = { share: match.coveredShare, ...ends, ...hole }
    return [{ code: 'part-of-route', severity: 'warning', figures }, ...again]
  }
  const around_m = match.detours.reduce((sum, d) => sum + d.toM - d.fromM, 0)
  if (relation === 'detour') {
    const length_m = around_m + match.beforeM + match.afterM
    return [{ code: 'detour', severity: 'warning', figures: { length_m } }, ...again]
  }
  const flags: Found[] = []
  if (around_m > 0) flags.push({ code: 'detour', severity: 'note', figures: { length_m: around_m } })
  // What a detour passes by is no hole of the recording.
  const missing = around_m > 0 ? ends : { ...ends, ...hole }
  if (Object.keys(missing).length > 0) flags.push({ code: 'road-not-driven', severity: 'note', figures: missing })
  return [...flags, ...again]
}

function airFlags(runAir: RunRecord['runAir']): Found[] {
  const flags: Found[] = []
  const { missing, assumed } = runAir
  const add = (code: string, severity: Flag['severity'], figures: Record<string, number> = {}): void => {
    flags.push({ code, severity, figures })
  }
  if (missing.length > 0) add(missing.length === 2 ? 'no-weather' : `no-${missing[0]}`, 'warning')
  if (missing.includes('temperature')) return flags
  if (runAir.farShare > 0) add('weather-far', 'note', { share: runAir.farShare })
  if (runAir.beyondShare > 0) add('weather-beyond-reach', 'warning', { share: runAir.beyondShare })
  if (assumed.pressureSdPa > 0) add('pressure-assumed', 'warning', { sd_hpa: assumed.pressureSdPa / 100 })
  if (assumed.humiditySd > 0)
    add('humidity-assumed', 'note', { humidity: ASSUMED_HUMIDITY.value, sd: assumed.humiditySd })
  if (runAir.along.undirectedMps.some((w) => w > 1)) add('wind-direction-unknown', 'warning')
  return flags
}
