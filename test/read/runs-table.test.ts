import { describe, expect, it } from 'vitest'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'

const firstRow = (text: string) => {
  const row = readRunsTable(text).value?.rows[0]
  if (!row) throw new Error('no row was read')
  return row
}
const codes = (text: string) =>
  readRunsTable(text).problems.map(({ code, severity, line }) => `${line} ${severity} ${code}`)

describe('units by suffix', () => {
  // Factors: NIST SP 811 appendix B (exact), as in published-checks 7.1; 25 mpg(US) = 9.4086 and 25 mpg(imp) = 11.2992 l/100 km.
  const cases: [string, string, keyof ReturnType<typeof firstRow>, number, number][] = [
    ['fuel_l', '12.5', 'fuelLitres', 12.5, 1e-12],
    ['fuel_gal_us', '2', 'fuelLitres', 7.570823568, 1e-9],
    ['fuel_gal_imp', '2', 'fuelLitres', 9.09218, 1e-9],
    ['fuel_kg', '9', 'fuelKg', 9, 1e-12],
    ['energy_kwh', '41', 'energyKwh', 41, 1e-12],
    ['fuel_temperature_c', '15', 'fuelTemperatureK', 288.15, 1e-9],
    ['trip_computer_l_per_100km', '6.1', 'tripComputerLitresPer100Km', 6.1, 1e-12],
    ['trip_computer_mpg_us', '25', 'tripComputerLitresPer100Km', 9.4086, 5e-5],
    ['trip_computer_mpg_imp', '25', 'tripComputerLitresPer100Km', 11.29924, 5e-5],
    ['gauge_mark_mi', '100', 'gaugeMarkM', 160934.4, 1e-6],
    ['obd_fuel_l', '11.9', 'obdFuelLitres', 11.9, 1e-12],
    ['odometer_km', '151.2', 'odometerM', 151200, 1e-6],
    ['payload_kg', '0', 'payloadKg', 0, 0],
    ['tyre_pressure_psi', '36', 'tyrePressurePa', 248211.263, 1e-2],
    ['tyre_pressure_bar', '2.4', 'tyrePressurePa', 240000, 1e-6],
    ['accessories_w', '300', 'accessoriesW', 300, 0],
    ['temperature_f', '68', 'temperatureK', 293.15, 1e-9],
    ['relative_humidity_pct', '70', 'relativeHumidity', 0.7, 1e-12],
    ['wind_speed_kmh', '18', 'windSpeedMps', 5, 1e-12],
    ['wind_from_deg', '360', 'windFromDeg', 360, 0],
  ]
  it.each(cases)('%s %s', (column, cell, field, want, tolerance) => {
    const row = firstRow(`track,${column}\na.gpx,${cell}\n`)
    expect(Math.abs((row[field] as number) - want)).toBeLessThanOrEqual(tolerance)
  })

  it('reads a decimal comma in a table separated by semicolons', () => {
    expect(firstRow('Track;Fuel L\na.gpx;12,5\n').fuelLitres).toBe(12.5)
  })
})

describe('rows', () => {
  it('keep texts, lines and the order of columns; empty cells are null and NaN', () => {
    const text =
      '# mine\ntrack,setup,fuel_l,fill_group,exclude,note,photo,mood\n\na.gpx#2,bare,,pump 1,flat tyre,"wet, cold",p.jpg,good\n'
    const { value, problems } = readRunsTable(text)
    expect(value?.columns).toEqual(['track', 'setup', 'fuel_l', 'fill_group', 'exclude', 'note', 'photo', 'mood'])
    expect(value?.rows[0]).toMatchObject({
      line: 4,
      track: 'a.gpx#2',
      setup: 'bare',
      fillGroup: 'pump 1',
      exclude: 'flat tyre',
      note: 'wet, cold',
      photo: 'p.jpg',
      fuelLitres: Number.NaN,
      odometerM: Number.NaN,
    })
    expect(problems).toEqual([
      {
        code: 'runs-unknown-column',
        severity: 'note',
        line: 2,
        message: 'the column "mood" is not known; it is shown with the drives and not used',
      },
    ])
    expect(firstRow('track,setup\na.gpx,\n').setup).toBeNull()
  })

  it('take the second column of a quantity where the first is empty', () => {
    const rows = readRunsTable('track,fuel_l,fuel_gal_us\na,10,\nb,,2\nc,10,2\n').value?.rows ?? []
    expect(rows.map((row) => row.fuelLitres)).toEqual([10, 2 * 3.785411784, 10])
  })
})

describe('what is wrong is named with its line', () => {
  it.each([
    ['a negative volume', 'track,fuel_l\na,1\nb,-3\n', ['3 error runs-impossible-value']],
    ['no volume', 'track,fuel_l\na,0\n', ['2 error runs-impossible-value']],
    ['a pressure in the wrong unit', 'track,tyre_pressure_kpa\na,2.4\n', ['2 error runs-impossible-value']],
    ['an absurd temperature', 'track,temperature_c\na,295\n', ['2 error runs-impossible-value']],
    ['a direction beyond north', 'track,wind_from_deg\na,361\n', ['2 error runs-impossible-value']],
    ['a humidity beyond wet', 'track,relative_humidity_pct\na,150\n', ['2 error runs-impossible-value']],
    ['no miles per gallon', 'track,trip_computer_mpg_us\na,0\n', ['2 error runs-impossible-value']],
    ['a word for a number', 'track,fuel_l\na,full\n', ['2 error runs-not-a-number']],
    ['a decimal comma among commas', 'track,fuel_l\na,"0,92"\n', ['2 note numbers-grouped']],
    ['a comma and points in one column', 'track,fuel_l\na,"0,92"\nb,0.95\n', ['2 error runs-not-a-number']],
    ['a unit that is not known', 'track,fuel_oz\na,1\n', ['1 warning runs-unknown-unit']],
    ['a misspelt column', 'track,setupp\na,x\n', ['1 warning runs-unknown-column']],
    ['a quantity of another table', 'track,precipitation_mm\na,1\n', ['1 note runs-unknown-column']],
    ['a row without a track', 'track,setup\n,x\n', ['2 error runs-no-track']],
    ['a track twice', 'track,setup\na,x\na,y\n', ['3 warning runs-track-twice']],
    ['one quantity in two columns', 'track,fuel_l,fuel_gal_us\na,1,\n', ['1 note runs-quantity-twice']],
  ])('%s', (_, text, want) => {
    expect(codes(text)).toEqual(want)
    expect(readRunsTable(text).value).not.toBeNull()
  })

  it('takes an impossible value as empty and keeps the rest of the row', () => {
    const row = firstRow('track,fuel_l,setup\na,-3,bare\n')
    expect(row.fuelLitres).toBeNaN()
    expect(row.setup).toBe('bare')
    expect(readRunsTable('track,fuel_l\na,-3\n').problems[0].message).toBe(
      'fuel_l: found -3, expected 0.0001 to 2000 litres; the cell is taken as empty',
    )
  })

  it('suggests the column meant', () => {
    expect(readRunsTable('track,setupp\na,x\n').problems[0].hint).toBe('Did you mean setup?')
  })

  it.each([
    ['nothing', '', 'table-empty'],
    ['no column of tracks', 'number,fuel_l\n1,5\n', 'runs-no-track-column'],
  ])('has no value for %s', (_, text, code) => {
    const { value, problems } = readRunsTable(text)
    expect(value).toBeNull()
    expect(problems.map((problem) => problem.code)).toContain(code)
  })
})

describe('a row that cannot be read', () => {
  // All rows were lost to one comma, and the claims with them, with exit code 0.
  it('takes no other row with it', () => {
    const { value, problems } = readRunsTable('track,note,fuel_l\na,dry,5\nb,wet, cold,6\nc,"open,7\nd,dry,8\n')
    expect(value?.rows.map(({ track, fuelLitres }) => [track, fuelLitres])).toEqual([
      ['a', 5],
      ['d', 8],
    ])
    expect(problems.map(({ code, severity, line }) => `${line} ${severity} ${code}`)).toEqual([
      '3 error table-row-too-long',
      '4 error table-quote-open',
    ])
  })

  it('commas in a note in the last column are put together again, with a warning', () => {
    const { value, problems } = readRunsTable('track,fuel_l,note\na,5,wet, cold,, grey \nb,6,dry\n')
    expect(value?.rows.map(({ note }) => note)).toEqual(['wet, cold,, grey', 'dry'])
    expect(problems).toMatchObject([{ code: 'table-row-joined', severity: 'warning', line: 2 }])
  })

  it('a decimal comma before the note is not taken for a part of it', () => {
    for (const row of ['a,5,4,dry', 'a,5,4,']) {
      const { value, problems } = readRunsTable(`track,fuel_l,note\n${row}\nb,6,dry\n`)
      expect(value?.rows.map(({ track }) => track)).toEqual(['b'])
      expect(problems).toMatchObject([{ code: 'table-row-too-long', severity: 'error', line: 2 }])
    }
  })
})

it('says how to write a number with a decimal comma where commas separate the cells', () => {
  const hintOf = (cell: string): string | undefined =>
    readRunsTable(`track,fuel_l\na,"${cell}"\nb,0.95\n`).problems.find(({ code }) => code === 'runs-not-a-number')?.hint
  expect(hintOf('0,92')).toBe('Write 0.92: a decimal comma is read only where another sign separates the cells.')
  expect(hintOf('full')).toBeUndefined()
})

it('rows that are told by their dates are no second rows of one track, and their trip is the distance', () => {
  const { value, problems } = readRunsTable(
    'date,time,setup,trip_km,fuel_l\n2026-05-04,07:40,a,20,1.2\n2026-05-04,09:40,b,20,1.1\n',
  )
  expect(problems.map(({ code }) => code)).not.toContain('runs-track-twice')
  expect(value?.rows.map(({ odometerM }) => odometerM)).toEqual([20_000, 20_000])
})
