import { expect, it } from 'vitest'
import { plainText } from '../../../src/base/sentence.ts'
import { conditionsWords } from '../../../src/report/words/drives/conditions.ts'
import { run } from '../fixture.ts'

it('the conditions of a drive are one line, in the units asked for', () => {
  const drive = run('a', 8, { wind: { headwind_mps: -0.4 } })
  expect(plainText(conditionsWords(drive))).toBe(
    '14 °C, air 1.220 kg/m³, wind 3.1 m/s from 235° (mean tailwind 0.4 m/s at the vehicle), dry road, 71 km/h while moving',
  )
  // 1 mi/h = 0.44704 m/s and 0 °C = 32 °F by definition (NIST SP 811, appendix B).
  expect(plainText(conditionsWords(drive), 'us')).toMatch(/^58 °F, .* wind 6\.9 mph from .*, 44 mph while moving$/)
})

it('says what is not known', () => {
  const unknown = { temperature_c: null, density_kgm3: null, road_wet: null }
  const drive = run('a', 8, { air: unknown, wind: { speed_mps: null } })
  expect(plainText(conditionsWords(drive))).toBe('wind not known, 71 km/h while moving')
})
