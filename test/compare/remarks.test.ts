import { describe, expect, it } from 'vitest'
import { forbidding, type OutsideModel, remarksOn, wetness } from '../../src/compare/remarks.ts'

const plain: OutsideModel = {
  wet: false,
  phase: 'day',
  payloadKg: Number.NaN,
  tyrePressurePa: Number.NaN,
  accessoriesW: Number.NaN,
  standingShare: 0.05,
  startTime: 0,
  endTime: 3600,
}
const later = { ...plain, startTime: 10_000, endTime: 13_600 }

describe('wet or dry', () => {
  const nan = Number.NaN
  // Groups: WMO No. 306, code table 4678.
  it.each([
    { what: 'light rain', groups: ['-RA BR'], want: true },
    { what: 'freezing drizzle', groups: ['FZDZ'], want: true },
    { what: 'thunderstorm with rain', groups: ['+TSRA'], want: true },
    { what: 'showers in the vicinity only', groups: ['VCSH'], want: false },
    { what: 'mist', groups: ['BR'], want: false },
    { what: 'recent rain', groups: ['RERA'], want: true },
  ])('$what: $want', ({ groups, want }) => {
    expect(wetness(nan, nan, groups, true)).toBe(want)
  })

  it('a road reported wet is wet; where reports do not reach back far enough to show it dry, it is not known', () => {
    expect(wetness(1, 0, [], true)).toBe(true)
    expect(wetness(nan, nan, [], false)).toBeNull()
    expect(wetness(nan, 0, [], true)).toBe(false)
    expect(wetness(nan, 0, [], false)).toBeNull()
  })
})

describe('what the model does not carry', () => {
  it('says nothing of two like runs', () => {
    expect(remarksOn(plain, later)).toEqual([])
    expect(forbidding(plain, later)).toBeNull()
  })

  it('forbids wet against dry, either way round', () => {
    expect(forbidding({ ...plain, wet: true }, later)).toBe('wet-and-dry')
    expect(forbidding(plain, { ...later, wet: true })).toBe('wet-and-dry')
  })

  it.each([
    { what: 'night', change: { phase: 'night' as const }, want: { code: 'phase', a: 'day', b: 'night' } },
    {
      what: 'tyres',
      change: { tyrePressurePa: 3e5 },
      base: { tyrePressurePa: 2.2e5 },
      want: { code: 'tyre-pressure', a: 2.2e5, b: 3e5 },
    },
    { what: 'traffic', change: { standingShare: 0.3 }, want: { code: 'standing-share', a: 0.05, b: 0.3 } },
    { what: 'overlap', change: { startTime: 1800 }, want: { code: 'recordings-overlap' } },
  ])('remarks on $what', ({ change, base, want }) => {
    expect(remarksOn({ ...plain, ...base }, { ...later, ...change })).toEqual([want])
  })
})
