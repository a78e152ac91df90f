import { finiteOrNull } from '../../base/figures.ts'
import type { Problem } from '../../base/problem.ts'
import { plainText } from '../../base/sentence.ts'
import { isoTime } from '../../base/time.ts'
import { celsiusFromKelvin } from '../../base/units.ts'
import { filledIn, inOrder, isFull, spanId } from '../../claim/fuel/fill-spans.ts'
import type { FuelUnit } from '../../claim/fuel/measure.ts'
import { type FillRow, lineWords } from '../../read/runs/rows.ts'
import type { Report } from '../../report/contract.ts'
import { odometerHint } from '../../report/words/checks/claim-problems.ts'
import { logReasonHint, logReasonWords } from '../../report/words/claims/fuel-log.ts'
import type { LogSpan } from './log-runs.ts'
import type { WeatherOverSpan } from './place-weather.ts'

/** The fuel log as the report tells it. */
export const fillsTold = (fills: readonly FillRow[]): Report['fills'] =>
  inOrder(fills).map((fill) => {
    const unit = unitOf(fill)
    return {
      line: fill.line,
      file: fill.file,
      time: isoTime(fill.fromTime),
      day_only: fill.toTime > fill.fromTime,
      odometer_km: finiteOrNull(fill.odometerM / 1000),
      amount: filledIn(fill, unit),
      unit,
      full: isFull(fill),
      missed: fill.missed === true,
      fuel_temperature_c: finiteOrNull(celsiusFromKelvin(fill.fuelTemperatureK)),
      soc_before_pct: finiteOrNull(100 * fill.socBefore),
      soc_after_pct: finiteOrNull(100 * fill.socAfter),
      pump: fill.pump,
      setup: fill.setup,
      price: fill.price,
      note: fill.note,
      photo: fill.photo,
    }
  })

const unitOf = ({ fuelLitres, fuelKg }: FillRow): FuelUnit => (fuelLitres > 0 ? 'l' : fuelKg > 0 ? 'kg' : 'kWh')

/** What was used from fill to fill, as the report tells it. */
export const consumptionTold = (
  spans: readonly LogSpan[],
  weatherOf: (fromTime: number, toTime: number) => WeatherOverSpan | null,
): Report['consumption'] =>
  spans
    .toSorted((a, b) => a.span.closing.fromTime - b.span.closing.fromTime || a.span.closing.line - b.span.closing.line)
    .map(({ span, drives, driveM, otherM, unrecordedM, setup, share, reason }) => ({
      id: spanId(span),
      from_line: span.opening.line,
      to_line: span.closing.line,
      from_file: span.opening.file,
      to_file: span.closing.file,
      from_time: isoTime(span.opening.fromTime),
      to_time: isoTime(span.closing.fromTime),
      setup,
      unit: span.unit,
      amount: span.amount,
      charged_kwh: span.chargedKwh > 0 ? span.chargedKwh : null,
      odometer_distance_m: finiteOrNull(span.distanceM),
      per_100_km: span.fault === null ? finiteOrNull((1e5 * span.amount) / span.distanceM) : null,
      drives_m: driveM,
      other_m: otherM,
      unrecorded_m: finiteOrNull(unrecordedM),
      runs: drives.flatMap(({ run }) => run ?? []),
      share,
      reason_code: reason?.code ?? null,
      reason: reason && plainText(logReasonWords(reason)),
      weather: weatherTold(weatherOf(span.opening.fromTime, span.closing.toTime)),
    }))

function weatherTold(weather: WeatherOverSpan | null): Report['consumption'][number]['weather'] {
  if (weather === null) return null
  return {
    station: weather.station,
    observations: weather.observations,
    temperature_c: finiteOrNull(weather.temperatureC),
    wind_speed_mps: finiteOrNull(weather.windSpeedMps),
    precipitation_mm: finiteOrNull(weather.precipitationMm),
  }
}

/** Where the odometer's distances are to the recorded ones as miles to kilometres, the cause of all that does not fit. */
function odometerUnit(spans: readonly LogSpan[], file: string): Problem[] {
  const ratios = spans
    .filter(({ span, driveM }) => span.distanceM > 0 && driveM > 0)
    .map(({ span, driveM, otherM }) => span.distanceM / (driveM + otherM) - 1)
  const hints = ratios.flatMap((share) => odometerHint(share, 'odometer') ?? [])
  if (ratios.length < 2 || hints.length < 0.7 * ratios.length) return []
  const middle = ratios.sort((a, b) => a - b)[ratios.length >> 1]
  const message = `by the odometer ${(1 + middle).toFixed(3)} times as much was driven between the fills as was recorded (middle of ${ratios.length})`
  const hint = odometerHint(middle, 'odometer')
  return [
    {
      code: 'fills-odometer-unit',
      severity: 'warning',
      file,
      message,
      ...(hint ? { hint: plainText(hint) } : {}),
    },
  ]
}

/** "lines 3 and 4", or of which logs where there are several. */
const linesWords = ({ opening, closing }: LogSpan['span']): string =>
  opening.file === null && closing.file === null
    ? `lines ${opening.line} and ${closing.line}`
    : `${lineWords(opening)} and ${lineWords(closing)}`

/** Of a log beside recordings: the spans with drives whose fuel is not used, each with its reason. */
export function logProblems(spans: readonly LogSpan[], file: string): Problem[] {
  const ofSpans = spans.flatMap(({ span, drives, reason }): Problem[] => {
    if (
      reason === null ||
      reason.code === 'beside-fuel' ||
      (drives.length === 0 && reason.code !== 'fill-during-drive')
    )
      return []
    const hint = logReasonHint(reason)
    const from = `the fuel between the fills of ${linesWords(span)}`
    return [
      {
        code: reason.code === 'own-fuel' ? 'fuel-by-row-and-log' : 'fill-span-not-used',
        severity: 'warning' as const,
        file: span.closing.file ?? file,
        line: span.closing.line,
        message: `${from} is not held against ${drives.length === 1 ? 'the drive' : 'the drives'} between them: ${plainText(logReasonWords(reason))}`,
        ...(hint ? { hint: plainText(hint) } : {}),
      },
    ]
  })
  return [...odometerUnit(spans, file), ...ofSpans]
}
