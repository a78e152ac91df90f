import { describe, expect, it } from 'vitest'
import { figure, joined, listing, name, percentSpan, plainText, say, span } from '../../src/base/sentence.ts'

describe('say', () => {
  it('keeps words, values and names apart', () => {
    expect(say`Wind ${figure(3.25, 'wind', 1)} at ${name('LEVD')}.`).toEqual([
      'Wind ',
      { value: 3.25, quantity: 'wind', decimals: 1, sign: false, difference: false, bare: false },
      ' at ',
      { name: 'LEVD' },
      '.',
    ])
  })

  it('takes counts, nothing and whole sentences', () => {
    expect(plainText(say`${2} drives${null}: ${say`the air was ${figure(1.2, 'density', 3)}`}.`)).toBe(
      '2 drives: the air was 1.200 kg/m³.',
    )
  })
})

describe('plainText', () => {
  // 10 m/s = 22.369 mph and 0 °C = 32 °F by definition (NIST SP 811, appendix B); a difference of 10 K is 18 °F.
  it.each([
    ['si', '36 km/h, 0.0 °C, 10.0 °C'],
    ['us', '22 mph, 32.0 °F, 18.0 °F'],
  ] as const)('shows values in %s', (system, want) => {
    const text = say`${figure(10, 'speed', 0)}, ${figure(0, 'temperature', 1)}, ${figure(10, 'temperature', 1, { difference: true })}`
    expect(plainText(text, system)).toBe(want)
  })

  it('writes one unit for both ends of a span', () => {
    expect(plainText(span(3.14, 4.2, 'wind', 1))).toBe('3.1 to 4.2 m/s')
  })

  it('never takes a name for a value, and makes it fit to be shown', () => {
    expect(plainText(say`With ${name('tyres 3 km\u001b[31m')}`, 'us')).toBe('With tyres 3 km\uFFFD[31m')
  })

  it('shows a dash for what does not exist', () => {
    expect(plainText([figure(null, 'distance', 1)])).toBe('– km')
  })
})

describe('listing and joined', () => {
  it.each([
    [[], ''],
    [['a'], 'a'],
    [['a', 'b'], 'a and b'],
    [['a', name('b'), 'c'], 'a, b and c'],
  ])('%j', (items, want) => {
    expect(plainText(listing(items))).toBe(want)
  })

  it('puts words that meet into one piece', () => {
    expect(joined(['a', null, 'b', name('c')])).toEqual(['ab', { name: 'c' }])
  })

  it('shows signs of both ends', () => {
    expect(percentSpan(-1.24, 0.5)).toBe('−1.2 to +0.5 %')
  })
})
