import { gzipSync } from 'node:zlib'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decodeText } from '../../src/read/bytes.ts'
import { kindOf } from '../../src/read/kind.ts'

const utf8 = (text: string) => new TextEncoder().encode(text)
const latin1 = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0))
const utf16 = (text: string, isLittle: boolean) => {
  const bytes = Buffer.from(text, 'utf16le')
  return Uint8Array.from(isLittle ? bytes : bytes.swap16())
}
const codes = (bytes: Uint8Array) => decodeText(bytes).problems.map(({ code, severity }) => [code, severity])

const XML = '<?xml version="1.0"?>\n<gpx creator="Größe π 😀"/>'

describe('decodeText', () => {
  it.each([
    ['UTF-8', utf8(XML), 'utf-8'],
    ['UTF-8 with byte order mark', utf8(`\ufeff${XML}`), 'utf-8'],
    ['UTF-16 little-endian with byte order mark', utf16(`\ufeff${XML}`, true), 'utf-16le'],
    ['UTF-16 big-endian with byte order mark', utf16(`\ufeff${XML}`, false), 'utf-16be'],
    ['UTF-16 little-endian without', utf16(XML, true), 'utf-16le'],
    ['UTF-16 big-endian without', utf16(XML, false), 'utf-16be'],
    ['gzip of UTF-8', gzipSync(utf8(XML)), 'utf-8'],
    ['gzip of UTF-16', gzipSync(utf16(`\ufeff${XML}`, true)), 'utf-16le'],
  ])('reads %s', (_, bytes, encoding) => {
    expect(decodeText(bytes)).toEqual({ value: { text: XML, encoding }, problems: [] })
  })

  // Code tables: ISO/IEC 8859-1 and -2 and Windows-1252, position E9 and F5, 80.
  it.each([
    ['ISO-8859-1', 0xe9, 'é'],
    ['iso-8859-2', 0xf5, 'ő'],
    ['windows-1252', 0x80, '€'],
    ['koi8-r', 0xc1, 'а'],
  ])('reads the encoding that an XML declaration names: %s', (label, byte, letter) => {
    const declaration = `<?xml version="1.0" encoding='${label}'?><a>`
    const { value, problems } = decodeText(Uint8Array.from([...latin1(declaration), byte]))
    expect(value?.text).toBe(declaration + letter)
    expect(problems).toEqual([])
  })

  it.each(['UTF-16', 'utf-8', 'US-ASCII'])('does not believe a declared %s against the bytes', (label) => {
    const text = `<?xml version="1.0" encoding="${label}"?><gpx creator="é"/>`
    expect(decodeText(utf8(text))).toEqual({ value: { text, encoding: 'utf-8' }, problems: [] })
  })

  it('reads UTF-8 where a byte order mark contradicts the declaration', () => {
    const text = '<?xml version="1.0" encoding="ISO-8859-1"?><gpx creator="é"/>'
    expect(decodeText(utf8(`\ufeff${text}`)).value).toEqual({ text, encoding: 'utf-8' })
  })

  it('falls back to UTF-8 on an encoding that nobody knows', () => {
    const text = '<?xml version="1.0" encoding="x-rot13"?><gpx/>'
    expect(decodeText(utf8(text)).value?.text).toBe(text)
    expect(codes(utf8(text))).toEqual([['encoding-unknown', 'warning']])
  })

  it('takes a single NUL in a bulletin for what it is', () => {
    expect(decodeText(utf8('SPECI KNZY 231401Z AUTO\0 17004KT')).value?.encoding).toBe('utf-8')
  })

  it('replaces and counts what is not UTF-8, with the first line', () => {
    const { value, problems } = decodeText(Uint8Array.from([...utf8('a;é\nb'), 0xff, 0x41, 0xfe]))
    expect(value).toEqual({ text: 'a;é\nb\ufffdA\ufffd', encoding: 'utf-8' })
    expect(problems).toMatchObject([{ code: 'text-damaged', severity: 'warning', line: 2 }])
    expect(problems[0].message).toMatch(/^2 characters/)
  })

  it('reads a text without any valid UTF-8 sequence as Windows-1252, and says so', () => {
    const { value, problems } = decodeText(latin1('time,note\n1,20 °C\n2,caf\u00e9'))
    expect(value).toEqual({ text: 'time,note\n1,20 °C\n2,café', encoding: 'windows-1252' })
    expect(problems).toMatchObject([{ code: 'encoding-guessed', severity: 'warning', line: 2 }])
    expect(problems[0].message).toMatch(/^2 characters/)
  })

  const ofGzip = gzipSync(utf8(`${XML}${'<!-- a comment -->'.repeat(500)}${Math.PI}`))

  it('uses what a cut-off gzip file still holds', () => {
    const { value, problems } = decodeText(ofGzip.subarray(0, ofGzip.length - 12))
    expect(value?.text.startsWith(XML)).toBe(true)
    expect(problems.map(({ code, severity }) => [code, severity])).toEqual([['gzip-cut-off', 'warning']])
  })

  it.each([
    ['one member', [gzipSync(utf8(XML))], XML],
    ['two members', [gzipSync(utf8(XML)), gzipSync(utf8(XML))], XML + XML],
    ['a member with a name, a comment and an extra field', [namedMember(XML)], XML],
  ])('uses %s with other bytes behind it, and says where these begin', (_, members, want) => {
    const whole = Buffer.concat(members)
    for (const rest of ['garbage', 'xy', '\x1f\x8b\x08 and no other member']) {
      const { value, problems } = decodeText(Buffer.concat([whole, Buffer.from(rest, 'latin1')]))
      expect(value?.text).toBe(want)
      expect(problems.map(({ code, severity }) => [code, severity])).toEqual([['gzip-rest-unread', 'warning']])
      expect(problems[0].message).toContain(`end at byte ${whole.length}; the ${rest.length} bytes behind`)
    }
  })

  /** The optional parts of a header. @source RFC 1952, 2.3.1: FLG bits 2 to 4 */
  function namedMember(text: string): Buffer {
    const plain = gzipSync(utf8(text))
    const header = Buffer.from(plain.subarray(0, 10))
    header[3] = 4 | 8 | 16
    const parts = Buffer.from('\x03\x00abcname.gpx\0a comment\0', 'latin1')
    return Buffer.concat([header, parts, plain.subarray(10)])
  }

  it.each([
    ['no bytes', new Uint8Array(0), 'empty-file'],
    ['a gzip of nothing', gzipSync(new Uint8Array(0)), 'empty-file'],
    ['a damaged gzip', Uint8Array.from(ofGzip, (byte, i) => (i > 12 ? byte ^ 0x5a : byte)), 'gzip-damaged'],
    ['a ZIP archive', Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0]), 'zip-archive'],
  ])('fails on %s', (_, bytes, code) => {
    expect(decodeText(bytes).value).toBeNull()
    expect(codes(bytes)).toEqual([[code, 'error']])
  })

  it('refuses a gzip bomb before it fills the memory', () => {
    // 600 MiB of zeros in 600 kB; gzip members may follow one another (RFC 1952, 2.2).
    const member = gzipSync(new Uint8Array(2 ** 24))
    const bomb = Buffer.concat(Array.from({ length: 38 }, () => member))
    expect(codes(bomb)).toEqual([['file-too-large', 'error']])
  })

  it('never throws, and gives a text or an error for any bytes', () => {
    const gzipped = fc.uint8Array({ maxLength: 40 }).map((bytes) => Uint8Array.from([0x1f, 0x8b, 8, ...bytes]))
    const wide = fc.uint8Array({ maxLength: 41 }).map((bytes) => Uint8Array.from([0xff, 0xfe, ...bytes]))
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array({ maxLength: 300 }), gzipped, wide), (bytes) => {
        const { value, problems } = decodeText(bytes)
        expect(value === null).toBe(problems.some(({ severity }) => severity === 'error'))
        expect(typeof kindOf(value?.text ?? '')).toBe('string')
      }),
      { numRuns: 2000, seed: 4 },
    )
  })
})
