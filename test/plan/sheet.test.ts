import { describe, expect, it } from 'vitest'
import { SYSTEMS } from '../../src/base/quantities.ts'
import { MEASURING_WAYS } from '../../src/plan/choices.ts'
import { sheetOrder } from '../../src/plan/sheet.ts'
import { kindOf } from '../../src/read/kind.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { sheetWords } from '../../src/report/words/plans/sheet.ts'
import { sheetBoxes, sheetColumns } from '../../src/report/words/plans/sheet-boxes.ts'

const sum = (values: number[]): number => values.reduce((a, b) => a + b, 0)
const placesOf = (drives: string[], setup: string): number[] => drives.flatMap((d, i) => (d === setup ? [i] : []))

describe('the order of drives', () => {
  // The mirrored order is the textbook answer to a linear trend in time (Box, Hunter & Hunter, Statistics for Experimenters;
  // from memory): each treatment then has the same mean place in time.
  it.each([2, 3, 4, 6])('%i setups in an even number of rounds: all have one mean place in time', (count) => {
    const setups = ['bare', 'rack', 'covers', 'skirt', 'sheet', 'all'].slice(0, count)
    for (const runs of [2, 4, 6, 12]) {
      const { drives, driftShift } = sheetOrder(setups, runs)
      expect(drives.length).toBe(count * runs)
      for (const setup of setups) {
        const places = placesOf(drives, setup)
        expect(places.length).toBe(runs)
        // The mean of 0 … n − 1.
        expect(sum(places) / runs).toBeCloseTo((drives.length - 1) / 2, 12)
      }
      expect(driftShift).toBeCloseTo(0, 12)
    }
  })

  it('an odd number is as balanced as it can be, and says by how much it is not', () => {
    const { drives, driftShift } = sheetOrder(['A', 'B'], 3)
    expect(drives.join('')).toBe('ABBAAB')
    // Places 0 to 5 sum to 15, which two setups of three drives cannot share: 7 and 8 are the nearest.
    expect([sum(placesOf(drives, 'A')), sum(placesOf(drives, 'B'))]).toEqual([7, 8])
    expect(driftShift).toBeCloseTo(1 / 3, 12)
  })

  it('of one drive each, the baseline is driven again at the end', () => {
    expect(sheetOrder(['A', 'B'], 1)).toEqual({ drives: ['A', 'B', 'A'], driftShift: 0 })
  })
})

describe('the columns', () => {
  const all = SYSTEMS.flatMap((system) => MEASURING_WAYS.map((way) => ({ system, way })))
  /** What somebody writes into the boxes; all within what a car does. */
  const WRITTEN: Record<string, string> = { track: '', date: '2026-05-12', time: '09:14', setup: 'rack', note: 'wind' }
  const cell = (column: string): string => WRITTEN[column] ?? '40'

  const typeInOf = ({ system, way }: (typeof all)[number]) =>
    sheetWords({
      ...{ title: null, vehicle: null, fuel: null, road: null, timeZone: null, setups: ['A', 'B'], drives: ['A', 'B'] },
      ...{ driftShift: 0, forEffect: null, system, way },
    }).typeIn

  it.each(all)('$system, $way: the reader of runs.csv reads each of them', ({ system, way }) => {
    const boxes = sheetBoxes(system, way)
    const columns = sheetColumns(boxes)
    const text = `${typeInOf({ system, way }).headerLine}\n${columns.map(cell).join(',')}\n`
    expect(kindOf(text)).toBe('runs-table')
    const { value, problems } = readRunsTable(text, { days: [], timeZone: 'Europe/Vienna' })
    expect(problems.filter(({ code }) => code !== 'runs-impossible-value')).toEqual([])
    const [row] = value!.rows
    // A column that is not known would be kept here.
    expect(row.extra).toEqual([])
    expect({ setup: row.setup, note: row.note, found: row.when !== null }).toEqual({
      setup: 'rack',
      note: 'wind',
      found: true,
    })
  })

  it.each(all)('$system, $way: each box and each column is told of', ({ system, way }) => {
    const boxes = sheetBoxes(system, way)
    const told = typeInOf({ system, way }).rows
    const toldColumns = new Set(told.map(({ column }) => column))
    expect(sheetColumns(boxes).filter((column) => column !== 'track' && !toldColumns.has(column))).toEqual([])
    const from = told.flatMap((row) => row.from.split(', '))
    expect(boxes.filter(({ label }) => !from.includes(label) && label !== 'Tyres, cold')).toEqual([])
  })

  it('in the unit that the box shows', () => {
    const read = (system: 'si' | 'us', cells: Record<string, string>) => {
      const columns = sheetColumns(sheetBoxes(system, 'pump'))
      const row = columns.map((column) => ({ ...WRITTEN, ...cells })[column] ?? '').join(',')
      const { value, problems } = readRunsTable(`${columns.join(',')}\n${row}\n`)
      expect(problems.filter(({ severity }) => severity !== 'note')).toEqual([])
      return value!.rows[0]
    }
    const si = read('si', { fuel_l: '5.21', tyre_pressure_bar: '2.4', wind_speed_mps: '3', fuel_temperature_c: '12' })
    expect([si.fuelLitres, si.tyrePressurePa, si.windSpeedMps]).toEqual([5.21, 240_000, 3])
    expect(si.fuelTemperatureK).toBeCloseTo(285.15, 9)
    const us = read('us', { fuel_gal_us: '2', tyre_pressure_psi: '35', wind_speed_mph: '10', odometer_mi: '60' })
    // NIST SP 811, appendix B: gallon (US) 3.785 412 l, psi 6894.757 Pa, mile per hour 0.447 04 m/s, mile 1609.344 m.
    expect(us.fuelLitres).toBeCloseTo(2 * 3.785412, 5)
    expect(us.tyrePressurePa).toBeCloseTo(35 * 6894.757, 0)
    expect(us.windSpeedMps).toBeCloseTo(4.4704, 9)
    expect(us.odometerM).toBeCloseTo(60 * 1609.344, 6)
  })
})
