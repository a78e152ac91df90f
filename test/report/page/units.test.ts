import { describe, expect, it } from 'vitest'
import { inSystem, type Quantity, type System } from '../../../src/base/quantities.ts'
import { written } from '../../../src/report/page/script/script-values.ts'

const SP811 = 'NIST SP 811 (2008), appendix B'

/** As the page shows it, in the units' own decimals. */
const rows: { value: number; quantity: Quantity; decimals: number; system: System; want: string; source: string }[] = [
  { value: 100 / 3.6, quantity: 'speed', decimals: 1, system: 'si', want: '100.0', source: 'the hour has 3600 s' },
  {
    value: 100 / 3.6,
    quantity: 'speed',
    decimals: 1,
    system: 'us',
    want: '62.1',
    source: `${SP811}: 1 mi = 1.609344 km`,
  },
  {
    value: 10,
    quantity: 'wind',
    decimals: 1,
    system: 'imperial',
    want: '22.4',
    source: `${SP811}: 1 mi/h = 0.44704 m/s`,
  },
  {
    value: 42195,
    quantity: 'distance',
    decimals: 2,
    system: 'us',
    want: '26.22',
    source: 'length of the marathon, 26 mi 385 yd',
  },
  {
    value: 8848.86,
    quantity: 'height',
    decimals: 0,
    system: 'us',
    want: '29032',
    source: 'height of Everest as published in 2020: 8,848.86 m, 29,031.7 ft',
  },
  {
    value: 20,
    quantity: 'temperature',
    decimals: 1,
    system: 'us',
    want: '68.0',
    source: `${SP811}: t/°F = 1.8 t/°C + 32`,
  },
  { value: -40, quantity: 'temperature', decimals: 1, system: 'us', want: '−40.0', source: 'where both scales meet' },
  {
    value: 20,
    quantity: 'temperature',
    decimals: 1,
    system: 'imperial',
    want: '20.0',
    source: 'British forecasts are in °C',
  },
  {
    value: 1013.25,
    quantity: 'pressure',
    decimals: 1,
    system: 'us',
    want: '29.92',
    source: 'ICAO standard atmosphere: 29.92 inHg',
  },
  {
    value: 1.225,
    quantity: 'density',
    decimals: 3,
    system: 'us',
    want: '0.0765',
    source: 'standard atmosphere at sea level: 0.076474 lb/ft³',
  },
  { value: 25.4, quantity: 'rain', decimals: 1, system: 'us', want: '1.00', source: `${SP811}: 1 in = 25.4 mm` },
  {
    value: 7.84049,
    quantity: 'litres',
    decimals: 2,
    system: 'us',
    want: '3.33',
    source: '30 mi/gal(US) is 7.84 l/100 km: 235.2146 over it',
  },
  {
    value: 7,
    quantity: 'litres',
    decimals: 2,
    system: 'imperial',
    want: '2.48',
    source: '282.481 over 7 is 40.35 mi/gal, 2.478 gal/100 mi',
  },
  { value: 540, quantity: 'demand', decimals: 0, system: 'us', want: '24.1', source: '15 kWh/100 km times 1.609344' },
]

describe('units', () => {
  it.each(rows)('$value as $quantity in $system is $want', ({ value, quantity, decimals, system, want }) => {
    expect(inSystem(value, quantity, decimals, system)).toBe(want)
  })

  it('leaves the zero point out of differences and shows signs where asked', () => {
    expect(inSystem(10, 'temperature', 1, 'us', { difference: true })).toBe('18.0')
    expect(inSystem(0.5, 'wind', 1, 'si', { sign: true })).toBe('+0.5')
    expect(inSystem(-0.01, 'wind', 1, 'si', { sign: true })).toBe('0.0')
    expect(inSystem(null, 'wind', 1)).toBe('–')
    expect(inSystem(Number.NaN, 'wind', 1)).toBe('–')
  })

  it('are written by the page’s script as they are on paper', () => {
    for (const { value, quantity, decimals, system } of rows) {
      expect(written(value, `${quantity} ${decimals} sign`, system)).toBe(
        inSystem(value, quantity, decimals, system, { sign: true }),
      )
    }
  })
})
