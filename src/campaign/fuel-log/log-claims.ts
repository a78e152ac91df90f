import { drawsOf } from '../../base/draws.ts'
import { isOfPlugIn, spanId } from '../../claim/fuel/fill-spans.ts'
import type { FuelRun } from '../../claim/types.ts'
import { emptyRow } from '../../read/runs/runs-table.ts'
import type { FuelLog } from './fuel-log.ts'
import { electricityIn, fuelOf, type LogSpan, meanTemperatureK, type Settings } from './log-runs.ts'
import { odometerSdM } from './spans-and-drives.ts'

/**
 * How much everyday driving differs from tankful to tankful: by roads, speeds, loads and weather. Common practice, no source.
 */
export const TANKFUL_PRIOR = { sd: 0.06, degreesOfFreedom: 4 }

/** All that a log without drives can be compared on: whatever was driven. */
export const ANY_ROAD = 'any road'

/**
 * Tankfuls of a fuel log as runs of claims: fuel over the odometer's distance, without any demand. Those of a plug-in hybrid
 * have the electricity between their fills beside the fuel.
 */
export function tankfuls(
  spans: readonly LogSpan[],
  { file, fills, battery }: Pick<FuelLog, 'file' | 'fills' | 'battery'>,
  settings: Settings,
): FuelRun[] {
  const plugIn = isOfPlugIn(fills, settings.powertrain)
  return spans.flatMap((span): FuelRun[] => {
    const { opening, closing, fault, distanceM, amount, unit } = span.span
    if (fault !== null || !(distanceM > 0) || (plugIn && unit === 'kWh')) return []
    const electric = plugIn ? electricityIn(span.span, fills, battery) : null
    const id = spanId(span.span)
    const step = drawsOf(`claim/odometer/${id}`, settings.draws, settings.seed)
    const row = {
      ...emptyRow(closing.line),
      file: closing.file ?? file,
      track: id,
      setup: span.setup,
      fuelLitres: unit === 'l' ? amount : Number.NaN,
      fuelKg: unit === 'kg' ? amount : Number.NaN,
      energyKwh: unit === 'kWh' ? amount : electric?.energyKwh || Number.NaN,
      odometerM: distanceM,
      fuelTemperatureK: meanTemperatureK(span.span.fills, unit),
    }
    const shareErrors = step.map((z) => (odometerSdM(span.span) / distanceM) * z)
    return [
      {
        id,
        route: 0,
        setup: span.setup,
        startTime: opening.fromTime,
        endTime: closing.fromTime,
        distanceM: Number.NaN,
        row,
        demandDraws: null,
        nominalDemandJPerM: Number.NaN,
        nominalDragJPerM: Number.NaN,
        leftOut: null,
        log: { ...fuelOf(span.span), shareErrors },
        ...(electric && electric.errors.length > 0 && { batteryErrors: electric.errors }),
      },
    ]
  })
}
