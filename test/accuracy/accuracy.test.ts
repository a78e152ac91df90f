import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { comparisons } from './all.ts'
import { accuracyPage, largest } from './comparison.ts'

/** What must be compared, with so many cases: whoever drops one has to say so here. */
const EXPECTED: Record<string, number> = {
  'density.cipm': 11,
  'density.ashrae': 132,
  'vapour-pressure.iapws': 7,
  'vapour-pressure.ashrae': 12,
  'humidity.ashrae': 36,
  'dew-point.ashrae': 21,
  'pressure.standard': 7,
  'pressure.altimeter': 6,
  'wind.headwind': 3,
  'wind.crosswind': 4,
  'wind.profile': 15,
  'sun.altitude': 239,
  'sun.azimuth': 239,
  'distance.step': 224,
  'course.step': 224,
  'distance.cycle': 3,
  'speed.mean': 3,
  'speed.top': 3,
  'elevation.gain': 4,
  'demand.level': 5,
  'demand.coast-down': 4,
  'demand.apparent-wind': 5,
  'demand.rolling-temperature': 5,
  'fuel.volume': 25,
  'mean.strd': 2,
  'standard-deviation.strd': 2,
  'quantile.order': 18,
  'student.table': 21,
  'student.scipy': 4,
  'noncentral-t.scipy': 8,
  'normal.table': 3,
  'chi-square.table': 6,
  'power.r': 5,
  'pooling.metafor': 3,
}

it('no comparison and no case was dropped', () => {
  expect(Object.fromEntries(comparisons.map(({ key, deviations }) => [key, deviations.length]))).toEqual(EXPECTED)
})

describe('every quantity is as near its reference as it should be', () => {
  it.each(comparisons)('$key', (comparison) => {
    expect(comparison.deviations.every(Number.isFinite)).toBe(true)
    expect(largest(comparison)).toBeLessThanOrEqual(comparison.limit)
  })
})

it('docs/accuracy.md says what comes out: `npm run accuracy` writes it', () => {
  const page = readFileSync(new URL('../../docs/accuracy.md', import.meta.url), 'utf8')
  expect(page).toBe(accuracyPage(comparisons))
})
