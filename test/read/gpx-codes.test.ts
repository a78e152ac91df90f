import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { decimalAt, decimalEnd, noWindow, windowOver } from '../../src/read/gpx/codes.ts'
import { learnMinute, noMinute, secondsInMinute } from '../../src/read/gpx/minute.ts'
import { parseInstant } from '../../src/read/instant.ts'

const codesOf = (text: string): Uint16Array => Uint16Array.from(text, (letter) => letter.charCodeAt(0))
const digits = (least: number, most: number) =>
  fc.array(fc.integer({ min: 0, max: 9 }), { minLength: least, maxLength: most }).map((all) => all.join(''))

describe('a decimal number read from codes', () => {
  const decimals = fc
    .tuple(fc.constantFrom('', '-'), digits(1, 12), fc.constantFrom('', '.'), digits(0, 18))
    .map(([sign, whole, point, rest]) => `${sign}${whole}${point}${point === '' ? '' : rest}`)

  it('is the number that the language reads, to the last digit', () => {
    fc.assert(
      fc.property(decimals, (text) => {
        const codes = codesOf(`>${text}<`)
        expect(decimalEnd(codes, 1)).toBe(1 + text.length)
        expect(Object.is(decimalAt(codes, 1, 1 + text.length), Number(text))).toBe(true)
      }),
      { numRuns: 2000 },
    )
  })

  it.each(['', '-', '.', '-.', 'x1', '+1', ' 1'])('ends nowhere in "%s"', (text) => {
    expect(decimalEnd(codesOf(`${text}<`), 0)).toBe(-1)
  })

  it('ends before a second point and before an exponent', () => {
    expect(decimalEnd(codesOf('1.2.3'), 0)).toBe(3)
    expect(decimalEnd(codesOf('1e5'), 0)).toBe(1)
  })
})

describe('a time in the minute of the one before', () => {
  const second = fc.integer({ min: 0, max: 69 }).map((s) => String(s).padStart(2, '0'))
  const ending = fc.constantFrom(
    'Z',
    '.5Z',
    '.25Z',
    '.000Z',
    '.123456789Z',
    '.1234567890Z',
    '',
    '+02:00',
    '.Z',
    ',5Z',
    'z',
  )

  it('is what the reader of times makes of it, or left to it', () => {
    let taken = 0
    const minutes = fc.constantFrom('2021-03-29T11:13:', '2021-03-29T11:14:', '2021-03-29 11:13:', '2021-03-29T24:00:')
    const pair = fc.tuple(minutes, second, ending, fc.option(minutes), second, ending)
    fc.assert(
      fc.property(pair, ([minute1, s1, end1, minute2, s2, end2]) => {
        const [first, next] = [`${minute1}${s1}${end1}`, `${minute2 ?? minute1}${s2}${end2}`]
        const minute = noMinute()
        const { seconds } = parseInstant(first)
        if (!Number.isNaN(seconds)) learnMinute(minute, codesOf(first), 0, first.length, seconds)
        const read = secondsInMinute(minute, codesOf(next), 0, next.length)
        if (!Number.isNaN(read)) expect(read).toBe(parseInstant(next).seconds)
        if (!Number.isNaN(read)) taken++
      }),
      { numRuns: 2000 },
    )
    expect(taken).toBeGreaterThan(50)
  })

  it('of an hour 24 is not known: it has the first instant alone', () => {
    const minute = noMinute()
    const first = '2021-03-29T24:00:00Z'
    learnMinute(minute, codesOf(first), 0, first.length, parseInstant(first).seconds)
    expect(parseInstant('2021-03-29T24:00:05Z').seconds).toBeNaN()
    expect(secondsInMinute(minute, codesOf('2021-03-29T24:00:05Z'), 0, 20)).toBeNaN()
  })

  it('is known after a time of that minute, with and without decimals', () => {
    const minute = noMinute()
    const first = '2021-03-29T11:13:45.25Z'
    learnMinute(minute, codesOf(first), 0, first.length, parseInstant(first).seconds)
    // 2021-03-29T11:13:00Z by `date -u -d`, GNU coreutils.
    expect(secondsInMinute(minute, codesOf('2021-03-29T11:13:09Z'), 0, 20)).toBe(1617016389)
    expect(secondsInMinute(minute, codesOf('2021-03-29T11:13:09.5Z'), 0, 22)).toBe(1617016389.5)
    expect(secondsInMinute(minute, codesOf('2021-03-29T11:14:09Z'), 0, 20)).toBeNaN()
  })
})

describe('a window over a text', () => {
  it('has the codes of any letters, zeros behind the end, and stays where it reaches far enough', () => {
    const text = `aé→😀${'x'.repeat(70_000)}`
    const first = windowOver(text, 0, 100, noWindow())
    expect([...first.codes.subarray(0, 5)]).toEqual(
      [...'aé→😀']
        .join('')
        .split('')
        .map((unit) => unit.charCodeAt(0)),
    )
    expect(windowOver(text, 5000, 100, first)).toBe(first)
    const last = windowOver(text, 69_000, 5000, first)
    expect([last.from, last.to]).toEqual([69_000, text.length])
    expect([...last.codes.subarray(text.length - 69_000, text.length - 69_000 + 3)]).toEqual([0, 0, 0])
  })
})
