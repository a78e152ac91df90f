import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { kindOf } from '../../src/read/kind.ts'
import { readRunsTable } from '../../src/read/runs/runs-table.ts'
import { columnName } from '../../src/read/table/column-name.ts'
import { ourColumns } from '../../src/read/table/our-columns.ts'
import { ourHeaderNames, readNamedTable } from '../../src/read/table/table.ts'
import { readObservationTable } from '../../src/read/weather/csv.ts'

// Names as practitioners' tables have them; common practice, no source. Factors: NIST SP 811, appendix B.8.
const docs = readFileSync('docs/files.md', 'utf8')
const tables = docs.slice(docs.indexOf('## Tables'), docs.indexOf('## Tracks'))
const names = /<!-- names of columns[^>]*-->\n([\s\S]*?)<!-- end of names -->/.exec(tables)?.[1] ?? ''
const cases = names
  .split('\n')
  .slice(2)
  .flatMap((line) => {
    const [, ours, others] = line.split('|')
    const quoted = (text: string): string[] => [...text.matchAll(/`([^`]+)`/g)].map(([, name]) => name)
    return ours === undefined ? [] : quoted(others).map((written) => [written, quoted(ours)[0]] as const)
  })

const nameOf = (written: string, beside: string[]): string => ourColumns([columnName(written), ...beside]).names[0]

describe('each name that docs/files.md lists is ours', () => {
  test('and they are many', () => {
    expect(cases.length).toBeGreaterThan(60)
  })
  test.each(cases)('%s is %s', (written, ours) => {
    const beside = ours === 'track' ? ['setup', 'fuel_l'] : ours.startsWith('odometer') ? ['track'] : []
    expect(nameOf(written, beside)).toBe(ours)
  })
})

describe('what is left as it is', () => {
  test.each([
    ['a file in a table that is not of drives', 'file', ['price', 'size']],
    ['our own names', 'wind_speed_mps', []],
    ['what is not known', 'mood', ['track']],
    ['a second column of one meaning', 'comments', ['note']],
    ['a date among weather', 'from', ['temperature_c']],
  ])('%s', (_, written, beside) => {
    expect(nameOf(written, beside)).toBe(written)
  })
})

describe('gallons', () => {
  const guessed = (header: string[]) => ourColumns(header.map(columnName))
  test('are told by another column, or by the money', () => {
    expect(guessed(['track', 'gallons', 'trip computer (mpg US)']).names[1]).toBe('fuel_gal_us')
    expect(guessed(['track', 'gal', 'price ($)']).names[1]).toBe('fuel_gal_us')
    expect(guessed(['track', 'gallons', 'cost £']).names[1]).toBe('fuel_gal_imp')
  })
  test('are asked for where nothing tells it', () => {
    const { names: kept, problems } = guessed(['track', 'gallons'])
    expect(kept[1]).toBe('gallons')
    expect(problems).toMatchObject([{ code: 'column-unit-unclear', severity: 'error' }])
  })
})

test('what was guessed is one note, in the words of the header', () => {
  const { problems } = readNamedTable('File,Config,Liters\na.gpx,bare,5\n')
  expect(problems).toMatchObject([{ code: 'column-guessed', severity: 'note', line: 1 }])
  expect(problems[0].message).toContain('"File" as track, "Config" as setup, "Liters" as fuel_l')
})

test('numbers: marks between thousands are told from decimals by the column', () => {
  const cells = (column: string[], separator: string): string[] =>
    readNamedTable(
      ['track', 'x'].join(separator).concat('\n', column.map((cell) => `a${separator}"${cell}"`).join('\n')),
    ).value?.rows.map(({ cells: [, x] }) => x) ?? []
  expect(cells(['1.234,5', '12,25'], ';')).toEqual(['1234.5', '12,25'])
  expect(cells(['1,234.5', '12.25'], ',')).toEqual(['1234.5', '12.25'])
  expect(cells(['1.234', '12,25'], ';')).toEqual(['1234', '12,25'])
  expect(cells(['1.234', '12.25'], ';')).toEqual(['1.234', '12.25'])
  expect(cells(['1 234', "1'234", '1,234,567'], ';')).toEqual(['1234', '1234', '1234567'])
  expect(cells(['7,34', '6,80'], ',')).toEqual(['7.34', '6.80'])
  // Nothing tells: left for the reader to refuse.
  expect(cells(['1,234'], ',')).toEqual(['1,234'])
})

describe('the examples of docs/files.md', () => {
  const [drives, weather] = [...tables.matchAll(/```csv\n([\s\S]*?)```/g)].map(([, text]) => text)
  test('of drives', () => {
    expect(kindOf(drives)).toBe('runs-table')
    const { value, problems } = readRunsTable(drives)
    expect(problems.map(({ severity }) => severity)).not.toContain('error')
    expect(value?.rows.map(({ track, setup }) => [track, setup])).toEqual([
      ['morning', 'ladders'],
      ['noon', 'bare'],
    ])
    expect(value?.rows[0].fuelLitres).toBeCloseTo(1.94 * 3.785411784, 12)
    expect(value?.rows.map(({ odometerM }) => odometerM)).toEqual([1_105_200, 105_200])
    expect(value?.rows[0]).toMatchObject({
      tyrePressurePa: 380_000,
      note: 'dry, calm',
      extra: [{ name: 'Driver', text: 'Ana' }],
    })
  })
  test('of weather', () => {
    expect(kindOf(weather)).toBe('observation-table')
    const { value, problems } = readObservationTable(weather, { timeZone: 'America/Chicago', fileName: 'w.csv' })
    expect(problems.map(({ severity }) => severity)).not.toContain('error')
    // 9:10 of a summer day in Chicago is 14:10 UTC (IANA time zone database); 59 °F are 15 °C exactly.
    expect(new Date(1000 * (value?.time[0] ?? 0)).toISOString()).toBe('2026-05-24T14:10:00.000Z')
    expect(value?.temperatureK[0]).toBeCloseTo(288.15, 9)
    expect(value?.relativeHumidity[0]).toBeCloseTo(0.65, 12)
    expect(value?.windVariable[0]).toBe(1)
  })
})

test('words of a driver’s table and fuel log, as spreadsheets hold them', () => {
  const named = (header: string) => ourHeaderNames(`${header}\n${header.replace(/[^;]+/g, '1')}\n`)
  expect(named('Datei;Aufbau;Verbrauch (l/100 km);Abfahrt;Ankunft')).toEqual([
    'track',
    'setup',
    'consumption_l_per_100km',
    'from',
    'to',
  ])
  // A column that is called after kilometres needs no unit.
  expect(named('Datum;Kilometerstand;Liter;Preis;Tankstelle')).toEqual([
    'date',
    'odometer_km',
    'fuel_l',
    'price',
    'pump',
  ])
  expect(named('Datei;Aufbau;geladen (kWh);SoC vorher (%);SoC nachher (%)').slice(2)).toEqual([
    'energy_kwh',
    'soc_before_pct',
    'soc_after_pct',
  ])
})
