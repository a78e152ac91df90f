import type { Report } from './contract.ts'

/**
 * Problems of values that were read and used, and are probably wrong: fuel, odometer, temperature or charge in another unit
 * or of another drive, weather of another clock, tracks and stations elsewhere.
 */
export const DATA_DOUBTS = [
  'fuel-level',
  'temperature-unit-doubtful',
  'weather-zone-doubtful',
  'track-place-doubtful',
  'station-place-doubtful',
  'charge-doubtful',
  'odometer-off',
  'odometer-disagrees',
  'fuel-level-of-drive',
  'trip-computer-level',
] as const

/** A value that is probably wrong, and where it stands. */
export interface DataDoubt {
  code: (typeof DATA_DOUBTS)[number]
  path: string
  line: number | null
}

/** The gravest of the values that are used and probably wrong. */
export function dataDoubt({ problems }: Pick<Report, 'problems'>): DataDoubt | null {
  const found = problems.flatMap(({ code, severity, path, line }): DataDoubt[] => {
    const known = DATA_DOUBTS.find((one) => one === code)
    return known === undefined || severity === 'note' || path === null ? [] : [{ code: known, path, line }]
  })
  return found.sort((a, b) => DATA_DOUBTS.indexOf(a.code) - DATA_DOUBTS.indexOf(b.code))[0] ?? null
}
