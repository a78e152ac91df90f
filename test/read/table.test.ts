import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { firstOfEach } from '../../src/read/many.ts'
import { readTable, toNumber } from '../../src/read/table/table.ts'
import { rowsOfText } from '../../src/read/table/table-rows.ts'

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
    const problems = firstOfEach(readTable(`a,b\n${'1,2,3\n'.repeat(1000)}`).problems)
    expect(problems.filter(({ code }) => code === 'table-row-too-long')).toHaveLength(4)
    expect(problems.map(({ message }) => message).join()).toMatch(/,997 more of the same kind, on lines 5 to 1001$/)
  })

  it.each([
    ['nothing', '', 'table-empty', undefined],
    ['only comments', '# a\n\n# b\n', 'table-empty', undefined],
    ['an open quotation mark in the header', 'a,"b\n1,2\n', 'table-quote-open', 1],
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

  it.each([
    ['ends with the text', 'a,b\n1,2\n3,"open\n4,5\n', [2, 4], 3],
    ['meets the next one', 'a,b\n1,"rain\n2,"dry\n4,5\n', [4], 2],
    ['seems to be closed by a sound one', 'a,b\n1,"rain\n2,"dry"\n4,5\n', [3, 4], 2],
    ['would take whole rows into one cell', 'a,b,c,d\n1,2,3,"x\n4,5,6,7\n8,9,10,"\n', [3], 2],
  ])('leaves out the row of an open quotation mark alone where it %s', (_, text, kept, bad) => {
    const { value, problems } = readTable(text)
    expect(value?.rows.map(({ line }) => line)).toEqual(kept)
    expect(problems[0]).toMatchObject({ code: 'table-quote-open', severity: 'error', line: bad })
  })

  it('a row that is left out is an error that says what was found and expected', () => {
    expect(readTable('a,b\n1,2,3\n4,5\n').problems).toMatchObject([
      {
        code: 'table-row-too-long',
        severity: 'error',
        line: 2,
        message: 'this row has 3 cells and the header has 2; expected 2; the row is left out',
      },
    ])
  })

  it.each([
    ['sep=;\na;b\n1,5;2\n', ';', 1.5],
    ['"sep=,"\r\na,b\r\n1.5,2\r\n', ',', 1.5],
    ['sep=\t\na\tb\n1,5\t2\n', '\t', 1.5],
    ['\uFEFFSEP=;\n# mine\na;b, c, d\n1,5;2\n', ';', 1.5],
  ])('a first line that names the separator is no header: %j', (text, delimiter, first) => {
    const { value, problems } = readTable(text)
    expect(problems).toEqual([])
    expect(value).toMatchObject({ delimiter, headerLine: text.includes('mine') ? 3 : 2 })
    expect(toNumber(value!.rows[0].cells[0], value!.delimiter)).toBe(first)
  })
})

describe('separators in the last free text', () => {
  it.each(['note', 'Remarks', 'Comments', 'Bemerkung'])('are put together again under the name %s', (name) => {
    const { value, problems } = readTable(`track;fuel_l;${name}\na;7,3;windy; a bit of rain\n`, { freeText: 'note' })
    expect(value!.rows.map(({ cells }) => cells)).toEqual([['a', '7,3', 'windy; a bit of rain']])
    expect(problems.map(({ severity }) => severity)).not.toContain('error')
  })

  it('cost the row under a name that holds no text', () => {
    const { value } = readTable('track;fuel_l;odometer_km\na;7,3;1;2\n', { freeText: 'note' })
    expect(value!.rows).toEqual([])
  })
})

describe('rowsOfText', () => {
  // Expected: csv-parse, an independent reader, on tables as RFC 4180 has them.
  const cell = fc.string({ unit: fc.constantFrom('a', '1', ' ', ',', '"', '\n', '#', ';', 'é'), maxLength: 6 })
  const written = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)

  it('cuts what RFC 4180 allows as csv-parse does', () => {
    fc.assert(
      fc.property(fc.array(fc.array(cell, { minLength: 1, maxLength: 2 }), { minLength: 1, maxLength: 6 }), (table) => {
        const text = table.map((row) => ['k', ...row].map(written).join(',')).join('\n')
        const want: string[][] = parse(text, { comment: '#', comment_no_infix: true, relax_column_count: true })
        const rows = rowsOfText(text, ',')
        expect(rows.map(({ cells }) => cells)).toEqual(want)
        expect(rows.every(({ quoteOpen }) => !quoteOpen)).toBe(true)
      }),
    )
  })
})
