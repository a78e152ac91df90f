import type { Problem } from '../../../base/problem.ts'
import { lineWords, type RunRow } from '../../../read/runs/rows.ts'
import type { FoundDrive, Stint } from './drives-and-rows.ts'

/** How much of a recording lies outside its drives. */
export interface DrivenElsewhere {
  track: string
  otherM: number
  driveM: number
}

/** Other driving that is less than this share of the whole is within what fuel is known to. */
const MOST_OTHER_SHARE = 0.01

/** What was measured over a drive, or over a stint. */
const MEASURED = [
  'fuelLitres',
  'fuelKg',
  'energyKwh',
  'tripComputerLitresPer100Km',
  'gaugeMarkM',
  'obdFuelLitres',
  'consumptionLitresPer100Km',
] as const

/** A row's words for one of its several drives: what was measured over all of them belongs to none alone. */
export const withoutFuel = (row: RunRow): RunRow => ({
  ...row,
  fuelLitres: Number.NaN,
  fuelKg: Number.NaN,
  energyKwh: Number.NaN,
  tripComputerLitresPer100Km: Number.NaN,
  gaugeMarkM: Number.NaN,
  obdFuelLitres: Number.NaN,
  consumptionLitresPer100Km: Number.NaN,
  socBefore: Number.NaN,
  socAfter: Number.NaN,
  odometerM: Number.NaN,
  fillGroup: null,
})

const measuredIn = (row: RunRow | null): (typeof MEASURED)[number][] =>
  row === null ? [] : MEASURED.filter((key) => Number.isFinite(row[key]))

/** Fuel in the tank, however its amount was found: one drive has it once. */
const isFuel = (key: (typeof MEASURED)[number]): boolean =>
  key === 'fuelLitres' || key === 'fuelKg' || key === 'energyKwh' || key === 'consumptionLitresPer100Km'

const km = (m: number): string => `${(m / 1000).toFixed(1)} km`
const hasOther = ({ otherM, driveM }: DrivenElsewhere): boolean => otherM > MOST_OTHER_SHARE * (otherM + driveM)

/** Of a row with fuel that names a recording with one drive: whether the fuel may have gone into other driving as well. */
export function doubtfulFuel(row: RunRow, elsewhere: DrivenElsewhere): Omit<Problem, 'line'> | null {
  if (measuredIn(row).length === 0 || !hasOther(elsewhere)) return null
  const { track, driveM, otherM } = elsewhere
  const message = `the fuel of ${track} is held against its one drive, ${km(driveM)}; the recording holds ${km(otherM)} of other driving as well`
  const hint = 'give what the drive alone used, or write split: no to compare the whole recording'
  return { code: 'fuel-of-other-driving', severity: 'warning', message, hint }
}

/**
 * Why the fuel of a row of several drives cannot be held against these: it went into other driving as well, or some of them
 * have it in a row of their own. null where nothing is wrong.
 * @param elsewhere of a row that names the whole recording
 */
export function fuelProblem(
  row: RunRow,
  own: number[],
  drives: FoundDrive[],
  stints: Stint[],
  elsewhere: DrivenElsewhere | null,
): Omit<Problem, 'severity' | 'line'> | null {
  const measured = measuredIn(row)
  if (measured.length === 0) return null
  if (elsewhere && hasOther(elsewhere)) {
    const message = `fuel is given for the whole of ${elsewhere.track}, of which ${own.length} drives are ${km(elsewhere.driveM)} and other driving ${km(elsewhere.otherM)}; it cannot be held against the drives and is not used`
    const hint = `give fuel in a row for each drive or stint (${drives[own[0]].track} …), or write split: no to compare the whole recording`
    return { code: 'fuel-of-other-driving', message, hint }
  }
  const others = [
    ...own.flatMap((i) => (drives[i].row ? [{ name: drives[i].track, row: drives[i].row }] : [])),
    ...stints
      .filter((stint) => stint.drives.some((i) => own.includes(i)))
      .map((stint) => ({ name: stint.row.track, row: stint.row })),
  ]
  const twice = others.find(({ row: other }) =>
    measuredIn(other).some((key) => measured.includes(key) || (isFuel(key) && measured.some(isFuel))),
  )
  if (!twice) return null
  const message = `gives fuel for drives of which "${twice.name}" has fuel at ${lineWords(twice.row, row)} already; only that one is used`
  return { code: 'fuel-given-twice', message, hint: 'give fuel for single drives or laps, or for all of them together' }
}
