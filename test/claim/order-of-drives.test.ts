import { describe, expect, it } from 'vitest'
import { claimsOf } from '../../src/claim/claims.ts'
import type { FuelRun } from '../../src/claim/types.ts'
import { claimSettings, emptyRow } from './synthetic-campaign.ts'

// That runs of both kinds alternate, so that a trend in time is not taken for an effect, is the reason for randomised run
// order and blocking in the design of experiments: NIST/SEMATECH e-Handbook of Statistical Methods, section 5.3 (from memory).

const SETUPS = { b: 'bare', s: 'skirts' }

const driven = (order: string): FuelRun[] =>
  [...order].map((kind, i) => ({
    id: `run-${i}`,
    route: 0,
    setup: SETUPS[kind as keyof typeof SETUPS],
    startTime: 1_746_000_000 + i * 86_400,
    endTime: 1_746_003_600 + i * 86_400,
    distanceM: 100_000,
    row: emptyRow({ line: i + 2, track: `run-${i}.gpx`, fuelLitres: 8 + 0.01 * i }),
    demandDraws: new Float64Array(400).fill(1000),
    nominalDemandJPerM: 1000,
    nominalDragJPerM: 500,
    leftOut: null,
  }))

const settings = claimSettings({ setups: { bare: [], skirts: ['skirts'] } })
const cautions = (order: string): string[] =>
  claimsOf(driven(order), ['road'], settings).claims[0].cautions.map(({ code }) => code)

describe('the order of drives', () => {
  it.each(['bbss', 'ssbb', 'bbbbssss'])('%s: a drift cannot be told from the change', (order) => {
    expect(cautions(order)).toContain('not-interleaved')
  })
  it.each(['bsbs', 'bssb', 'sbbs', 'bbsb', 'bbs'])('%s: nothing is said of the order', (order) => {
    expect(cautions(order)).not.toContain('not-interleaved')
  })
})
