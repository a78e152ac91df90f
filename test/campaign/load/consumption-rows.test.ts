import { describe, expect, it } from 'vitest'
import { withAmounts } from '../../../src/campaign/load/rows/consumption-rows.ts'
import type { RunRow } from '../../../src/read/runs/rows.ts'

/** What the function reads of a row; nothing else was given. */
const row = (line: number, changes: Partial<RunRow> = {}): RunRow =>
  ({
    line,
    consumptionLitresPer100Km: 7,
    odometerM: Number.NaN,
    fuelLitres: Number.NaN,
    fuelKg: Number.NaN,
    energyKwh: Number.NaN,
    ...changes,
  }) as RunRow

describe('rows that give a consumption', () => {
  it('get its amount over the odometer’s distance, or the track’s', () => {
    const rows = [row(2), row(3, { odometerM: 200_000 })]
    const { rows: taken } = withAmounts(rows.map((one) => ({ row: one, trackM: 100_000 })))
    // 7 l/100 km over 100 km and over 200 km.
    expect(rows.map((one) => taken.get(one)?.fuelLitres)).toEqual([7, 14])
  })

  it('are told in one note, the first in figures', () => {
    const driven = [2, 3, 4, 5, 6].map((line) => ({ row: row(line), trackM: 100_000 }))
    const { problems } = withAmounts(driven)
    expect(problems.map(({ code, line }) => [code, line])).toEqual([['consumption-as-fuel', 2]])
    expect(problems[0].message).toContain('in 5 rows')
    expect(problems[0].message).toContain('line 2: 7.00 l/100 km over 100.0 km by the track is taken for 7.00 l;')
    expect(problems[0].message).toMatch(/; and 2 more$/)
  })
})
