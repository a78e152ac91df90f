import { describe, expect, it } from 'vitest'
import { readTable, toNumber } from '../../src/read/table.ts'

const codes = (text: string) => readTable(text).problems.map(({ code, line }) => [code, line])

describe('readTable', () => {
  it.each([
    ['comma', 'a,b\n1.5,2\n', ',', 1.5],
    ['semicolon with decimal comma', 'a;b\n1,5;2\n', ';', 1.5],
    ['tab with decimal comma', 'a\tb\n1,5\t2\n', '\t', 1.5],
    ['tab with commas in the header', 'a, first\tb\tc\n1.5\t2\t3\n', '\t', 1.5],
  ])('tells the separator from the header: %s', (_, text, delimiter, first) => {
    const { value, problems } = readTable(text)
    expect(problems).toEqual([])
    expect(value?.delimiter).toBe(delimiter)
    expect(toNumber(value!.rows[0].cells[0], value!.delimiter)).toBe(first)
  })

  it('gives the line on which each row begins, past comments, blank lines and line ends inside quotes', () => {
    const { value } = readTable(
      '\uFEFF# made by hand\r\nTrack,Note\r\n\r\nx.gpx#2,"one\r\ntwo"\r\n#skip\r\ny.gpx,z\r\n',
    )
    expect(value?.header).toEqual(['track', 'note'])
    expect(value?.headerLine).toBe(2)
    expect(value?.comments).toEqual(['made by hand'])
    expect(value?.rows).toEqual([
      { line: 4, cells: ['x.gpx#2', 'one\ntwo'] },
      { line: 7, cells: ['y.gpx', 'z'] },
    ])
  })

  it('reads old Macintosh line ends', () => {
    expect(readTable('a,b\r1,2\r3,4').value?.rows.map(({ line }) => line)).toEqual([2, 3])
  })

  it('compares column names without case, spaces and hyphens', () => {
    expect(readTable('Wind Speed-mps, RH_pct \n1,2').value?.header).toEqual(['wind_speed_mps', 'rh_pct'])
  })

  it('keeps a stray quotation mark as text', () => {
    expect(readTable('a,b\n1,5" pipe\n').value?.rows[0].cells[1]).toBe('5" pipe')
  })

  it('fills up a short row and leaves out a long one, with their lines', () => {
    const { value } = readTable('a,b,c\n1,2\n1,2,3,4\n1,2,3,\n7,8,9\n')
    expect(value?.rows).toEqual([
      { line: 2, cells: ['1', '2', ''] },
      { line: 4, cells: ['1', '2', '3'] },
      { line: 5, cells: ['7', '8', '9'] },
    ])
    expect(codes('a,b,c\n1,2\n1,2,3,4\n1,2,3,\n7,8,9\n')).toEqual([
      ['table-row-too-short', 2],
      ['table-row-too-long', 3],
      ['table-row-too-short', 4],
    ])
  })

  it('counts what is wrong too often instead of repeating it', () => {
    const { problems } = readTable(`a,b\n${'1,2,3\n'.repeat(1000)}`)
    expect(problems.filter(({ code }) => code === 'table-row-too-long')).toHaveLength(4)
    expect(problems.map(({ message }) => message).join()).toMatch(/,997 more/)
  })

  it.each([
    ['nothing', '', 'table-empty', undefined],
    ['only comments', '# a\n\n# b\n', 'table-empty', undefined],
    ['an open quotation mark', 'a,b\n1,2\n3,"open\n4,5\n', 'table-quote-open', 3],
  ])('fails on %s', (_, text, code, line) => {
    const { value, problems } = readTable(text)
    expect(value).toBeNull()
    expect(problems.map((p) => [p.code, p.line, p.severity])).toEqual([[code, line, 'error']])
  })

  it('says when there are no rows, and when a column occurs twice', () => {
    expect(codes('a,A\n')).toEqual([
      ['table-column-twice', 1],
      ['table-no-rows', undefined],
    ])
  })
})

describe('toNumber', () => {
  it.each([
    ['12', ',', 12],
    ['-0.5', ',', -0.5],
    ['\u22123', ',', -3],
    ['1e3', ',', 1000],
    ['.5', ',', 0.5],
    ['12,5', ';', 12.5],
    ['12,5', ',', null],
    ['1.234,5', ';', null],
    ['12 km', ',', null],
    ['0x10', ',', null],
    ['Infinity', ',', null],
  ] as const)('%s with separator "%s" is %s', (cell, delimiter, want) => {
    expect(toNumber(cell, delimiter)).toBe(want)
  })

  it.each(['', ' ', 'M', 'NA', 'n/a', 'NaN', '-', '---', '////', '***', 'null'])('"%s" is missing', (cell) => {
    expect(toNumber(cell, ',')).toBeNaN()
  })
})
