import { expect, it } from 'vitest'
import { claimed, pair } from './small-campaigns.ts'

// Common practice, no source: fuel of two days differs by 0.7 % of its energy a litre, electric energy by nothing.
const BATCH = 0.007

it('the energy that a hybrid logs carries no doubt about the fuel of the day, its trip computer does', () => {
  const campaign = pair({}, -6)
  for (const run of campaign.runs) {
    const per100Km = (1e5 * run.row.fuelLitres) / run.distanceM
    run.row.tripComputerLitresPer100Km = per100Km
    run.logged = { fuelLitres: Number.NaN, energyKwh: (per100Km * run.distanceM) / 1e5 }
  }
  const [claim] = claimed(campaign, { powertrain: 'hybrid' }).claims
  const of = (kind: string) => claim.evidence!.estimates.find((estimate) => estimate.kind === kind)!
  const days = new Set(campaign.runs.map(({ startTime }) => Math.floor(startTime / 86_400)))
  expect(days.size).toBe(campaign.runs.length)
  // Three drives of each setup, each on a day of its own; both ways read to 2 %.
  const ofBatches = of('trip computer').logSd ** 2 - of('logged energy').logSd ** 2
  expect(Math.sqrt(ofBatches / (2 / 3))).toBeGreaterThan(0.8 * BATCH)
  expect(Math.sqrt(ofBatches / (2 / 3))).toBeLessThan(1.2 * BATCH)
})
