import { describe, expect, it } from 'vitest'
import { drawsOf } from '../../src/base/draws.ts'
import { mean, quantile, standardDeviation } from '../../src/base/statistics.ts'
import { studentCdf, studentQuantile } from '../../src/base/student.ts'
import { combinedUncertainty } from '../../src/base/welch-satterthwaite.ts'

const component = ([standardUncertainty, degreesOfFreedom]: number[]) => ({ standardUncertainty, degreesOfFreedom })

describe('JCGM 100 (GUM)', () => {
  // Examples H.1 and G.4.1, from memory; recomputed from their inputs. The guide prints 32 nm, 16 (truncated), 1.03 %, 19.0.
  it.each([
    {
      what: 'H.1 end gauge, nm',
      inputs: [
        [25, 18],
        [9.7, 25.6],
        [2.9, 50],
        [16.6, 2],
      ],
      wantU: 31.67,
      withinU: 0.005,
      wantNu: 16.76,
      withinNu: 0.06,
    },
    {
      what: 'H.1 difference of the end gauges, nm: 25.6 is printed, from inputs that are not rounded',
      inputs: [
        [5.8, 24],
        [3.9, 5],
        [6.7, 8],
      ],
      wantU: 9.68,
      withinU: 0.006,
      wantNu: 25.4,
      withinNu: 0.25,
    },
    {
      what: 'G.4.1, percent',
      inputs: [
        [0.25, 9],
        [0.57, 4],
        [0.82, 14],
      ],
      wantU: 1.03,
      withinU: 0.005,
      wantNu: 18.9987,
      withinNu: 5e-5,
    },
  ])('$what', ({ inputs, wantU, withinU, wantNu, withinNu }) => {
    const combined = combinedUncertainty(inputs.map(component))
    expect(Math.abs(combined.standardUncertainty - wantU)).toBeLessThan(withinU)
    expect(Math.abs(combined.degreesOfFreedom - wantNu)).toBeLessThan(withinNu)
  })

  it('G.4.1: the expanded uncertainty is 2.2 %', () => {
    const combined = combinedUncertainty(
      [
        [0.25, 9],
        [0.57, 4],
        [0.82, 14],
      ].map(component),
    )
    const factor = studentQuantile(0.975, combined.degreesOfFreedom)
    expect(factor).toBeCloseTo(2.09, 2)
    // 2.155 before it is rounded up in the guide.
    expect(factor * combined.standardUncertainty).toBeCloseTo(2.155, 2)
  })

  it('H.1: the expanded uncertainty at 99 % is 93 nm', () => {
    const { standardUncertainty, degreesOfFreedom } = combinedUncertainty(
      [
        [25, 18],
        [9.7, 25.6],
        [2.9, 50],
        [16.6, 2],
      ].map(component),
    )
    const factor = studentQuantile(0.995, Math.floor(degreesOfFreedom))
    expect(factor).toBeCloseTo(2.92, 2)
    // As printed, from 32 nm.
    expect(Math.round(factor * Math.round(standardUncertainty))).toBe(93)
  })

  it('what is known without estimating has endless degrees of freedom', () => {
    const known = combinedUncertainty(
      [
        [3, Number.POSITIVE_INFINITY],
        [4, Number.POSITIVE_INFINITY],
      ].map(component),
    )
    expect(known).toEqual({ standardUncertainty: 5, degreesOfFreedom: Number.POSITIVE_INFINITY })
    expect(combinedUncertainty([component([0, 5])]).degreesOfFreedom).toBe(Number.POSITIVE_INFINITY)
    expect(combinedUncertainty([component([Number.NaN, 5])]).standardUncertainty).toBeNaN()
  })
})

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
