import { describe, expect, it } from 'vitest'
import { type CoastWindow, coastDownOf } from '../../../src/demand/coast-down/coast-fit.ts'
import { randomOf } from '../../simulator/random.ts'

/** What really slows the vehicle. */
interface Truth {
  massKg: number
  f0N: number
  f2NPerMps2: number
}

/**
 * The default road load of UN GTR 15 (published-checks of the project: f1 = 0, f2 = 2.8e-6·TM·width·height N/(km/h)²,
 * f0 = 0.140·TM N) for a test mass of 1500 kg, 1.8 m wide and 1.45 m high, at 20 °C and 100 kPa.
 */
const GTR_DEFAULT: Truth = { massKg: 1500, f0N: 0.14 * 1500, f2NPerMps2: 2.8e-6 * 1500 * 1.8 * 1.45 * 3.6 ** 2 }
/** Density of dry air at 20 °C and 100 kPa by CIPM-2007, as computed from the published formula. */
const REFERENCE_DENSITY = 1.1888

interface Weather {
  windEastMps: number
  windNorthMps: number
  /** Of gusts, each of which lasts some seconds. */
  gustSdMps: number
}

/** A coast-down by the textbook's equation of motion, in small steps: its own gusts, slope and a sensor of 0.1 km/h. */
function coast(
  truth: Truth,
  headingDeg: number,
  from: number,
  weather: Weather,
  slope: number,
  seed: string,
): CoastWindow {
  const random = randomOf(seed)
  const stepS = 0.02
  const angle = (headingDeg * Math.PI) / 180
  const steady = weather.windEastMps * Math.sin(angle) + weather.windNorthMps * Math.cos(angle)
  const inertiaKg = 1.03 * truth.massKg
  const [time, speed]: [number[], number[]] = [[], []]
  let [v, gust] = [from, 0]
  for (let i = 0; v > 5; i++) {
    gust = 0.996 * gust + weather.gustSdMps * Math.sqrt(1 - 0.996 ** 2) * random.normal()
    if (i % 5 === 0) {
      time.push(i * stepS)
      speed.push(Math.round((v + 0.03 * random.normal()) * 36) / 36)
    }
    const air = v - steady - gust
    const forceN = truth.f0N + truth.f2NPerMps2 * air * Math.abs(air) + truth.massKg * 9.81 * slope
    v -= (forceN / inertiaKg) * stepS
  }
  return {
    time: Float64Array.from(time),
    speedMps: Float64Array.from(speed),
    headingDeg,
    densityKgM3: REFERENCE_DENSITY,
    temperatureK: 293.15,
    windEastMps: weather.windEastMps + 0.5 * random.normal(),
    windNorthMps: weather.windNorthMps + 0.5 * random.normal(),
    windSdMps: 0.7,
  }
}

/** Runs both ways along a road with a slope of 0.2 %, at a wind that the station gives with an error. */
function campaign(truth: Truth, pairs: number, seed: string): CoastWindow[] {
  const random = randomOf(`${seed}/weather`)
  const weather = { windEastMps: 2 * random.normal(), windNorthMps: 2 * random.normal(), gustSdMps: 0.7 }
  return Array.from({ length: 2 * pairs }, (_, i) =>
    coast(truth, i % 2 === 0 ? 60 : 240, 33, weather, i % 2 === 0 ? 0.002 : -0.002, `${seed}/${i}`),
  )
}

const VEHICLE = { massKg: { value: 1500, sd: 10 }, rotatingShare: 0.03, yawRise: 0, rollingFallPerK: 0.0086 }

describe('coastDownOf', () => {
  it('finds the published road load in its 95 % intervals', () => {
    const fits = Array.from({ length: 40 }, (_, i) => coastDownOf(campaign(GTR_DEFAULT, 4, `gtr/${i}`), VEHICLE)!)
    const held = (of: (fit: (typeof fits)[number]) => { value: number; half95: number }, truth: number): number =>
      fits.filter((fit) => Math.abs(of(fit).value - truth) <= of(fit).half95).length
    // Of 40 true intervals of 95 % chance lets at least 34 hold the truth in 99 of 100 tests.
    expect(held(({ f0N }) => f0N, GTR_DEFAULT.f0N)).toBeGreaterThanOrEqual(34)
    expect(held(({ f2NPerMps2 }) => f2NPerMps2, GTR_DEFAULT.f2NPerMps2)).toBeGreaterThanOrEqual(34)
    // An interval that holds everything says nothing: a tenth of the road load is what coast-downs are made for.
    for (const { f0N, f2NPerMps2 } of fits) {
      expect(f0N.half95).toBeLessThan(0.1 * GTR_DEFAULT.f0N)
      expect(f2NPerMps2.half95).toBeLessThan(0.15 * GTR_DEFAULT.f2NPerMps2)
    }
  })

  it('knows less from one direction alone, and says so', () => {
    const both = coastDownOf(campaign(GTR_DEFAULT, 4, 'one-way'), VEHICLE)!
    const oneWay = coastDownOf(
      campaign(GTR_DEFAULT, 8, 'one-way').filter(({ headingDeg }) => headingDeg === 60),
      VEHICLE,
    )!
    expect(both.bothDirections).toBe(true)
    expect(oneWay.bothDirections).toBe(false)
  })

  it('tells nothing from two windows, or from a hardly changing speed', () => {
    const windows = campaign(GTR_DEFAULT, 4, 'few')
    expect(coastDownOf(windows.slice(0, 2), VEHICLE)).toBeNull()
    const still = windows.map((window) => ({ ...window, speedMps: window.speedMps.map(() => 20) }))
    expect(coastDownOf(still, VEHICLE)).toBeNull()
  })

  it('is the same whatever the wind is called: headings and wind turned together', () => {
    const windows = campaign(GTR_DEFAULT, 3, 'turned')
    const turned = windows.map((window) => ({
      ...window,
      headingDeg: window.headingDeg! + 90,
      windEastMps: window.windNorthMps,
      windNorthMps: -window.windEastMps,
    }))
    const [one, other] = [coastDownOf(windows, VEHICLE)!, coastDownOf(turned, VEHICLE)!]
    expect(other.f0N.value).toBeCloseTo(one.f0N.value, 6)
    // The doubt of the wind is tried to the east and to the north alone: its curvature differs to the other side.
    expect(other.f2NPerMps2.half95).toBeCloseTo(one.f2NPerMps2.half95, 5)
  })
})
