import type { BatterySettings, Powertrain } from '../../read/campaign/settings.ts'
import type { FillRow } from '../../read/runs/rows.ts'
import { BATTERY } from './battery.ts'
import type { FuelUnit } from './measure.ts'

/** What was used between two fills to the same level, from a fuel log. */
export interface FillSpan {
  unit: FuelUnit
  /** The fills at its ends; the closing one's amount is in the span. */
  opening: FillRow
  closing: FillRow
  /** Behind the opening one, the closing one with them: partial ones carry to the next full one. */
  fills: FillRow[]
  /** Litres, kg, or kWh at the charger's meter. */
  amount: number
  /** Of fuel: what was charged meanwhile, kWh at the charger's meter; 0 where nothing was. */
  chargedKwh: number
  /** By odometer, or by the trips; NaN where neither says. */
  distanceM: number
  /** What was fitted, as the log says; null: it does not. */
  setup: string | null
  /** How full the battery was after the opening and the closing charge, 0 to 1; null of fuel, or where the capacity is not known. */
  charge: { opening: number; closing: number } | null
  /** Why nothing can be said of it; null where nothing is wrong. */
  fault: SpanFault | null
}

export type SpanFault =
  /** A fill in it is not in the log. */
  | { code: 'fill-missed' }
  /** Fills in it were made with different setups. */
  | { code: 'setups-mixed'; setups: string[] }
  /** The odometer reads less at its end than at its begin. */
  | { code: 'odometer-backwards' }

/** What of a row is in a unit, energy at the charger's meter; NaN where nothing is. */
export function filledIn(fill: FillRow, unit: FuelUnit, battery: BatterySettings | null = null): number {
  if (unit === 'l') return fill.fuelLitres
  if (unit === 'kg') return fill.fuelKg
  const efficiency = (battery?.chargingEfficiency ?? BATTERY.chargingEfficiency).value
  return fill.energyKwh > 0 ? fill.energyKwh : fill.batteryEnergyKwh / efficiency
}

/** How full the battery was after a charge, 0 to 1: full where the log says no more. */
const chargeAfter = (fill: FillRow): number =>
  Number.isFinite(fill.socAfter) ? fill.socAfter : fill.full === false ? Number.NaN : 1

/** Names a fill by what it is, not by its line: rows may be added before it. */
export const fillName = (fill: FillRow): string =>
  [fill.fromTime, fill.odometerM, fill.fuelLitres, fill.fuelKg, fill.energyKwh].join('/')

/** Names a span for people: by the lines of its fills. */
export const spanId = ({ opening, closing }: FillSpan): string =>
  `fills ${shortPlace(opening)} to ${shortPlace(closing)}`

const shortPlace = ({ line, file }: FillRow): string => (file === null ? String(line) : `${line} of ${file}`)

/** In the order of time, and of the odometer where two were made on one day. */
export const inOrder = (fills: readonly FillRow[]): FillRow[] =>
  fills.toSorted((a, b) => a.fromTime - b.fromTime || a.odometerM - b.odometerM || a.line - b.line)

/** Filled to the usual level; a fill of which nobody says anything is taken for one, but for a charge that ended before. */
export const isFull = ({ full, socAfter }: FillRow): boolean => (full === null ? !(socAfter < FULL_FROM) : full)

/** From this charge on a battery is full. Common practice, no source. */
const FULL_FROM = 0.995

/** Whether the level after it is known: it was full, or its state of charge was read and the capacity is known. */
function endsSpan(fill: FillRow, unit: FuelUnit, battery: BatterySettings | null): boolean {
  if (isFull(fill)) return true
  return unit === 'kWh' && (battery?.capacityKwh ?? null) !== null && Number.isFinite(fill.socAfter)
}

/**
 * The spans between full fills, each kind of fuel for itself. What was filled in at a full fill was used since the full
 * fill before it, with all partial fills between (full to full: common practice, no source).
 */
export function spansOf(rows: readonly FillRow[], battery: BatterySettings | null = null): FillSpan[] {
  const units: FuelUnit[] = ['l', 'kg', 'kWh']
  return units.flatMap((unit) => {
    const fills = inOrder(rows.filter((row) => filledIn(row, unit, battery) > 0))
    const spans: FillSpan[] = []
    let opening: FillRow | null = null
    let since: FillRow[] = []
    for (const fill of fills) {
      since.push(fill)
      if (!endsSpan(fill, unit, battery)) continue
      if (opening !== null)
        spans.push({
          ...spanOf(unit, opening, since, battery),
          chargedKwh: chargedIn(rows, unit, opening, fill, battery),
        })
      opening = fill
      since = []
    }
    return spans
  })
}

/** What a plug-in hybrid charged between two fills of fuel. */
function chargedIn(
  rows: readonly FillRow[],
  unit: FuelUnit,
  opening: FillRow,
  closing: FillRow,
  battery: BatterySettings | null,
): number {
  if (unit === 'kWh') return 0
  return rows
    .filter(({ fromTime }) => fromTime > opening.fromTime && fromTime <= closing.fromTime)
    .map((row) => filledIn(row, 'kWh', battery))
    .filter((kwh) => kwh > 0)
    .reduce((sum, kwh) => sum + kwh, 0)
}

/** One slip of a reading is no other vehicle; of two in turn every second change goes back. Common practice, no source. */
const LEAST_GOING_ON = 0.75

/**
 * Whether a log is a plug-in hybrid's: fuel was filled in and electricity charged, and the odometer, where it was read, goes
 * on from the one to the other. Of two vehicles in one log it does not.
 */
export function isOfPlugIn(fills: readonly FillRow[], powertrain: Powertrain | null = null): boolean {
  if (powertrain === 'electric' || powertrain === 'human') return false
  const isFuel = ({ fuelLitres }: FillRow): boolean => fuelLitres > 0
  if (!fills.some(isFuel) || !fills.some((fill) => filledIn(fill, 'kWh') > 0)) return false
  const read = inOrder(fills.filter(({ odometerM }) => Number.isFinite(odometerM)))
  const changes = read.slice(1).flatMap((fill, i) => (isFuel(fill) === isFuel(read[i]) ? [] : [[read[i], fill]]))
  const goesOn = changes.filter(([before, after]) => before.odometerM <= after.odometerM)
  return goesOn.length >= LEAST_GOING_ON * changes.length
}

function spanOf(
  unit: FuelUnit,
  opening: FillRow,
  fills: FillRow[],
  battery: BatterySettings | null,
): Omit<FillSpan, 'chargedKwh'> {
  const closing = fills[fills.length - 1]
  const setups = [...new Set(fills.flatMap(({ setup }) => setup ?? []))]
  const distanceM = distanceOver(opening, fills)
  return {
    unit,
    opening,
    closing,
    fills,
    amount:
      fills.reduce((sum, fill) => sum + filledIn(fill, unit, battery), 0) + ofBattery(unit, opening, closing, battery),
    charge: chargeEnds(unit, opening, closing, battery),
    distanceM: distanceM > 0 ? distanceM : Number.NaN,
    setup: setups.length === 1 ? setups[0] : null,
    fault: fills.some(({ missed }) => missed === true)
      ? { code: 'fill-missed' }
      : setups.length > 1
        ? { code: 'setups-mixed', setups }
        : distanceM <= 0
          ? { code: 'odometer-backwards' }
          : null,
  }
}

/** What came out of the battery itself: it was fuller after the opening charge than after the closing one. */
function ofBattery(unit: FuelUnit, opening: FillRow, closing: FillRow, battery: BatterySettings | null): number {
  const charge = chargeEnds(unit, opening, closing, battery)
  const capacityKwh = battery?.capacityKwh ?? 0
  if (charge === null) return 0
  const gaveKwh = capacityKwh * (charge.opening - charge.closing)
  return gaveKwh / (battery?.chargingEfficiency ?? BATTERY.chargingEfficiency).value
}

function chargeEnds(
  unit: FuelUnit,
  opening: FillRow,
  closing: FillRow,
  battery: BatterySettings | null,
): FillSpan['charge'] {
  const ends = { opening: chargeAfter(opening), closing: chargeAfter(closing) }
  const isKnown = unit === 'kWh' && (battery?.capacityKwh ?? null) !== null
  return isKnown && Number.isFinite(ends.opening - ends.closing) ? ends : null
}

function distanceOver(opening: FillRow, fills: FillRow[]): number {
  const byOdometer = fills[fills.length - 1].odometerM - opening.odometerM
  return Number.isNaN(byOdometer) ? fills.reduce((sum, { tripM }) => sum + tripM, 0) : byOdometer
}
