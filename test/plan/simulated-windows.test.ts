import { beforeAll, describe, expect, it } from 'vitest'
import { delivery, type RoadShape, smallCar } from '../simulator/index.ts'
import { binomialAtLeast, binomialAtMost } from './binomial.ts'
import { isWithin, type PickedSlot, pickedSlots, type World } from './simulated-forecast.ts'

/** CETERIS_WINDOWS sets another number of worlds, for a long look; CETERIS_WINDOWS_SEED other worlds. */
const WORLDS = Number(process.env.CETERIS_WINDOWS ?? 36)
/** No figure of the tool was ever chosen by looking at these worlds. */
const SEED = process.env.CETERIS_WINDOWS_SEED ?? 'held-out/2026-11'

/** The experimenter states the class, and a mass that is a little off. */
const VEHICLES: Pick<World, 'vehicle' | 'campaign'>[] = [
  { vehicle: smallCar, campaign: 'vehicle:\n  class: small_car\n  powertrain: petrol\n' },
  { vehicle: delivery, campaign: 'vehicle:\n  class: van\n  powertrain: diesel\n' },
  {
    vehicle: { ...smallCar, massKg: 1500, powertrain: 'electric', idleW: 500 },
    campaign: 'vehicle:\n  class: small_car\n  mass_kg: 1480\n  powertrain: electric\n',
  },
]
const SHAPES: RoadShape[] = ['loop', 'one-way', 'there-and-back']
/** Every fourth forecast has steps of 6 h. A calm spell, the simulator's usual wind, and a windy one. */
const WINDS = [0.4, 1, 1.7]

const world = (i: number): World => ({
  seed: `${SEED}/${i}`,
  ...VEHICLES[i % 3],
  shape: SHAPES[Math.floor(i / 3) % 3],
  windScale: WINDS[Math.floor(i / 9) % 3],
  lengthM: i % 2 === 0 ? 15_000 : 30_000,
  stepH: i % 4 === 3 ? 6 : 1,
})

/** Below this probability the picks cannot be held to come from a rate within the limits asked for. */
const RISK = 0.025
/** As asked for. */
const RATE = { least: 0.85, most: 0.97 }

const agrees = (within: number, of: number): boolean =>
  binomialAtMost(within, of, RATE.least) > RISK && binomialAtLeast(within, of, RATE.most) > RISK

describe('the starts that a simulated forecast puts first', { timeout: 3_600_000 }, () => {
  const picked: PickedSlot[][] = []
  beforeAll(async () => {
    for (let i = 0; i < WORLDS; i++) picked.push(await pickedSlots(world(i), 3))
  })

  it('have a true difference within their 90 % interval at the stated rate', () => {
    const all = picked.flat()
    expect(all.length).toBe(3 * WORLDS)
    console.log(`${all.filter(isWithin).length} of ${all.length} picks within their interval`)
    expect(agrees(all.filter(isWithin).length, all.length)).toBe(true)
  })

  // The three picks of one world share its weather and its vehicle: one of each world are independent of each other.
  it('so do one of each world', () => {
    const one = picked.map((ofWorld, i) => ofWorld[Math.floor(i / 2) % 3])
    expect(agrees(one.filter(isWithin).length, one.length)).toBe(true)
  })

  it('intervals half as wide would not pass', () => {
    const halved = picked.flat().map((p) => ({
      ...p,
      low90Pct: p.meanPct - (p.meanPct - p.low90Pct) / 2,
      high90Pct: p.meanPct + (p.high90Pct - p.meanPct) / 2,
    }))
    expect(agrees(halved.filter(isWithin).length, halved.length)).toBe(false)
  })
})

describe('the test of a rate', () => {
  // By hand: of three throws that succeed with a half, none does so with 1/8, at most one with 1/2, all with 1/8.
  it('adds up the binomial distribution', () => {
    expect(binomialAtMost(0, 3, 0.5)).toBeCloseTo(1 / 8, 12)
    expect(binomialAtMost(1, 3, 0.5)).toBeCloseTo(1 / 2, 12)
    expect(binomialAtLeast(3, 3, 0.5)).toBeCloseTo(1 / 8, 12)
    expect(binomialAtLeast(0, 3, 0.5)).toBe(1)
  })
})
