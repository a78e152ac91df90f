import geodesic from 'geographiclib-geodesic'
import { describe, expect, it } from 'vitest'
import {
  chargeKwh,
  delivery,
  fillLitres,
  type RoadShape,
  type SimulatedRun,
  simulateRoad,
  simulateRun,
  simulateWeather,
  smallCar,
  type WeatherKnot,
  withDrag,
} from './index.ts'
import { dragN } from './vehicle.ts'

const START_S = Date.UTC(2026, 4, 12, 8) / 1000
const PLACE = { latitudeDeg: 48, longitudeDeg: 11 }
const CALM: WeatherKnot = {
  timeS: START_S,
  windSpeedMps: 0,
  windFromDeg: 0,
  temperatureC: 20,
  dewPointC: 9.3,
  seaLevelPressureHpa: 1013.25,
  rainMmPerHour: 0,
}

function steadyWeather(change: Partial<WeatherKnot> = {}, referenceElevationM = 0) {
  return simulateWeather({
    seed: 'steady',
    ...PLACE,
    knots: [{ ...CALM, ...change }],
    mesoscale: 0,
    referenceElevationM,
  })
}

/** Straight, level and open, without a reason to slow down. */
const flatRoad = (limitMps: number) =>
  simulateRoad({
    seed: 'flat',
    shape: 'one-way',
    lengthM: 20e3,
    ...PLACE,
    elevationM: 0,
    gradeSd: 0,
    exposure: 1,
    landCover: 0,
    limitMps,
    interruptions: false,
    straightCourseDeg: 60,
  })

function restlessRun(shape: RoadShape, seed: string, lengthM = 60e3): SimulatedRun {
  const road = simulateRoad({ seed, shape, lengthM, ...PLACE })
  const weather = simulateWeather({ seed, ...PLACE, startTimeS: START_S, days: 1 })
  return simulateRun({ road, weather, vehicle: smallCar, startS: START_S, seed })
}

describe('the vehicle', () => {
  it('needs in calm, at constant speed on a straight flat road, what the textbook says', () => {
    const road = flatRoad(25)
    const vehicle = { ...smallCar, massKg: 1500, dragAreaM2: 0.7, rollingResistance: 0.01, finesse: 0 }
    const { truth } = simulateRun({
      road,
      vehicle,
      weather: steadyWeather(),
      startS: START_S,
      seed: 'flat',
      driver: { unrest: 0 },
    })
    // CIPM-2007 at 20 °C, 101325 Pa, 50 %: 1.19931 kg/m3 (Metrologia 45 (2008) 149, computed from the published formula;
    // a dew point of 9.3 °C is 50 % to a percent); the ideal mixture here is within 5e-4 of it.
    const dragN = 0.5 * 1.19931 * 0.7 * 25 ** 2
    const rollingN = 1500 * 9.80665 * 0.01 * (1 + 0.0075 * 5)
    expect(truth.wheelDemandJPerM / (dragN + rollingN)).toBeCloseTo(1, 3)
    expect(truth.meanSpeedMps).toBeCloseTo(25, 9)
  })

  it('feels a steady head wind along its road as more air speed', () => {
    const road = flatRoad(20)
    const run = (windFromDeg: number) =>
      simulateRun({
        road,
        vehicle: { ...smallCar, finesse: 0 },
        weather: steadyWeather({ windSpeedMps: 5, windFromDeg }),
        startS: START_S,
        seed: 'flat',
        driver: { unrest: 0 },
      }).truth
    const [against, behind] = [run(60), run(240)]
    expect(against.meanHeadwindMps).toBeCloseTo(5, 6)
    expect(behind.meanHeadwindMps).toBeCloseTo(-5, 6)
    // (20 + 5)² over (20 - 5)²: the road is straight, so no wind crosses it.
    expect(against.aeroJ / behind.aeroJ).toBeCloseTo((25 / 15) ** 2, 6)
  })

  it('gains a few percent of drag at ten degrees of yaw, and no more than a sixth at any', () => {
    const cross = 25 * Math.sin(Math.PI / 18)
    const along = 25 * Math.cos(Math.PI / 18)
    const gain = dragN(1.2, 0.66, 0.04, along, cross) / dragN(1.2, 0.66, 0.04, 25, 0)
    expect(gain).toBeGreaterThan(1.03)
    expect(gain).toBeLessThan(1.05)
    expect(dragN(1.2, 0.66, 0.04, 5, 25) / dragN(1.2, 0.66, 0.04, Math.hypot(5, 25), 0)).toBeLessThan(7 / 6)
  })

  it('rolls harder when cold', () => {
    const road = simulateRoad({ seed: 'cold', shape: 'loop', lengthM: 30e3, ...PLACE })
    const rolling = (temperatureC: number) => {
      const weather = steadyWeather({ temperatureC, dewPointC: 0 }, 200)
      return simulateRun({ road, weather, vehicle: smallCar, startS: START_S, seed: 'cold' }).truth.rollingJ
    }
    // 0.75 % of the value at 25 °C for each kelvin; the road's height moves the air's temperature by a few tenths.
    expect(rolling(5) / rolling(25)).toBeGreaterThan(1.147)
    expect(rolling(5) / rolling(25)).toBeLessThan(1.153)
  })

  it.each<RoadShape>(['loop', 'one-way', 'there-and-back'])(
    'spends its energy in terms that sum, on a road: %s',
    (shape) => {
      const road = simulateRoad({ seed: 'sum', shape, lengthM: 40e3, ...PLACE })
      const { truth, motion } = simulateRun({
        road,
        vehicle: smallCar,
        weather: simulateWeather({ seed: 'sum', ...PLACE, startTimeS: START_S }),
        startS: START_S,
        seed: 'sum',
      })
      const terms = truth.aeroJ + truth.rollingJ + truth.gradeJ + truth.inertiaJ
      expect((truth.energyJ + truth.brakingJ) / terms).toBeCloseTo(1, 9)
      const endHeight = road.elevationM[road.count - 1] - road.elevationM[0]
      // sin for tan, and half a node at each end: 0.1 % of the climb, or 1 m.
      expect(Math.abs(truth.gradeJ - smallCar.massKg * 9.80665 * endHeight)).toBeLessThan(smallCar.massKg * 9.80665)
      expect(motion.speedMps[0]).toBe(0)
      expect(Math.abs(truth.inertiaJ)).toBeLessThan(1e-6 * truth.energyJ)
    },
  )

  it('takes less fuel with less drag, and an electric one charges what it used', () => {
    const road = simulateRoad({ seed: 'drag', shape: 'loop', lengthM: 40e3, ...PLACE })
    const weather = steadyWeather()
    const truthWith = (vehicle: typeof delivery) =>
      simulateRun({ road, weather, vehicle, startS: START_S, seed: 'drag' }).truth
    const [before, after] = [truthWith(delivery), truthWith(withDrag(delivery, -10))]
    expect(after.aeroJ / before.aeroJ).toBeCloseTo(0.9, 9)
    expect(after.rollingJ).toBe(before.rollingJ)
    expect(after.fuelEnergyJ).toBeLessThan(before.fuelEnergyJ)
    const litres = fillLitres(delivery, before, { before: 'a', after: 'b', repeatabilityLitres: 0 })
    // 35.8 MJ per litre of diesel, from memory.
    expect(litres).toBeCloseTo(before.fuelEnergyJ / 35.8e6, 9)
    const electric = truthWith({ ...smallCar, powertrain: 'electric', idleW: 500 })
    expect(electric.fuelEnergyJ).toBeLessThan(before.fuelEnergyJ / 2)
    expect(chargeKwh(electric, { seed: 'plug' }) * 3.6e6).toBeGreaterThan(electric.fuelEnergyJ)
  })
})

describe('the track', () => {
  it.each<RoadShape>(['loop', 'one-way', 'there-and-back'])(
    'is as long as the truth by geographiclib, on a road: %s',
    (shape) => {
      const road = simulateRoad({ seed: 'length', shape, lengthM: 60e3, ...PLACE })
      const { fixes, truth } = simulateRun({
        road,
        vehicle: smallCar,
        weather: steadyWeather(),
        startS: START_S,
        seed: 'length',
        device: { noise: 0 },
      })
      // Chords of 25 m in bends of 300 m and more lose up to 3e-4; seven decimals add nothing that lasts.
      const missing = 1 - pathM(fixes) / truth.distanceM
      expect(Math.abs(missing)).toBeLessThan(3e-4)
    },
  )

  it('strays from the road by the stated errors', () => {
    const run = restlessRun('one-way', 'noise')
    const road = simulateRoad({ seed: 'noise', shape: 'one-way', lengthM: 60e3, ...PLACE })
    const exact = simulateRun({
      road,
      vehicle: smallCar,
      weather: steadyWeather(),
      startS: START_S,
      seed: 'noise',
      device: { noise: 0 },
    })
    const exactAt = new Map(exact.fixes.timeS.map((timeS, i) => [timeS, i]))
    const squares = run.fixes.timeS.map((timeS, i) => {
      const j = exactAt.get(timeS)!
      const dy = (run.fixes.latitude[i] - exact.fixes.latitude[j]) * 111200
      const dx = (run.fixes.longitude[i] - exact.fixes.longitude[j]) * 74400
      return dx * dx + dy * dy
    })
    const rms = Math.sqrt(squares.reduce((a, b) => a + b) / squares.length)
    // Two axes of 2 to 3 m, 0.3 m white, and 1.75 m for the lane; wandering errors repeat slowly: a third either way.
    expect(rms).toBeGreaterThan(0.67 * Math.hypot(2 * Math.SQRT2, 1.75))
    expect(rms).toBeLessThan(1.33 * Math.hypot(3 * Math.SQRT2, 1.75))
  })

  it('has missing samples and dropouts, never longer than 16 s, and times that rise', () => {
    const run = restlessRun('loop', 'gaps', 150e3)
    const steps = run.fixes.timeS.slice(1).map((timeS, i) => timeS - run.fixes.timeS[i])
    expect(Math.min(...steps)).toBe(1)
    expect(Math.max(...steps)).toBeGreaterThan(3)
    expect(Math.max(...steps)).toBeLessThanOrEqual(17)
    const written = [...run.gpx.matchAll(/<time>([^<]+)</g)].map((match) => Date.parse(match[1]) / 1000)
    expect(written).toEqual(run.fixes.timeS)
  })

  it('closes a loop and brings a there-and-back road home', () => {
    for (const shape of ['loop', 'there-and-back'] as const) {
      const road = simulateRoad({ seed: 'close', shape, lengthM: 150e3, ...PLACE })
      const last = road.count - 1
      const gap = geodesic.Geodesic.WGS84.Inverse(
        road.latitude[0],
        road.longitude[0],
        road.latitude[last],
        road.longitude[last],
      ).s12!
      expect(gap).toBeLessThan(5)
      expect(road.elevationM[last]).toBeCloseTo(road.elevationM[0], 6)
    }
  })
})

describe('seeds', () => {
  it('give the same run again, and another seed another run', () => {
    const first = restlessRun('loop', 'same', 20e3)
    const again = restlessRun('loop', 'same', 20e3)
    expect(again.gpx).toBe(first.gpx)
    expect(again.truth).toEqual(first.truth)
    expect(restlessRun('loop', 'other', 20e3).gpx).not.toBe(first.gpx)
  })
})

function pathM(fixes: { latitude: number[]; longitude: number[] }): number {
  let sum = 0
  for (let i = 1; i < fixes.latitude.length; i++)
    sum += geodesic.Geodesic.WGS84.Inverse(
      fixes.latitude[i - 1],
      fixes.longitude[i - 1],
      fixes.latitude[i],
      fixes.longitude[i],
    ).s12!
  return sum
}
