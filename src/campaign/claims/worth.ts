import type { Claim } from '../../claim/claim.ts'
import type { ClaimSettings } from '../../claim/types.ts'
import { CO2_KG_PER_LITRE, worthOf } from '../../claim/worth.ts'
import type { ClaimFacts } from '../../report/words/claims/claim-reasons.ts'

/** What a year of driving and the price of its fuel are. */
export interface WorthSettings {
  yearlyDistanceKm: number
  /** Of a litre (or kWh), in the user's currency; null: no money. */
  pricePerUnit: number | null
}

/** What a claim would be worth in a year driven as its road; null where it has no adjusted change. */
export function worthOfClaim(
  claim: Claim,
  powertrain: ClaimSettings['powertrain'],
  { yearlyDistanceKm, pricePerUnit }: WorthSettings,
): ClaimFacts['worth'] {
  const change = claim.adjusted?.consumptionChangePct
  const measured = claim.measuredPer100Km
  if (!change || !measured) return null
  const { unit } = measured
  const worth = worthOf({
    consumptionChangePct: change,
    baselinePerM: measured.baseline / 1e5,
    yearlyDistanceM: yearlyDistanceKm * 1000,
    pricePerUnit,
    co2KgPerUnit: unit === 'l' ? CO2_KG_PER_LITRE[powertrain === 'diesel' ? 'diesel' : 'petrol'] : null,
  })
  return {
    yearly_distance_km: yearlyDistanceKm,
    fuel_unit: unit,
    fuel: worth.saved,
    money: worth.money,
    co2_kg: worth.co2Kg,
  }
}
