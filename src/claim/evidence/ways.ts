import type { FuelRun } from '../types.ts'

/** A way of measuring consumption other than the fills. */
export type ReadingKind = 'trip computer' | 'logged fuel' | 'logged energy' | 'gauge mark'
export type EvidenceKind = 'pump' | ReadingKind

/**
 * Relative standard deviation of one reading; common practice, no source. A trip computer's or a logger's own scale is
 * off by more, but the same way in every run, and cancels in the ratio; what is left is its scatter from run to run.
 * A mark of a gauge stands for a level that floats, tilts and damps: 15 % of the distance driven to it.
 */
export const READING_SD: Record<ReadingKind, number> = {
  'trip computer': 0.02,
  'logged fuel': 0.02,
  'logged energy': 0.02,
  'gauge mark': 0.15,
}

export interface Reading {
  run: string
  value: number
  unit: 'l/100 km' | 'l' | 'kWh' | 'km'
}

/** How each kind is read from a row: the reading as written, and ln of the consumption it stands for up to a constant. */
export const WAYS: Record<
  ReadingKind,
  { read: (run: FuelRun) => number; unit: Reading['unit']; log: (value: number, run: FuelRun) => number }
> = {
  'trip computer': {
    read: ({ row }) => row.tripComputerLitresPer100Km,
    unit: 'l/100 km',
    log: (value) => Math.log(value),
  },
  'logged fuel': {
    // What the driver read off counts before what the log adds up to.
    read: ({ row, logged }) => (row.obdFuelLitres > 0 ? row.obdFuelLitres : (logged?.fuelLitres ?? Number.NaN)),
    unit: 'l',
    log: (value, run) => Math.log(value / run.distanceM),
  },
  'logged energy': {
    read: ({ logged }) => logged?.energyKwh ?? Number.NaN,
    unit: 'kWh',
    log: (value, run) => Math.log(value / run.distanceM),
  },
  // Consumption down to a mark goes as one over the distance.
  'gauge mark': { read: ({ row }) => row.gaugeMarkM / 1000, unit: 'km', log: (value) => -Math.log(value) },
}
export const READING_KINDS = Object.keys(WAYS) as ReadingKind[]
