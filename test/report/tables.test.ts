import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { csvText } from '../../src/report/csv.ts'
import { pairsCsv, runsCsv } from '../../src/report/tables.ts'
import { FORMULA_NAME, fixture, HOSTILE_NAME } from './fixture.ts'

const rowsOf = (text: string): Record<string, string>[] => parse(text, { columns: true })

describe('cells that a spreadsheet would take for a formula', () => {
  // The signs: OWASP, "CSV injection".
  it.each([
    ['=1+1', "'=1+1"],
    ['+1-555', "'+1-555"],
    ['-cmd', "'-cmd"],
    ['@SUM(A1)', "'@SUM(A1)"],
    ['\tx', "'\tx"],
    [' =1', "' =1"],
    ['\u0000=1', "'\u0000=1"],
    ['＝1', "'＝1"],
    ['-2+3', "'-2+3"],
    ['1-2', '1-2'],
    ['-12.5', '-12.5'],
    ['+3e-4', '+3e-4'],
    ['plain', 'plain'],
    ['', ''],
  ])('%j is written as %j', (cell, want) => {
    expect(csvText(['a'], [[cell]])).toBe(`a\r\n${want}\r\n`)
  })

  it('are quoted where they hold separators or line ends', () => {
    expect(csvText(['a', 'b'], [['=A1,"x"', '\r=1']])).toBe(`a,b\r\n"'=A1,""x""","'\r=1"\r\n`)
  })

  it('are not negative numbers, which stay numbers', () => {
    expect(csvText(['a', 'b', 'c'], [[-1.23456789, null, true]])).toBe('a,b,c\r\n-1.23457,,true\r\n')
  })
})

describe('runs.csv', () => {
  const rows = rowsOf(runsCsv(fixture))
  it('has a row per run with the figures of the report', () => {
    expect(rows.map((row) => row.id)).toEqual(fixture.runs.map((run) => run.id))
    expect(rows[0]).toMatchObject({
      net_elevation_m: '-3',
      density_kgm3: '1.21988',
      road_wet: 'false',
      stations: 'EHKD',
      limits_not_met: '',
    })
    expect(rows[2]).toMatchObject({ setup: HOSTILE_NAME, flags: 'gaps', limits_not_met: 'sae-j1321-2012: mean wind' })
    expect(rows[3]).toMatchObject({ track: `'${FORMULA_NAME}`, setup: "'@SUM(A1)", present_weather: "'-RA BR" })
    expect(rows[4]).toMatchObject({ temperature_c: '', wind_speed_mps: '' })
  })
})

describe('pairs.csv', () => {
  const rows = rowsOf([...pairsCsv(fixture.pairs)].join(''))
  it('has a row per pair', () => {
    expect(rows).toHaveLength(fixture.pairs.length)
    expect(rows[1]).toMatchObject({
      a: 'morning-1',
      b: 'img-src-x',
      verdict: 'adjustable',
      difference_pct: '4.12346',
      air_density_pct: '-1.9',
    })
    expect(rows[3]).toMatchObject({ verdict: 'unknown', difference_pct: '', score: '' })
  })
})
