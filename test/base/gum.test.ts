import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { mean, quantile, standardDeviation } from '../../src/base/statistics.ts'
import { studentCdf } from '../../src/base/student.ts'

const COUNT = 200_000
const normal = (name: string): Float64Array => drawsOf(name, COUNT, 1)
/** Mean 0, standard deviation 1. */
const rectangular = (name: string): Float64Array =>
  normal(name).map((z) => Math.sqrt(12) * (studentCdf(z, Number.POSITIVE_INFINITY) - 0.5))

/** Half the width of the interval that holds 95 %, and the standard deviation. */
function summed(parts: Float64Array[]): { sd: number; half95: number } {
  const sum = parts[0].map((_, k) => parts.reduce((total, part) => total + part[k], 0))
  return { sd: standardDeviation(sum), half95: (quantile(sum, 0.975) - quantile(sum, 0.025)) / 2 }
}

describe('draws by name propagate as JCGM 101 says', () => {
  const names = ['x1', 'x2', 'x3', 'x4']

  // JCGM 101:2008, 9.2, the additive model, from memory; ±0.02 is what 200,000 draws leave.
  it('9.2.2: four normal quantities', () => {
    const { sd, half95 } = summed(names.map(normal))
    expect(Math.abs(sd - 2)).toBeLessThan(0.01)
    expect(Math.abs(half95 - 3.92)).toBeLessThan(0.02)
  })

  it('9.2.3: four rectangular quantities', () => {
    const { sd, half95 } = summed(names.map(rectangular))
    expect(Math.abs(sd - 2)).toBeLessThan(0.01)
    expect(Math.abs(half95 - 3.88)).toBeLessThan(0.02)
  })

  it('9.2.4: three rectangular quantities and a large one: 17.0, where the plain law would give 19.9', () => {
    const { sd, half95 } = summed([...names.slice(0, 3).map(rectangular), rectangular('x4').map((x) => 10 * x)])
    expect(Math.abs(sd - 10.1)).toBeLessThan(0.06)
    expect(Math.abs(half95 - 17)).toBeLessThan(0.05)
  })

  it('a quotient: 0.1 V (0.001) over 15 mA (0.5) is 6.67 Ω (0.23)', () => {
    // The introductory example of the Python package GTC, pypi.org/project/GTC.
    const amperes = normal('I').map((z) => 0.015 + 0.0005 * z)
    const ohm = normal('V').map((z, k) => (0.1 + 0.001 * z) / amperes[k])
    expect(mean(ohm)).toBeCloseTo(6.67, 1)
    expect(standardDeviation(ohm)).toBeCloseTo(0.23, 2)
  })
})
