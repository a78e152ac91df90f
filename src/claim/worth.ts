import { hypotenuse } from '../base/arithmetic.ts'
import { LITRES_PER_US_GALLON } from '../base/units.ts'
import type { LiquidFuel } from './fuel/volume.ts'
import type { Interval95 } from './types.ts'

/**
 * Carbon dioxide from burning a litre, kg: what leaves the exhaust, not what making the fuel took.
 * @source US EPA, 8887 g per US gallon of gasoline and 10180 g of diesel (75 FR 25324, 2010; 40 CFR 600, from memory)
 */
export const CO2_KG_PER_LITRE: Record<LiquidFuel, number> = {
  petrol: 8.887 / LITRES_PER_US_GALLON,
  diesel: 10.18 / LITRES_PER_US_GALLON,
}

export interface WorthInput {
  /** Change of consumption by the claim, percent, negative for a saving. */
  consumptionChangePct: Interval95
  /** Of the baseline on the road of the claim, litres (or kWh) per metre. */
  baselinePerM: number
  /** Its relative standard deviation; 0 where left out. The claim's own errors are not in it. */
  baselineRelativeSd?: number
  yearlyDistanceM: number
  /** Of a litre (or kWh), in the currency of the user; null where unknown. */
  pricePerUnit: number | null
  /** kg of CO2 for a litre (or kWh); null where unknown, as for electricity from an unknown source. */
  co2KgPerUnit: number | null
}

/** What is saved in a year; negative where more is used. `low95` is the smallest saving. */
export interface Worth {
  /** Litres (or kWh) that the baseline would use in that year. */
  baselineUse: number
  /** Litres, or kWh. */
  saved: Interval95
  money: Interval95 | null
  co2Kg: Interval95 | null
}

/**
 * Fuel, money and CO2 saved over a year's distance, if the whole year were driven as the road of the claim.
 * @returns intervals that hold the claim's uncertainty and that of the baseline's consumption, added as independent
 */
export function worthOf(input: WorthInput): Worth {
  const { consumptionChangePct, baselinePerM, baselineRelativeSd = 0, yearlyDistanceM } = input
  const baselineUse = baselinePerM * yearlyDistanceM
  const share = -consumptionChangePct.estimate / 100
  const byBaseline = 1.959964 * baselineRelativeSd * share
  const least = share - hypotenuse(share + consumptionChangePct.high95 / 100, byBaseline)
  const most = share + hypotenuse(-consumptionChangePct.low95 / 100 - share, byBaseline)
  const times = (factor: number): Interval95 => ({
    estimate: factor * share,
    low95: factor * least,
    high95: factor * most,
  })
  return {
    baselineUse,
    saved: times(baselineUse),
    money: input.pricePerUnit === null ? null : times(baselineUse * input.pricePerUnit),
    co2Kg: input.co2KgPerUnit === null ? null : times(baselineUse * input.co2KgPerUnit),
  }
}
