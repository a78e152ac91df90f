import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { pastedCells } from '../../../src/app/edit/paste.ts'
import { openTable, type TableChange, withChanges } from '../../../src/app/edit/table-text.ts'

const TABLE = `# My drives.
# setup: what was fitted
track,setup,fuel_l,tyres,note
monday.gpx,bare,0.40,winter,"calm, dry"
# a word between
tuesday.gpx,covered,0.38,,"he said ""fine"""

wednesday.gpx,bare,0.41
`

function changed(text: string, ...changes: TableChange[]): string {
  const table = openTable(text)
  expect(table).not.toBeNull()
  return table ? withChanges(table, changes) : ''
}

/** As csv-parse (MIT), an independent reader, takes it. */
const read = (text: string): string[][] =>
  parse(text, { comment: '#', comment_no_infix: true, relax_column_count: true, skip_empty_lines: true })

describe('a change of a table', () => {
  it('of nothing leaves the text letter for letter, with any line ends', () => {
    expect(changed(TABLE)).toBe(TABLE)
    expect(changed(TABLE.replaceAll('\n', '\r\n'))).toBe(TABLE.replaceAll('\n', '\r\n'))
  })

  it('of a cell leaves every other line and cell as it is written', () => {
    const text = changed(TABLE, { kind: 'set', line: 4, column: 'setup', text: 'bars' })
    expect(text).toBe(TABLE.replace('monday.gpx,bare', 'monday.gpx,bars'))
  })

  it('fills up a row that is too short', () => {
    const text = changed(TABLE, { kind: 'set', line: 8, column: 'note', text: 'wet' })
    expect(text).toBe(TABLE.replace('wednesday.gpx,bare,0.41', 'wednesday.gpx,bare,0.41,,wet'))
  })

  it('adds a column that the table lacks to all its rows, before the free text', () => {
    const text = changed(TABLE, { kind: 'set', line: 6, column: 'exclude', text: 'flat, tyre' })
    expect(read(text)).toEqual([
      ['track', 'setup', 'fuel_l', 'tyres', 'exclude', 'note'],
      ['monday.gpx', 'bare', '0.40', 'winter', '', 'calm, dry'],
      ['tuesday.gpx', 'covered', '0.38', '', 'flat, tyre', 'he said "fine"'],
      ['wednesday.gpx', 'bare', '0.41', '', ''],
    ])
    expect(text).toContain('# a word between\n')
  })

  it('adds rows behind a row or behind all, and removes one', () => {
    const text = changed(
      TABLE,
      { kind: 'add-row', behind: 4, cells: { track: 'x', note: 'new' } },
      { kind: 'add-row', behind: null, cells: { track: 'y' } },
      { kind: 'remove-row', line: 6 },
    )
    expect(read(text).map(([track]) => track)).toEqual(['track', 'monday.gpx', 'x', 'wednesday.gpx', 'y'])
  })

  it('knows columns by other names, other separators and a row of units', () => {
    const text = 'Roof ladders;;\nDatei;Config;Fuel\n;;US gal\nmorning;ladders;1,94\n'
    expect(changed(text, { kind: 'set', line: 4, column: 'fuel_gal_us', text: '1,90' })).toBe(
      text.replace('1,94', '1,90'),
    )
  })

  it('of any text into any cell is read back as that text, and as nothing else', () => {
    // Blanks around a cell are no part of it.
    const cell = fc
      .string({ unit: fc.constantFrom('a', '"', ',', '\n', '#', ' ', ';', 'é') })
      .map((text) => text.trim())
    fc.assert(
      fc.property(cell, fc.constantFrom('setup', 'tyres', 'note', 'exclude'), (text, column) => {
        const after = changed(TABLE, { kind: 'set', line: 4, column, text })
        const [header, monday, ...others] = read(after)
        expect(monday[header.indexOf(column)].replaceAll('\r', '')).toBe(text)
        expect(others.map(([track, setup]) => [track, setup])).toEqual([
          ['tuesday.gpx', 'covered'],
          ['wednesday.gpx', 'bare'],
        ])
      }),
    )
  })
})

describe('cells from the clipboard', () => {
  it.each([
    ['7.34', null],
    ['a\tb', [['a', 'b']]],
    [
      'a\tb\r\nc\td\r\n',
      [
        ['a', 'b'],
        ['c', 'd'],
      ],
    ],
    ['a\n\nc', [['a'], [''], ['c']]],
    [
      '"two\nlines"\tb\nc\td',
      [
        ['two\nlines', 'b'],
        ['c', 'd'],
      ],
    ],
  ])('%j', (text, cells) => expect(pastedCells(text)).toEqual(cells))
})
