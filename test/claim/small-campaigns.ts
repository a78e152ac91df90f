import { type ClaimsResult, claimsOf } from '../../src/claim/claims.ts'
import type { ClaimSettings, FuelRun } from '../../src/claim/types.ts'
import { claimSettings, emptyRow, type SyntheticSettings, syntheticCampaign } from './synthetic-campaign.ts'

export const pair = (
  over: Partial<SyntheticSettings> = {},
  effectPct = -6,
  runs = 3,
): { runs: FuelRun[]; settings: ClaimSettings } =>
  syntheticCampaign({
    seed: 'claims',
    setups: [
      { name: 'bare', effectPct: 0, runs },
      { name: 'skirts', effectPct, runs },
    ],
    ...over,
  })

export const claimed = ({ runs, settings }: ReturnType<typeof pair>, over: Partial<ClaimSettings> = {}): ClaimsResult =>
  claimsOf(runs, ['the loop', 'the pass'], { ...settings, ...over })

/** A made-up campaign in which every reading is exactly what is stated. */
export function exact(consumptions: { setup: string; litres: number; demand?: number; day: number }[]): FuelRun[] {
  return consumptions.map(({ setup, litres, demand = 1000, day }, i) => ({
    id: `run-${i}`,
    route: 0,
    setup,
    startTime: 1_746_000_000 + day * 86_400,
    endTime: 1_746_007_200 + day * 86_400,
    distanceM: 160_000,
    row: emptyRow({ line: i + 2, track: `run-${i}.gpx`, setup, fuelLitres: litres }),
    demandDraws: new Float64Array(400).fill(demand),
    nominalDemandJPerM: demand,
    nominalDragJPerM: demand / 2,
    leftOut: null,
  }))
}

export const plain = claimSettings({ setups: { bare: [], skirts: ['skirts'] }, fillRepeatabilityLitres: 0.02 })
