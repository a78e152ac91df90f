import { describe, expect, it } from 'vitest'
import { withOneSpelling } from '../../../src/campaign/load/rows/setup-names.ts'

const rowsOf = (...names: (string | null)[]) => names.map((setup, i) => ({ setup, line: i + 2, file: null }))

describe('names of setups', () => {
  it('that differ in capitals or blanks are one, as campaign.yaml writes it, with a note for each spelling', () => {
    const rows = rowsOf('Ladders', 'roof  Bars', 'ladders', 'Ladders', null, 'bare')
    const problems = withOneSpelling(rows, ['ladders', 'roof bars'])
    expect(rows.map(({ setup }) => setup)).toEqual(['ladders', 'roof bars', 'ladders', 'ladders', null, 'bare'])
    expect(problems.map(({ line, severity }) => [line, severity])).toEqual([
      [2, 'note'],
      [3, 'note'],
    ])
  })

  it('are those of the first row where campaign.yaml names none', () => {
    const rows = rowsOf('Bare', 'bare', 'bars')
    withOneSpelling(rows, [])
    expect(rows.map(({ setup }) => setup)).toEqual(['Bare', 'Bare', 'bars'])
  })

  it('stay apart where campaign.yaml names both', () => {
    const rows = rowsOf('A', 'a')
    expect(withOneSpelling(rows, ['a', 'A'])).toEqual([])
    expect(rows.map(({ setup }) => setup)).toEqual(['A', 'a'])
  })
})
