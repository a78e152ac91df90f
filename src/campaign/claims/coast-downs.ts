import { airAlong } from '../../air/field.ts'
import { hypotenuse } from '../../base/arithmetic.ts'
import { failed, found, type Outcome, type Problem } from '../../base/problem.ts'
import { isoClock, isoSecond } from '../../base/time.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import { type CoastDown, type CoastWindow, coastDownOf, LEAST_WINDOWS } from '../../demand/coast-down/coast-fit.ts'
import { exposureFactor } from '../../demand/exposure.ts'
import type { CoastDownSettings } from '../../read/campaign/settings.ts'
import type { Report } from '../../report/contract.ts'
import { coastDownLines } from '../../report/words/claims/coast-down.ts'
import { indexAt, type Trace } from '../../road/division/trace.ts'
import { courseDeg, stepM } from '../../track/geodesy.ts'
import { type SpeedLog, windowsWithoutPower } from '../../track/speed-log.ts'
import type { ReadySetting } from '../drive/run-result.ts'
import type { PreparedCampaign } from '../load/loaded-campaign.ts'
import type { MappedFile } from '../load/map-file.ts'
import { statedWindows } from '../load/rows/stated-windows.ts'
import { type Log, logNamed } from './coast-down-log.ts'

type Told = NonNullable<Report['coast_down']>

/** A window with what is told of it. */
interface Coast extends CoastWindow {
  track: string
  fromTime: number
  toTime: number
}

/** The road load from the coast-downs that campaign.yaml names; null where it names none or they tell none. */
export function coastDownTold(
  prepared: PreparedCampaign,
  mapped: readonly MappedFile[],
  ready: ReadySetting,
): { told: Told | null; problems: Problem[] } {
  const { inputs, vehicle } = prepared
  const file = inputs.campaignFile
  const problems: Problem[] = []
  const coasts = inputs.campaign.coastDowns.flatMap((series): Coast[] => {
    const { value, problems: wrong } = coastsOf(series, mapped, prepared, ready)
    const place = { ...(file && { file }), ...(series.line !== null && { line: series.line }) }
    problems.push(...wrong.map((problem) => ({ ...problem, ...place })))
    return value ?? []
  })
  if (inputs.campaign.coastDowns.length === 0) return { told: null, problems }
  const fit = coastDownOf(coasts, {
    massKg: vehicle.massKg,
    rotatingShare: vehicle.rotatingShare,
    yawRise: vehicle.dragYawRise.value,
    rollingFallPerK: vehicle.rollingTemperaturePerK.value,
  })
  if (!fit) return { told: null, problems: [...problems, { ...tooFew(coasts.length), ...(file && { file }) }] }
  return { told: toldOf(fit, coasts), problems }
}

const tooFew = (count: number): Problem => ({
  code: 'coast-downs-too-few',
  severity: 'error',
  message: `found ${count} coast-downs that can be used, expected ${LEAST_WINDOWS} or more over a range of speeds; no road load is told`,
})

/** A window must show a loss of speed that is large beside a sensor's step. */
const LEAST_LOSS_MPS = 0.5
const LEAST_VALUES = 4

function coastsOf(
  series: CoastDownSettings,
  mapped: readonly MappedFile[],
  prepared: PreparedCampaign,
  ready: ReadySetting,
): Outcome<Coast[]> {
  const { value: log, problems: ofLog } = logNamed(series, mapped)
  if (log === null) return { value: null, problems: ofLog }
  const windows = windowsOf(series, log.speed, prepared.inputs.campaign.timeZone)
  if (windows.value === null) return { value: null, problems: windows.problems }
  const problems: Problem[] = [...windows.problems]
  const coasts = windows.value.flatMap((window): Coast[] => {
    const coast = coastIn(window, series, log, prepared, ready)
    if (!('code' in coast)) return [coast]
    const name = `${series.track} ${isoClock(window.fromTime)} to ${isoClock(window.toTime)} UTC`
    const message = `${name}: ${coast.message}; this coast-down is not used`
    problems.push({ code: coast.code, severity: 'error', message })
    return []
  })
  return found(coasts, problems)
}

/** One coast-down, or why it cannot be used. */
function coastIn(
  { fromTime, toTime }: { fromTime: number; toTime: number },
  series: CoastDownSettings,
  { speed, of }: Log,
  prepared: PreparedCampaign,
  ready: ReadySetting,
): Coast | Pick<Problem, 'code' | 'message'> {
  const rows = freshRows(speed, fromTime, toTime)
  const lost = rows.length === 0 ? 0 : speed.speedMps[rows[0]] - speed.speedMps[rows[rows.length - 1]]
  if (rows.length < LEAST_VALUES || lost < LEAST_LOSS_MPS) {
    const message = `found ${rows.length} values of speed that lose ${lost.toFixed(1)} m/s, expected ${LEAST_VALUES} or more that lose ${LEAST_LOSS_MPS}`
    return { code: 'coast-down-too-short', message }
  }
  const trace = of.drive?.trace ?? null
  const headingDeg = headingOf(series, trace, fromTime, toTime)
  if (headingDeg === 'unknown') {
    const message = 'found no heading, expected heading_deg, or positions on a straight road'
    return { code: 'coast-down-heading', message }
  }
  const air = airOf(fromTime, toTime, trace, prepared, ready)
  if (air === null) {
    const message = 'found no temperature and wind, expected weather near the log, or near place in campaign.yaml'
    return { code: 'coast-down-air', message }
  }
  const column = (values: Float64Array): Float64Array => Float64Array.from(rows, (row) => values[row])
  const columns = { time: column(speed.time), speedMps: column(speed.speedMps) }
  return { track: series.track, fromTime, toTime, ...columns, headingDeg, ...air }
}

const NO_TRACE: Trace = {
  latitude: new Float64Array(0),
  longitude: new Float64Array(0),
  distanceM: new Float64Array(0),
  courseDeg: new Float64Array(0),
  time: new Float64Array(0),
  inGap: new Uint8Array(0),
  spacingM: 1,
  lengthM: 0,
  corridorM: 0,
  doubt: 0,
}

function windowsOf(
  { windows, track }: CoastDownSettings,
  speed: SpeedLog,
  timeZone: string | null,
): Outcome<{ fromTime: number; toTime: number }[]> {
  if (windows === null) {
    const without = windowsWithoutPower(speed)
    if (without.length > 0) return found(without)
    const message = `found no windows, and ${speed.powerW ? 'no stretch' : 'no power'} in "${track}" that shows where nothing drives the vehicle; expected windows such as 10:15:20-10:15:55`
    return failed({ code: 'coast-down-windows', message })
  }
  if (/\d\s*(?:km|mi|m)\b/i.test(windows))
    return failed({ code: 'coast-down-windows', message: `windows: found a distance, expected times of the log` })
  const span = { startTime: speed.time[0], endTime: speed.time[speed.time.length - 1], trace: NO_TRACE }
  return statedWindows(windows, 'windows', span, timeZone)
}

/** Rows of a window whose speed is new: loggers repeat a value until the next one comes. */
function freshRows({ time, speedMps }: SpeedLog, fromTime: number, toTime: number): number[] {
  return [...time.keys()].filter(
    (row) => row > 0 && time[row] >= fromTime && time[row] <= toTime && speedMps[row] !== speedMps[row - 1],
  )
}

/** A road along which the way is longer than straight on by more than this bends. */
const MOST_BEND = 1.05

function headingOf(
  { headingDeg }: CoastDownSettings,
  trace: Trace | null,
  fromTime: number,
  toTime: number,
): number | null | 'unknown' {
  if (headingDeg === 'all') return null
  if (headingDeg !== null) return headingDeg
  if (trace === null) return 'unknown'
  const [a, b] = [indexAt(trace, fromTime), indexAt(trace, toTime)]
  const at = (i: number): [number, number] => [trace.latitude[i], trace.longitude[i]]
  const straightM = stepM(...at(a), ...at(b))
  const isStraight = straightM > 0 && (trace.distanceM[b] - trace.distanceM[a]) / straightM < MOST_BEND
  return isStraight ? courseDeg(...at(a), ...at(b)) : 'unknown'
}

/** What the wind at the vehicle is wrong by beside the wind at the station: the shelter of the road. Common practice, no source. */
const EXPOSURE_SD = 0.22

function airOf(
  fromTime: number,
  toTime: number,
  trace: Trace | null,
  { inputs, vehicle, ensemble }: PreparedCampaign,
  { field }: ReadySetting,
): Pick<CoastWindow, 'densityKgM3' | 'temperatureK' | 'windEastMps' | 'windNorthMps' | 'windSdMps'> | null {
  const at = trace ? indexAt(trace, fromTime) : -1
  const place = trace ? { latitude: trace.latitude[at], longitude: trace.longitude[at] } : inputs.campaign.place
  if (place === null) return null
  const one = (value: number): Float64Array => Float64Array.of(value)
  const { along, missing } = airAlong(field, '', {
    time: one((fromTime + toTime) / 2),
    latitude: one(place.latitude),
    longitude: one(place.longitude),
    elevationM: one(Number.NaN),
  })
  if (missing.length > 0) return null
  const factor = exposureFactor(vehicle.referenceHeightM, ensemble)
  const [windEastMps, windNorthMps] = [factor * along.windEastMps[0], factor * along.windNorthMps[0]]
  return {
    densityKgM3: along.densityKgM3[0],
    temperatureK: along.temperatureK[0],
    windEastMps,
    windNorthMps,
    windSdMps: hypotenuse(
      factor * hypotenuse(along.windDepartureSdMps[0], along.undirectedMps[0]),
      EXPOSURE_SD * hypotenuse(windEastMps, windNorthMps),
    ),
  }
}

function toldOf(fit: CoastDown, coasts: readonly Coast[]): Told {
  const interval = ({ value, half95 }: CoastDown['f0N']) => ({
    estimate: value,
    low95: value - half95,
    high95: value + half95,
  })
  const speeds = coasts.flatMap(({ speedMps }) => [speedMps[0], speedMps[speedMps.length - 1]])
  const figures = {
    f0_n: interval(fit.f0N),
    f2_n_per_mps2: interval(fit.f2NPerMps2),
    both_directions: fit.bothDirections,
    reference_temperature_c: celsiusFromKelvin(fit.referenceTemperatureK),
    reference_density_kgm3: fit.referenceDensityKgM3,
    low_mps: Math.min(...speeds),
    high_mps: Math.max(...speeds),
    windows: coasts.map((coast, i) => ({
      track: coast.track,
      from: isoSecond(coast.fromTime),
      to: isoSecond(coast.toTime),
      heading_deg: coast.headingDeg,
      from_mps: coast.speedMps[0],
      to_mps: coast.speedMps[coast.speedMps.length - 1],
      wind_at_vehicle_mps: hypotenuse(coast.windEastMps, coast.windNorthMps),
      residual_mps: fit.residualsMps[i],
    })),
  }
  return { ...figures, ...coastDownLines(figures) }
}
