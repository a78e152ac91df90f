import { describe, expect, it } from 'vitest'
import {
  holdAgainst,
  isProcedureId,
  type ProcedureId,
  procedures,
  type RunConditions,
} from '../../src/compare/limits.ts'
import type { ReportRun } from '../../src/report/contract.ts'
import { reportSchema } from '../../src/report/contract.ts'
import { limitLine } from '../../src/report/words/claims/limits.ts'

const ids = Object.keys(procedures) as ProcedureId[]

/** Well within every procedure, wind measured at the height of each. */
const fair: RunConditions = {
  meanWindMps: 1,
  gustMps: 2,
  meanCrosswindMps: -0.5,
  windHeightM: 0.7,
  temperatureK: 296.15,
  densityKgM3: 1.19,
  precipitationMm: 0,
  roadWet: 0,
  highestElevationM: 200,
}

function okOf(id: ProcedureId, quantity: string, conditions: RunConditions) {
  const results = holdAgainst(id, conditions).filter((line) => line.quantity === quantity)
  expect(results).toHaveLength(1)
  return results[0].ok
}

// The figures are those of the procedures' sources, in their own units; just inside and just outside.
const mph = 0.44704
const fahrenheit = (f: number) => (f - 32) / 1.8 + 273.15
const edges: { id: ProcedureId; quantity: string; inside: RunConditions; outside: RunConditions }[] = [
  {
    id: 'sae-j1321-2012',
    quantity: 'mean wind',
    inside: { meanWindMps: 12 * mph },
    outside: { meanWindMps: 12.01 * mph },
  },
  { id: 'sae-j1321-2012', quantity: 'gusts', inside: { gustMps: 14.99 * mph }, outside: { gustMps: 15 * mph } },
  {
    id: 'sae-j1321-2012',
    quantity: 'temperature',
    inside: { temperatureK: fahrenheit(40.1) },
    outside: { temperatureK: fahrenheit(39.9) },
  },
  {
    id: 'sae-j1321-2012',
    quantity: 'temperature',
    inside: { temperatureK: fahrenheit(99.9) },
    outside: { temperatureK: fahrenheit(100.1) },
  },
  { id: 'epa-j1321-interim-1986', quantity: 'gusts', inside: { gustMps: 15 * mph }, outside: { gustMps: 15.01 * mph } },
  {
    id: 'epa-j1321-interim-1986',
    quantity: 'temperature',
    inside: { temperatureK: fahrenheit(68.1) },
    outside: { temperatureK: fahrenheit(67.9) },
  },
  {
    id: 'epa-j1321-interim-1986',
    quantity: 'temperature',
    inside: { temperatureK: fahrenheit(85.9) },
    outside: { temperatureK: fahrenheit(86.1) },
  },
  {
    id: 'epa-j1321-interim-1986',
    quantity: 'altitude',
    inside: { highestElevationM: -10 },
    outside: { highestElevationM: 4001 * 0.3048 },
  },
  {
    id: 'epa-j1321-interim-1986',
    quantity: 'precipitation',
    inside: { precipitationMm: 0 },
    outside: { precipitationMm: 0.2 },
  },
  { id: 'epa-j1321-interim-1986', quantity: 'road surface', inside: { roadWet: 0 }, outside: { roadWet: 1 } },
  {
    id: 'sae-j1263-2010',
    quantity: 'mean wind',
    inside: { meanWindMps: 15.99 / 3.6 },
    outside: { meanWindMps: 16.01 / 3.6 },
  },
  {
    id: 'sae-j1263-2010',
    quantity: 'mean crosswind',
    inside: { meanCrosswindMps: -7.99 / 3.6 },
    outside: { meanCrosswindMps: -8.01 / 3.6 },
  },
  {
    id: 'sae-j1263-2010',
    quantity: 'temperature',
    inside: { temperatureK: 278.2 },
    outside: { temperatureK: 308.2 },
  },
  {
    id: 'cfr-1066-310',
    quantity: 'mean wind (recommended)',
    inside: { meanWindMps: 6 * mph },
    outside: { meanWindMps: 6.01 * mph },
  },
  {
    id: 'un-r83-road',
    quantity: 'mean wind',
    inside: { meanWindMps: 3, windHeightM: 0.7 },
    outside: { meanWindMps: 3.01, windHeightM: 0.7 },
  },
  {
    id: 'un-r83-road',
    quantity: 'gusts',
    inside: { gustMps: 4.99, windHeightM: 0.7 },
    outside: { gustMps: 5, windHeightM: 0.7 },
  },
  {
    id: 'un-r83-road',
    quantity: 'mean crosswind',
    inside: { meanCrosswindMps: 1.99, windHeightM: 0.7 },
    outside: { meanCrosswindMps: -2, windHeightM: 0.7 },
  },
  // 1.099 to 1.278 kg/m³: 7.5 % about the density at 100 kPa and 293.2 K; 0.002 either way.
  { id: 'un-r83-road', quantity: 'air density', inside: { densityKgM3: 1.101 }, outside: { densityKgM3: 1.097 } },
  { id: 'un-r83-road', quantity: 'air density', inside: { densityKgM3: 1.276 }, outside: { densityKgM3: 1.28 } },
]

describe('holdAgainst', () => {
  it.each(edges)('tells inside from outside: $id, $quantity', ({ id, quantity, inside, outside }) => {
    expect(okOf(id, quantity, inside)).toBe(true)
    expect(okOf(id, quantity, outside)).toBe(false)
  })

  it.each(ids)('answers every line of %s for fair conditions and for none', (id) => {
    const results: ReportRun['limits'] = holdAgainst(id, fair).map(limitLine)
    expect(results).toHaveLength(procedures[id].lines.length)
    for (const result of results) expect(result).toMatchObject({ procedure: id, ok: true, value: expect.any(String) })
    for (const result of holdAgainst(id, {})) expect(result).toMatchObject({ reading: null, ok: null })
    const nan = Object.fromEntries(Object.keys(fair).map((key) => [key, Number.NaN]))
    expect(holdAgainst(id, nan)).toEqual(holdAgainst(id, {}))
  })

  it("fits the report's contract", () => {
    const limits = reportSchema.shape.runs.element.shape.limits
    for (const id of ids) expect(limits.safeParse(holdAgainst(id, fair).map(limitLine)).success).toBe(true)
  })

  it('says the value in words', () => {
    const wet = holdAgainst('epa-j1321-interim-1986', { ...fair, roadWet: 1, windHeightM: 10 })
    expect(wet.map((line) => limitLine(line).value)).toEqual([
      '1.00 m/s at 10 m',
      '2.00 m/s at 10 m',
      '23.0 °C',
      '200 m',
      '0.0 mm',
      'wet',
    ])
  })
})

describe('wind measured at another height than the procedure', () => {
  // Open terrain: the wind at 0.7 m is 0.5422 of that at 10 m (Davenport class, z0 0.03 m).
  const open = { windHeightM: 10, roughnessM: 0.03 }

  it('is brought to it where the roughness is known', () => {
    expect(okOf('un-r83-road', 'mean wind', { ...open, meanWindMps: 3 / 0.543 })).toBe(true)
    expect(okOf('un-r83-road', 'mean wind', { ...open, meanWindMps: 3 / 0.5415 })).toBe(false)
    expect(okOf('un-r83-road', 'mean crosswind', { ...open, meanCrosswindMps: -2 / 0.543 })).toBe(true)
    const [mean] = holdAgainst('un-r83-road', { ...open, meanWindMps: 4 })
    expect(limitLine(mean).value).toBe('2.17 m/s at 0.7 m, from 4.00 m/s at 10 m')
  })

  it('is within the limit for sure only if it is so higher up', () => {
    expect(okOf('un-r83-road', 'mean wind', { windHeightM: 10, meanWindMps: 2.9 })).toBe(true)
    expect(okOf('un-r83-road', 'mean wind', { windHeightM: 10, meanWindMps: 3.1 })).toBe(null)
    expect(okOf('un-r83-road', 'gusts', { ...open, gustMps: 4.9 })).toBe(true)
    expect(okOf('un-r83-road', 'gusts', { ...open, gustMps: 9 })).toBe(null)
  })

  it('is beyond the limit for sure only if it is so lower down', () => {
    expect(okOf('un-r83-road', 'mean wind', { windHeightM: 0.5, meanWindMps: 3.1 })).toBe(false)
    expect(okOf('un-r83-road', 'mean wind', { windHeightM: 0.5, meanWindMps: 2.9 })).toBe(null)
  })

  it('stays open where the height or the profile is not known', () => {
    expect(okOf('un-r83-road', 'mean wind', { meanWindMps: 1 })).toBe(null)
    expect(okOf('un-r83-road', 'mean wind', { windHeightM: 10, roughnessM: 1, meanWindMps: 6 })).toBe(null)
  })
})

describe('procedures', () => {
  it('are known by their ids alone', () => {
    expect(ids.every(isProcedureId)).toBe(true)
    expect(isProcedureId('gtr-15')).toBe(false)
    expect(isProcedureId('toString')).toBe(false)
  })

  it.each(ids)('%s names its source and has limits on every line', (id) => {
    expect(procedures[id].source.length).toBeGreaterThan(10)
    for (const { atLeast, atMost, below, limit } of procedures[id].lines) {
      expect([atLeast, atMost, below].some((figure) => figure !== undefined)).toBe(true)
      expect(limit).not.toBe('')
    }
  })
})
