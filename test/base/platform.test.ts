import { deflateRawSync, gzipSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import * as node from '../../src/base/platform.ts'
import * as browser from '../../src/base/platform-browser.ts'

const text = new TextEncoder().encode('lat;lon\n'.repeat(20_000))
const packed = gzipSync(text)
const spoilt = (at: number): Uint8Array => {
  const copy = new Uint8Array(packed)
  copy[at] ^= 0xff
  return copy
}

it('both platforms have the same functions', () => {
  expect(Object.keys(browser).sort()).toEqual(Object.keys(node).sort())
})

describe.each([
  ['Node', node],
  ['browser', browser],
])('%s', (_, platform) => {
  // FIPS 180-4's examples (NIST, "SHA256.pdf": one block, two blocks) and RFC 4648 section 10, from memory.
  it.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
  ])('digest of %s', (message, want) => {
    expect(platform.toHex(platform.sha256(message))).toBe(want)
    expect(platform.toHex(platform.sha256(new TextEncoder().encode(message)))).toBe(want)
  })

  it.each([
    ['', ''],
    ['f', 'Zg=='],
    ['fo', 'Zm8='],
    ['foo', 'Zm9v'],
    ['foobar', 'Zm9vYmFy'],
  ])('base64 of "%s"', (plain, want) => {
    expect(platform.toBase64(new TextEncoder().encode(plain))).toBe(want)
    expect(new TextDecoder().decode(platform.fromBase64(want))).toBe(plain)
  })

  it('base64 there and back, of more bytes than a call has arguments', () => {
    const bytes = Uint8Array.from({ length: 300_001 }, (_, i) => (i * 7919) & 255)
    expect(platform.fromBase64(platform.toBase64(bytes))).toEqual(bytes)
  })

  it('unpacks what zlib packed, one member or two', () => {
    expect(platform.gunzip(packed, text.length)).toEqual({ bytes: expect.anything(), isWhole: true })
    const twice = platform.gunzip(Buffer.concat([packed, packed]), 2 * text.length)
    if (typeof twice !== 'object') throw new Error(twice)
    expect(twice.isWhole).toBe(true)
    expect(Buffer.concat([text, text]).equals(twice.bytes)).toBe(true)
  })

  it('says what is damaged or too large, and unpacks the begin of what was cut off', () => {
    expect(platform.gunzip(packed, text.length - 1)).toBe('too-large')
    // Checksum, block type, and the method in the header (RFC 1952, section 2.3).
    expect(platform.gunzip(spoilt(packed.length - 8), text.length)).toBe('damaged')
    expect(platform.gunzip(spoilt(10), text.length)).toBe('damaged')
    expect(platform.gunzip(spoilt(2), text.length)).toBe('damaged')
    const start = platform.gunzip(packed.subarray(0, packed.length - 200), text.length)
    if (typeof start !== 'object') throw new Error(start)
    expect(start.isWhole).toBe(false)
    expect(start.bytes.length).toBeGreaterThan(1000)
    expect(text.subarray(0, start.bytes.length)).toEqual(new Uint8Array(start.bytes))
  })

  it('knows how long deflated data are, whatever follows them', () => {
    // Between a header of 10 bytes and a trailer of 8 (RFC 1952, section 2.3).
    expect(platform.deflatedLength(packed.subarray(10))).toBe(packed.length - 18)
    expect(platform.deflatedLength(packed.subarray(10, packed.length - 20))).toBe(null)
    expect(platform.deflatedLength(spoilt(10).subarray(10))).toBe(null)
  })

  it('tells UTF-8 from what is not', () => {
    expect(platform.isUtf8(new TextEncoder().encode('Größe 😀'))).toBe(true)
    // A continuation byte alone, and a surrogate, RFC 3629 section 4.
    expect(platform.isUtf8(Uint8Array.of(0x80))).toBe(false)
    expect(platform.isUtf8(Uint8Array.of(0xed, 0xa0, 0x80))).toBe(false)
  })

  it('how much deflated data become, whatever stands behind them, and never more than asked for', () => {
    const deflated = Buffer.concat([deflateRawSync(text), Buffer.from('PK and more')])
    expect(platform.inflatedLength(deflated, text.length)).toBe(text.length)
    expect(platform.inflatedLength(deflated, text.length - 1)).toBe('too-large')
    expect(platform.inflatedLength(deflated.subarray(0, 50), text.length)).toBe('damaged')
  })

  it('writes code units', () => {
    const codes = new Uint16Array(4)
    platform.writeCodeUnits('a😀', codes)
    expect(Array.from(codes)).toEqual([0x61, 0xd83d, 0xde00, 0])
  })
})

it('both unpack the same of every cut', () => {
  const bytesOf = (unpacked: node.Unpacked): unknown =>
    typeof unpacked === 'object' ? { ...unpacked, bytes: Buffer.from(unpacked.bytes).toString('latin1') } : unpacked
  for (const length of [0, 3, 10, 11, 30, packed.length - 9, packed.length - 8, packed.length - 1, packed.length]) {
    const cut = packed.subarray(0, length)
    expect(bytesOf(browser.gunzip(cut, text.length)), `${length} bytes`).toEqual(bytesOf(node.gunzip(cut, text.length)))
  }
})
