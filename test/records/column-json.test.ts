import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fromJson, toJson } from '../../src/records/column-json.ts'

const there = (value: unknown): unknown => fromJson(JSON.parse(toJson(value)))

describe('plain values as JSON', () => {
  it('are written in the form told', () => {
    // IEEE 754 binary64: 1 is 3FF0000000000000, -2 is C000000000000000; RFC 4648 base64, worked by hand.
    expect(toJson({ a: Float64Array.of(1) })).toBe('{"a":{"f64":"AAAAAAAA8D8="}}')
    expect(toJson(Float64Array.of(-2))).toBe('{"f64":"AAAAAAAAAMA="}')
    // Two's complement: -2 is FFFFFFFE.
    expect(toJson(Int32Array.of(1, -2))).toBe('{"i32":"AQAAAP7///8="}')
    expect(toJson(Uint8Array.of(0, 1, 2))).toBe('{"u8":"AAEC"}')
    expect(toJson([Number.NaN, Number.NEGATIVE_INFINITY, -0, 0])).toBe(
      '[{"number":"NaN"},{"number":"-Infinity"},{"number":"-0"},0]',
    )
  })

  it('come back as they were', () => {
    const plain = fc.letrec((tie) => ({
      value: fc.oneof(
        { maxDepth: 4 },
        fc.constant(null),
        fc.boolean(),
        fc.double(),
        fc.string({ unit: 'binary', maxLength: 12 }),
        fc.float64Array({ maxLength: 8 }),
        fc.uint8Array({ maxLength: 8 }),
        fc.int32Array({ maxLength: 8 }),
        fc.array(tie('value'), { maxLength: 4 }),
        // A name that stands alone with a text beside it might be one of our own.
        fc.dictionary(
          fc.string({ maxLength: 6 }).map((name) => `_${name}`),
          tie('value'),
          { maxKeys: 4, noNullPrototype: true },
        ),
      ),
    })).value
    fc.assert(
      fc.property(plain, (value) => {
        expect(there(value)).toStrictEqual(value)
      }),
      { numRuns: 50 },
    )
  })

  it('say when a column is not whole, and when a value has no form', () => {
    expect(() => fromJson({ f64: 'AAAA' })).toThrow(TypeError)
    expect(() => toJson({ a: new Map() })).toThrow(TypeError)
    expect(() => toJson(Float32Array.of(1))).toThrow(TypeError)
  })
})
