import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { intervalsOfRatio, ratioChange } from '../../../src/claim/control/ratio-change.ts'
import { publishedCases } from '../../campaign/published-cases.ts'

const ratios = (pairs: readonly (readonly [number, number])[]): number[] =>
  pairs.map(([test, control]) => test / control)

describe('ratioChange', () => {
  // test/data/control-vehicle/SOURCE.md: worked out by the testers after SAE J1321. Student's t is right to 1e-7 of itself.
  it.each(publishedCases())('gives the published share saved and half-width of $name', (published) => {
    const change = ratioChange(ratios(published.baseline), ratios(published.test))
    expect(change?.saved).toBeCloseTo(published.saved, 9)
    expect(change?.halfWidth).toBeCloseTo(published.halfWidth, 9)
  })

  it('holds all six published cases', () => {
    const lines = readFileSync(new URL('../../data/control-vehicle/published.csv', import.meta.url), 'utf8')
    expect(publishedCases()).toHaveLength(lines.trim().split('\n').length - 1)
  })

  it('says nothing of one pair each', () => {
    expect(ratioChange([1.02], [0.99])).toBeNull()
  })

  it('foretells what one more pair of each would leave, and says what the doubt comes from', () => {
    const [base, test] = [
      [1, 1.01, 0.99],
      [0.95, 0.96, 0.94],
    ]
    const alone = ratioChange(base, test)!
    // Student's t at 97.5 %: 2.776 with 4 degrees of freedom, 2.447 with 6 (any table).
    expect(alone.halfWidthWithMore / alone.halfWidth).toBeCloseTo(
      (2.447 * Math.sqrt(1 / 4 + 1 / 4)) / (2.776 * Math.sqrt(1 / 3 + 1 / 3)),
      3,
    )
    expect(alone.shares).toEqual({ repeatability: 1, conditions: 0 })
    // Each side scatters by 0.01: the difference of two means of three has 0.01·√(2/3), as much as the doubt here.
    expect(ratioChange(base, test, 0.01 * Math.sqrt(2 / 3))!.shares.conditions).toBeCloseTo(0.5, 9)
  })

  it('knows that consumption and distance per fuel belong together', () => {
    // Identity: saving a fifth of the fuel is a quarter more distance for the same fuel.
    const { consumptionChangePct, distancePerFuelChangePct } = intervalsOfRatio({ saved: 0.2, halfWidth: 0 })
    expect(consumptionChangePct.estimate).toBeCloseTo(-20, 9)
    expect(distancePerFuelChangePct.estimate).toBeCloseTo(25, 9)
  })
})
