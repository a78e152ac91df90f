import type { Problem } from '../../base/problem.ts'
import type { BatterySettings } from '../../read/campaign/settings.ts'
import type { FillRow, RunRow } from '../../read/runs/rows.ts'

/** Energy at the meter over that of the battery's charge: charging losses, and what a battery heats and cools. Common practice, no source. */
const METER_OVER_BATTERY = { low: 0.8, high: 1.6 }

/** What cannot be of states of charge: shares in a column of percent, a battery that a drive fills, energy that fits no capacity. */
export function chargeProblems(
  rows: readonly RunRow[],
  runsFile: string | null,
  fills: readonly FillRow[],
  fillsFile: string | null,
  battery: BatterySettings,
): Problem[] {
  return [
    ...sharesAsPercent(rows, runsFile),
    ...sharesAsPercent(fills, fillsFile),
    ...rows.flatMap((row) => chargeOf(row, row.file ?? runsFile, battery)),
  ]
}

const inFile = (file: string | null): { file?: string } => (file === null ? {} : { file })

function sharesAsPercent(rows: readonly (RunRow | FillRow)[], file: string | null): Problem[] {
  const read = rows.filter(({ socBefore, socAfter }) => Number.isFinite(socBefore) || Number.isFinite(socAfter))
  const known = read.flatMap(({ socBefore, socAfter }) => [socBefore, socAfter].filter(Number.isFinite))
  const most = known.reduce((highest, value) => Math.max(highest, value), 0)
  if (read.length === 0 || !(most > 0 && most <= 0.01)) return []
  const message = `no state of charge is above ${(100 * most).toFixed(2)} %: these are probably shares, 1 for full`
  const hint = 'Write percent: 80 for a battery that is full to 80 %. Nothing was changed.'
  return [
    {
      code: 'charge-doubtful',
      severity: 'warning',
      ...inFile(read[0].file ?? file),
      line: read[0].line,
      message,
      hint,
    },
  ]
}

function chargeOf(row: RunRow, file: string | null, { capacityKwh }: BatterySettings): Problem[] {
  const { socBefore, socAfter, energyKwh, track, line } = row
  const used = socBefore - socAfter
  if (Number.isNaN(used)) return []
  const told = (message: string, hint: string): Problem[] => [
    { code: 'charge-doubtful', severity: 'warning', ...inFile(file), line, message: `${track}: ${message}`, hint },
  ]
  const pct = (share: number): string => `${(100 * share).toFixed(0)} %`
  const isElectric = !(row.fuelLitres > 0 || row.fuelKg > 0)
  if (used < 0 && isElectric && !(energyKwh > 0)) {
    const hint = 'Are soc_before_pct and soc_after_pct exchanged, or was it charged on the way? It has no energy so.'
    return told(`the battery went from ${pct(socBefore)} to ${pct(socAfter)} over the drive`, hint)
  }
  if (capacityKwh === null || !(energyKwh > 0) || !(used > 0) || !isElectric) return []
  const ratio = energyKwh / (capacityKwh * used)
  if (ratio >= METER_OVER_BATTERY.low && ratio <= METER_OVER_BATTERY.high) return []
  return told(
    `${energyKwh.toFixed(1)} kWh are ${ratio.toFixed(2)} times what ${pct(used)} of ${capacityKwh} kWh are, expected ${METER_OVER_BATTERY.low} to ${METER_OVER_BATTERY.high}; energy_kwh counts`,
    `By this the capacity would be about ${(energyKwh / used / 1.12).toFixed(0)} kWh: is battery_capacity_kwh right, and is the energy of this drive alone? Nothing was changed.`,
  )
}
