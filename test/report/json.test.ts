import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { reportSchema } from '../../src/report/contract.ts'
import { jsonSchema, jsonSchemaText, reportJson } from '../../src/report/json.ts'
import { rounded } from '../../src/report/round.ts'
import { fixture } from './fixture.ts'

/** The object with all its keys in the opposite order, at every depth. */
function turnedRound(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(turnedRound)
  if (typeof value !== 'object' || value === null) return value
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, inner]) => [key, turnedRound(inner)]),
  )
}

describe('report.json', () => {
  it('follows the contract, and its own JSON Schema read back', () => {
    expect(reportSchema.safeParse(fixture).error).toBeUndefined()
    const parsed: unknown = JSON.parse(reportJson(fixture))
    expect(reportSchema.safeParse(parsed).error).toBeUndefined()
    const published = z.fromJSONSchema(JSON.parse(jsonSchemaText()))
    expect(published.safeParse(parsed).error).toBeUndefined()
    expect(published.safeParse({ ...fixture, schema: 'other/1' }).success).toBe(false)
    expect(published.safeParse({ ...fixture, extra: 1 }).success).toBe(false)
    expect(published.safeParse({ ...fixture, runs: [{ id: 'x' }] }).success).toBe(false)
  })

  it('has the same bytes whatever the order of keys, two spaces, a line end', () => {
    const text = reportJson(fixture)
    expect(reportJson(turnedRound(fixture) as typeof fixture)).toBe(text)
    expect(text.startsWith('{\n  "schema": "ceteris-report/2",\n  "version"')).toBe(true)
    expect(text.endsWith('}\n')).toBe(true)
  })

  it('holds numbers to six significant digits', () => {
    const text = reportJson(fixture)
    expect(text).toContain('"mean": 4.12346,')
    expect(text).toContain('"distance_m": 61234.6,')
    expect(text).toContain('"route": -0.0765432')
    expect(text).not.toMatch(/\d{5,}\.\d{3,}/)
  })

  it('refuses what JSON cannot hold: that is a fault of the program', () => {
    const broken = structuredClone(fixture)
    broken.runs[0].distance_m = Number.NaN
    expect(() => reportJson(broken)).toThrow('a report cannot hold the number NaN')
    expect(() => reportJson({ ...fixture, extra: 1 } as typeof fixture)).toThrow('extra')
  })
})

describe('the JSON Schema', () => {
  it('is of draft 2020-12 and closed: no key beyond the contract', () => {
    expect(jsonSchema()).toMatchObject({
      $schema: 'https://json-schema.org/draft/2020-12/schema',
      additionalProperties: false,
    })
  })
})

describe('rounding', () => {
  it.each([
    [0.1 + 0.2, 0.3],
    [-0, 0],
    [1234567, 1234567],
    [1234567.89, 1234570],
    [-1e-17, 0],
    [0.000123456789, 0.000123457],
  ])('%d becomes %d', (value, want) => {
    expect(rounded(value)).toBe(want)
  })
})
