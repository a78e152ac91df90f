import { expect, it } from 'vitest'
import { plainText } from '../../../src/base/sentence.ts'
import { evidenceWords } from '../../../src/report/words/claims/evidence.ts'
import { claim } from '../claims-fixture.ts'

it.each([
  ['l', 'pump'],
  ['kg', 'scale'],
  ['kWh', 'charger'],
] as const)('an amount in %s was read at the %s', (unit, way) => {
  const { evidence } = claim()
  const told = evidenceWords({ evidence, measured_per_100_km: { unit, setup: 7.4, baseline: 7.1 } }).map((sentence) =>
    plainText(sentence),
  )
  expect(told.join(' ')).toContain(`By the ${way}, consumption changed`)
  expect(told.join(' ').includes('pump')).toBe(way === 'pump')
})
