import type { SimulatedCampaign } from '../campaign/simulated-campaign.ts'
import { delivery, PULL_OF_LORRY, smallCar, type Vehicle } from '../simulator/index.ts'

/** A kind of campaign of unchanged drives whose pairs are held against simulated truth. */
export interface PairCase {
  name: string
  /** Whether the experimenter states the vehicle. */
  stated: boolean
  settings: Omit<SimulatedCampaign, 'seed'>
}

export const lorry: Vehicle = {
  massKg: 17_000,
  dragAreaM2: 5.8,
  rollingResistance: 0.0062,
  powertrain: 'diesel',
  idleW: 12_000,
  yawGain: 0.2,
  rollingFallPerK: 0.006,
}
/** Vans gain more drag in a crosswind than cars. */
const van: Vehicle = { ...delivery, yawGain: 0.12, rollingFallPerK: 0.009 }
export const electricCar: Vehicle = { ...smallCar, massKg: 1650, dragAreaM2: 0.62, powertrain: 'electric', idleW: 600 }

export const SMALL_CAR = 'vehicle:\n  class: small_car\n  mass_kg: 1300\n  powertrain: petrol\n'
export const VAN = 'vehicle:\n  class: van\n  mass_kg: 2350\n  drag_area_m2: 1.5\n  powertrain: diesel\n'
export const LORRY = 'vehicle:\n  class: truck\n  mass_kg: 17500\n  drag_area_m2: 5.6\n  powertrain: diesel\n'
export const ELECTRIC = 'vehicle:\n  class: car\n  mass_kg: 1700\n  drag_area_m2: 0.64\n  powertrain: electric\n'
export const NOTHING = 'title: a drive\n'

const base = { shape: 'loop', lengthM: 40_000, runs: 4, vehicle: smallCar, campaign: SMALL_CAR } as const
const oneWay = { ...base, shape: 'one-way' } as const
const FAR = [{ km: 40, intervalMin: 60 }]
const THREE = [
  { km: 12, intervalMin: 60 },
  { km: 30, intervalMin: 30 },
  { km: 45, intervalMin: 60 },
]
const WINDY = { windScale: 1.9 }
/** Alike over 100 km but for what an hour or less brings: half the differences of real stations 40 km apart, a third of those 65 km apart. */
const EVEN = { lasting: 0 }

const kase = (name: string, settings: PairCase['settings'], stated = true): PairCase => ({ name, stated, settings })

/** Sizes of the weather are those of the simulator unless a case names another. */
export const PAIR_CASES: readonly PairCase[] = [
  kase('loop', base),
  kase('one-way', oneWay),
  kase('there and back', { ...base, shape: 'there-and-back' }),
  kase('loop of 150 km', { ...base, lengthM: 150_000, runs: 3 }),
  kase('loop of 10 km', { ...base, lengthM: 10_000 }),
  kase('windy loop', { ...base, weather: WINDY }),
  kase('windy one-way', { ...oneWay, weather: WINDY }),
  kase('loop, station 40 km away', { ...base, stations: FAR }),
  kase('one-way, station 40 km away', { ...oneWay, stations: FAR }),
  kase('windy loop, station 40 km away', { ...base, stations: FAR, weather: WINDY }),
  kase('windy one-way, station 40 km away', { ...oneWay, stations: FAR, weather: WINDY }),
  kase('loop, even wind', { ...base, weather: EVEN }),
  kase('one-way, even wind', { ...oneWay, weather: EVEN }),
  kase('windy one-way, even wind', { ...oneWay, weather: { ...EVEN, ...WINDY } }),
  kase('one-way, three stations', { ...oneWay, stations: THREE }),
  kase('one-way, three stations, even wind', { ...oneWay, stations: THREE, weather: EVEN }),
  kase('one-way, sheltered to 0.25', { ...oneWay, road: { exposure: 0.25 } }),
  kase('loop, cold and warm days', { ...base, weather: { meanTemperatureC: 4 } }),
  kase('loop, a fix every 5 s', { ...base, sampleS: 5 }),
  kase('loop, one drive in two 6 % faster', { ...base, paces: [1, 1.06] }),
  kase('hilly loop', { ...base, road: { gradeSd: 0.035 } }),
  kase('van, stated', { ...base, vehicle: van, campaign: VAN }),
  kase('van, nothing stated', { ...base, vehicle: van, campaign: NOTHING }, false),
  kase('lorry, stated', { ...base, vehicle: lorry, pull: PULL_OF_LORRY, campaign: LORRY }),
  kase('lorry, nothing stated', { ...base, vehicle: lorry, pull: PULL_OF_LORRY, campaign: NOTHING }, false),
  kase('electric car, stated', { ...base, vehicle: electricCar, campaign: ELECTRIC }),
  kase('small car, nothing stated', { ...base, campaign: NOTHING }, false),
]
