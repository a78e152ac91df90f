import { describe, expect, it } from 'vitest'
import { escapedJson, jsonText } from '../../src/base/json-text.ts'
import { cleaned } from '../../src/base/names.ts'

/**
 * The characters with the property Bidi_Control, and the control characters C0, DEL and C1.
 * @source Unicode Character Database, PropList.txt ("Bidi_Control": 061C, 200E..200F, 202A..202E, 2066..2069), from
 * memory; ECMA-48 and ISO/IEC 6429 for the control characters
 */
const BIDI = [[0x61c], span(0x200e, 0x200f), span(0x202a, 0x202e), span(0x2066, 0x2069)].flat()
const CONTROLS = [...span(0, 0x1f), ...span(0x7f, 0x9f)]
const UNFIT = [...BIDI, ...CONTROLS].map((code) => String.fromCharCode(code))

function span(first: number, last: number): number[] {
  return Array.from({ length: last - first + 1 }, (_, i) => first + i)
}

describe('jsonText', () => {
  it.each(UNFIT.map((sign) => [sign.charCodeAt(0).toString(16), sign]))('never holds U+%s itself', (_, sign) => {
    const value = { [`key${sign}`]: [`a${sign}b`, 1, null] }
    expect(jsonText(value)).not.toContain(sign)
    // By the JSON parser of the platform: what is read is the same.
    expect(JSON.parse(jsonText(value, 2))).toEqual(value)
  })

  it('leaves other letters as they are, and text of JSON that needs nothing', () => {
    const text = JSON.stringify({ road: 'Größe οδός 道路 😀', list: [1, 2] }, null, 2)
    expect(escapedJson(text)).toBe(text)
  })
})

describe('cleaned', () => {
  it.each(UNFIT.map((sign) => [sign.charCodeAt(0).toString(16), sign]))('shows a sign for U+%s', (_, sign) => {
    expect(cleaned(`a${sign}b`)).toBe('a\uFFFDb')
  })
})
