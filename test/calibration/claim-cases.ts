import { delivery, PULL_OF_LORRY, smallCar, type Vehicle } from '../simulator/index.ts'
import { ELECTRIC, electricCar, LORRY, lorry, NOTHING, SMALL_CAR, VAN } from './pair-cases.ts'
import type { ClaimCampaign } from './simulated-claims.ts'

/** A kind of campaign with fuel whose claims, and the pairs of its drives, are held against simulated truth. */
export interface ClaimCase {
  name: string
  /** Whether the experimenter states the vehicle. */
  stated: boolean
  /** Whether the pairs say something beside those of the cases of pairs. */
  pairs: boolean
  settings: Omit<ClaimCampaign, 'seed'>
}

const electricBicycle: Vehicle = {
  massKg: 108,
  dragAreaM2: 0.58,
  rollingResistance: 0.0065,
  powertrain: 'electric',
  idleW: 4,
  recovers: 0,
}
const BICYCLE = 'vehicle:\n  class: electric_bicycle\n  mass_kg: 106\n'

const NOTHING_CHANGED = [{ name: 'part', dragPct: 0 }]
const base = {
  shape: 'loop',
  lengthM: 80_000,
  runs: 6,
  vehicle: delivery,
  campaign: VAN,
  setups: NOTHING_CHANGED,
} as const
const oneWay = { ...base, shape: 'one-way' } as const
const FAR = [{ km: 40, intervalMin: 60 }]
const GUSTY = { stations: FAR, weather: { windScale: 1.9 } }
const WARMER = { warmerK: [0, 13] }
const READ = { tripComputer: true }
const bicycle = { ...base, lengthM: 20_000, vehicle: electricBicycle, road: { limitMps: 6.9 }, fillSd: 0.01 }

interface Beside {
  stated?: boolean
  pairs?: boolean
}
const kase = (
  name: string,
  settings: ClaimCase['settings'],
  { stated = true, pairs = true }: Beside = {},
): ClaimCase => ({
  name,
  stated,
  pairs,
  settings,
})

/** Runs of baseline and setups by turns, three days apart. Sizes are those of the simulator unless a case names another. */
export const CLAIM_CASES: readonly ClaimCase[] = [
  kase('loop, nothing changed', base),
  kase('loop, 13 K confounded', { ...base, ...WARMER }),
  kase('one-way, nothing changed', oneWay),
  kase('gusty loop', { ...base, ...GUSTY }),
  kase('gusty one-way', { ...oneWay, ...GUSTY }),
  kase('one-way sheltered to 0.25', { ...oneWay, road: { exposure: 0.25 } }),
  kase('mountain loop, wrong heights', { ...base, road: { gradeSd: 0.05 }, noise: 2 }),
  kase('lorry', { ...base, vehicle: lorry, pull: PULL_OF_LORRY, campaign: LORRY, fillSd: 0.5 }),
  kase(
    'lorry, nothing stated',
    { ...base, vehicle: lorry, pull: PULL_OF_LORRY, campaign: NOTHING, fillSd: 0.5 },
    { stated: false },
  ),
  kase('electric car', { ...base, vehicle: electricCar, campaign: ELECTRIC }),
  kase('electric bicycle', { ...bicycle, campaign: BICYCLE }),
  kase('electric bicycle, nothing stated', { ...bicycle, campaign: NOTHING }, { stated: false }),
  kase('one setup 3 % faster', { ...base, paces: [1, 1.03] }),
  kase('one setup 8 % faster', { ...base, paces: [1, 1.08] }),
  kase('all of one setup wet, unreported', { ...base, wet: [0, 1], precipitation: false }, { pairs: false }),
  kase(
    'all of one setup in damp air on dry roads, unreported',
    { ...base, damp: [0, 1], precipitation: false },
    { pairs: false },
  ),
  kase('10 km, six runs each', { ...base, lengthM: 10_000, runs: 12 }),
  kase('three nested setups', {
    ...base,
    runs: 9,
    setups: [
      { name: 'part', dragPct: -8 },
      { name: 'parts', dragPct: -16 },
    ],
  }),
  kase('one run each', { ...base, runs: 2 }),
  kase('eight runs each', { ...base, runs: 16 }),
  kase('eight runs each, 13 K confounded', { ...base, runs: 16, ...WARMER }),
  kase('less drag', { ...base, setups: [{ name: 'part', dragPct: -15 }] }),
  kase('small car, loop', { ...base, vehicle: smallCar, campaign: SMALL_CAR }),
  kase('fused: loop', { ...base, ...READ }, { pairs: false }),
  kase('fused: 13 K confounded', { ...base, ...READ, ...WARMER }, { pairs: false }),
  kase('fused: one-way', { ...oneWay, ...READ }, { pairs: false }),
  kase('fused: 10 km, six runs each', { ...base, ...READ, lengthM: 10_000, runs: 12 }, { pairs: false }),
  kase('fused: less drag', { ...base, ...READ, setups: [{ name: 'part', dragPct: -15 }] }, { pairs: false }),
]
