import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { shortNames } from '../../src/report/terminal/short-names.ts'
import { widthOf } from '../../src/report/terminal/terminal-text.ts'

const shortened = (names: string[], width: number): string[] => {
  const short = shortNames(names, width)
  return names.map((name) => short.get(name) ?? '')
}

describe('names made short', () => {
  it('leaves what fits', () => {
    expect(shortened(['2026-04-14-a-ladders', 'bare'], 26)).toEqual(['2026-04-14-a-ladders', 'bare'])
  })

  it('cuts the middle that names share', () => {
    expect(shortened(['freeway-driving-weekday-1-ios-2', 'freeway-driving-weekday-3-ios-2'], 26)).toEqual([
      'freeway-drivi…kday-1-ios-2',
      'freeway-drivi…kday-3-ios-2',
    ])
  })

  it.each([
    ['at the end', [`${'x'.repeat(40)}a`, `${'x'.repeat(40)}b`]],
    ['at the start', [`a${'x'.repeat(40)}`, `b${'x'.repeat(40)}`]],
    ['in the middle', [`${'x'.repeat(20)}a${'y'.repeat(20)}`, `${'x'.repeat(20)}b${'y'.repeat(20)}`]],
    ['near the end', [`${'x'.repeat(30)}a${'y'.repeat(16)}`, `${'x'.repeat(30)}b${'y'.repeat(16)}`]],
  ])('keeps two names apart that differ %s', (_, names) => {
    expect(new Set(shortened(names, 20)).size).toBe(2)
  })

  it('is never wider than asked, whatever the signs', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ unit: 'grapheme', maxLength: 40 }), { maxLength: 6 }),
        fc.integer({ min: 8, max: 30 }),
        (names, width) => shortened(names, width).every((name) => widthOf(name) <= width),
      ),
    )
  })
})
