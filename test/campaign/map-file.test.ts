import { describe, expect, it } from 'vitest'
import { mapFile } from '../../src/campaign/load/map-file.ts'

const encoder = new TextEncoder()

/** A file of a start and so many blanks behind it. */
function padded(start: string, characters: number): Uint8Array {
  const bytes = new Uint8Array(characters).fill(32)
  bytes.set(encoder.encode(start))
  return bytes
}

describe('what one file may hold', () => {
  it.each([
    {
      what: 'a file of tracks',
      path: 'long.gpx',
      bytes: () => padded('<gpx version="1.1"><trk><trkseg>', 130e6),
      message: 'found 130 million characters, expected at most 128 million in a file that holds tracks',
      hint: 'Split it into one file for each drive.',
    },
    {
      what: 'a file without',
      path: 'long.csv',
      bytes: () => padded('time,temperature_c\n', 21e6),
      message: 'found 21 million characters, expected at most 20 million in a file that holds no track',
      hint: 'Keep the days of the drives, and leave out the others.',
    },
    {
      what: 'a file of many lines',
      path: 'long.csv',
      bytes: () => padded(`time,temperature_c\n${'2024-05-03T08:30Z,14\n'.repeat(400_000)}`, 9e6),
      message: 'found 400001 lines, expected at most 400000 in a file that holds no track',
      hint: 'Keep the days of the drives, and leave out the others.',
    },
  ])('$what of too much is not read, and said to be too large', ({ path, bytes, message, hint }) => {
    const { kind, problems, tracks, text } = mapFile({ path, bytes: bytes(), sha256: 'x' })
    expect(problems).toEqual([{ code: 'file-too-large', severity: 'error', message, hint }])
    expect({ kind, tracks, text }).toEqual({ kind: 'unrecognised', tracks: [], text: null })
  })
})

describe('a file of no kind', () => {
  const mapped = (text: string) => mapFile({ path: 'runs.csv', bytes: encoder.encode(text), sha256: 'x' })

  it.each(['invoice,sum\na.pdf,12\n', 'name,price\nbolt,1\nnut,2\n', 'sep=;\nBeleg;Summe\na.pdf;5,1\n'])(
    'that looks like a table is an error that names its columns: %j',
    (text) => {
      const { kind, problems } = mapped(text)
      expect(kind).toBe('unrecognised')
      expect(problems).toMatchObject([{ code: 'unrecognised', severity: 'error' }])
      expect(problems[0].message).toMatch(/^this looks like a table \((invoice|name|Beleg), /)
    },
  )

  it.each([
    'The fog comes\non little cat feet.\n',
    'Bought tyres, oil and fuel.\nDrove home, in the rain.\n',
    'name: someone, somewhere\nvehicles: 3, 4\n',
    '{"temperature": 14,\n "wind": 3}',
  ])('that does not is a warning: %j', (text) => {
    expect(mapped(text).problems).toMatchObject([{ code: 'unrecognised', severity: 'warning' }])
  })

  it('but a table whose first line names the separator is read', () => {
    expect(mapped('sep=;\ntrack;fuel_l\na.gpx;5,1\n')).toMatchObject({ kind: 'runs-table', problems: [] })
    expect(mapped('sep=;\r\ntime;temperature_c\r\n2024-05-03T08:30Z;14,5\r\n').kind).toBe('observation-table')
  })
})
