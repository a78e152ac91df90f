import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseInstant } from '../../src/read/instant.ts'

const NOON = Date.UTC(2021, 2, 29, 12, 0, 0) / 1000

describe('parseInstant', () => {
  it('equals Date.parse on random instants from year 1 to 9999, with and without decimals', () => {
    const instant = fc.date({
      min: new Date('0001-01-01T00:00:00Z'),
      max: new Date('9999-12-31T23:59:59Z'),
      noInvalidDate: true,
    })
    fc.assert(
      fc.property(instant, (date) => {
        const whole = `${date.toISOString().slice(0, 19)}Z`
        expect(parseInstant(whole)).toEqual({ seconds: Date.parse(whole) / 1000, zoneless: false })
        // A double holds seconds since 1970 to better than 1e-4 s until year 9999.
        expect(Math.abs(parseInstant(date.toISOString()).seconds - date.getTime() / 1000)).toBeLessThan(1e-4)
      }),
      { numRuns: 2000, seed: 1 },
    )
  })

  it('equals Date.parse on random offsets', () => {
    fc.assert(
      fc.property(fc.integer({ min: -840, max: 840 }), fc.integer({ min: 0, max: 4e9 }), (offset, seconds) => {
        const size = Math.abs(offset)
        const two = (value: number) => String(value).padStart(2, '0')
        const zone = `${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
        const text = `${new Date(seconds * 1000).toISOString().slice(0, 19)}${zone}`
        expect(parseInstant(text).seconds).toBe(Date.parse(text) / 1000)
      }),
      { numRuns: 1000, seed: 2 },
    )
  })

  // Forms of ISO 8601-1:2019; the moment of each is plain from its text.
  it.each([
    ['usual', '2021-03-29T12:00:00Z', NOON, false],
    ['blanks around it', ' \n2021-03-29T12:00:00Z\t', NOON, false],
    ['small letters', '2021-03-29t12:00:00z', NOON, false],
    ['a space for the T', '2021-03-29 12:00:00Z', NOON, false],
    ['a space before the Z', '2021-03-29 12:00:00 Z', NOON, false],
    ['the word UTC', '2021-03-29 12:00 UTC', NOON, false],
    // Unreadable until the T, which alone was looked at, no longer kept them from the other forms.
    ['a small z', '2021-03-29T12:00:00z', NOON, false],
    ['a T, and a blank before the Z', '2021-03-29T12:00:00 Z', NOON, false],
    ['a T and the word UTC', '2021-03-29T12:00:00 UTC', NOON, false],
    ['a T, and a blank before the offset', '2021-03-29T14:00:00 +02:00', NOON, false],
    ['decimals, a T and the word GMT', '2021-03-29T12:00:00.5 GMT', NOON + 0.5, false],
    ['no zone', '2021-03-29T12:00:00', NOON, true],
    ['no zone, a space, decimals', '2021-03-29 12:00:00.5', NOON + 0.5, true],
    ['no seconds', '2021-03-29T12:00Z', NOON, false],
    ['no seconds, no zone', '2021-03-29 12:00', NOON, true],
    ['basic form', '20210329T120000Z', NOON, false],
    ['east', '2021-03-29T14:30:00+02:30', NOON, false],
    ['west', '2021-03-29T07:00:00-05:00', NOON, false],
    ['offset without colon', '2021-03-29T14:00:00+0200', NOON, false],
    ['offset of hours', '2021-03-29T14:00:00+02', NOON, false],
    ['minus zero', '2021-03-29T12:00:00-00:00', NOON, false],
    ['one decimal', '2021-03-29T12:00:00.5Z', NOON + 0.5, false],
    ['decimal comma', '2021-03-29T12:00:00,25Z', NOON + 0.25, false],
    ['twenty decimals', '2021-03-29T12:00:00.50000000000000000000Z', NOON + 0.5, false],
    ['decimals and offset', '2021-03-29T13:00:00.750+01:00', NOON + 0.75, false],
    ['midnight at the end of the day', '2021-03-28T24:00:00Z', NOON - 12 * 3600, false],
    ['leap day of a fourth year', '2024-02-29T00:00:00Z', Date.UTC(2024, 1, 29) / 1000, false],
    ['leap day of 2000', '2000-02-29T00:00:00Z', Date.UTC(2000, 1, 29) / 1000, false],
    ['before 1970', '1969-12-31T23:59:59.5Z', -0.5, false],
    // 719162 days from 0001-01-01 to 1970-01-01 (Python: date(1970, 1, 1).toordinal() - 1).
    ['year 1', '0001-01-01T00:00:00Z', -719162 * 86400, false],
  ])('%s', (_, text, seconds, zoneless) => {
    expect(parseInstant(text)).toEqual({ seconds, zoneless })
  })

  // The leap second at the end of 2016 (IERS Bulletin C 52) is the first second of 2017 in POSIX time.
  it.each([
    ['2016-12-31T23:59:60Z', 0],
    ['2016-12-31T23:59:60.5Z', 0.5],
    ['2017-01-01T00:59:60+01:00', 0],
    ['2016-12-31T23:59:60', 0],
  ])('leap second %s', (text, after) => {
    expect(parseInstant(text).seconds).toBe(Date.UTC(2017, 0, 1) / 1000 + after)
  })

  it.each([
    '',
    'now',
    '2021-03-29',
    '12:00:00Z',
    '2021-02-29T12:00:00Z',
    '1900-02-29T12:00:00Z',
    '2021-04-31T12:00:00Z',
    '2021-00-10T12:00:00Z',
    '2021-13-10T12:00:00Z',
    '2021-03-00T12:00:00Z',
    '2021-03-29T25:00:00Z',
    '2021-03-29T24:00:01Z',
    '2021-03-29T12:60:00Z',
    '2021-03-29T12:00:61Z',
    '2021-03-29T12:30:60Z',
    '2021-03-29T12:59:60Z',
    '2021-03-29T12:00:00.Z',
    '2021-03-29T12:00:00ZZ',
    '2021-03-29T12:00:00 UTC+1',
    '2021-03-29T12:00:00+15:00',
    '2021-03-29T12:00:00+01:60',
    '2021-03-29T12:00:00+1',
    '2021-03-29T12:00:00+01:0',
    '2021-03-29T12:00:00 EST',
    '2021-03-29T1a:00:00Z',
    '03/29/2021 12:00:00',
    '90/02/2032T12:00:00Z',
    '+12021-03-29T12:00:00Z',
  ])('"%s" is not a time', (text) => {
    expect(parseInstant(text)).toEqual({ seconds: Number.NaN, zoneless: false })
  })

  it('never throws', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 40 }), (text) => {
        expect(typeof parseInstant(text).seconds).toBe('number')
      }),
      { numRuns: 1000, seed: 3 },
    )
  })
})
