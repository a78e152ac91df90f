import { describe, expect, it } from 'vitest'
import { airDensityKgM3 } from '../../src/air/density.ts'
import { saturationPressureCipmPa } from '../../src/air/humidity.ts'
import { drawsOf } from '../../src/base/draws.ts'
import { median, standardDeviation } from '../../src/base/statistics.ts'
import { departureDraws, quickShare, SLOW_BASES } from '../../src/demand/departure-draws.ts'
import { demandOf } from '../../src/demand/ensemble.ts'
import { exposureAt } from '../../src/demand/exposure.ts'
import { airDraws, densityRelativeSd, trafficDraws } from '../../src/demand/run-draws.ts'
import { sharedDraws } from '../../src/demand/shared-draws.ts'
import type { EnsembleRun } from '../../src/demand/types.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import { coastDown, noVehicle, scene, settings } from './scene.ts'

const shared = sharedDraws(vehicleOf(noVehicle), settings)

/** Root mean square about 0: draws have it right by construction (Latin hypercube), where the sample's n − 1 has not. */
const rms = (values: ArrayLike<number>): number =>
  Math.sqrt(Array.from(values, (v) => v * v).reduce((a, b) => a + b) / values.length)

const correlation = (a: Float64Array, b: Float64Array): number => {
  const centred = (x: Float64Array): number[] => Array.from(x, (v) => v - x.reduce((s, w) => s + w, 0) / x.length)
  const [p, q] = [centred(a), centred(b)]
  return p.reduce((s, v, i) => s + v * q[i], 0) / p.length / rms(p) / rms(q)
}

const DRAWS = 400
/** The draws of a column, without the best estimates behind them. */
const drawn = (column: Float64Array): Float64Array => column.subarray(0, DRAWS)

const errors = { temperatureK: 0.5, relativeHumidity: 0.06, pressurePa: 90, windSpeed: 0.12, windFromDeg: 8 }
const stationAt = (id: string, weight: number) => ({
  id,
  weight,
  distanceM: 1000,
  gapS: 0,
  quality: 'instrument' as const,
  errors,
})

function observed(ids: string[], more: Partial<EnsembleRun> = {}): EnsembleRun {
  const run = scene('a', { speedMps: 20 })
  run.runAir.stations = ids.map((id) => stationAt(id, 1 / ids.length))
  return { ...run, ...more }
}

const UP_TO_60_M = Math.log(2000) / Math.log(1000 / 3)
/** Down from 60 m to 0.75 m over land smoother than 0.1 m by a power of e. */
const ofHeight = (logSmoother: number): number => (Math.log(7.5) + logSmoother) / (Math.log(600) + logSmoother)

describe('what belongs to the vehicle and the land', () => {
  const logSd = (column: Float64Array): number => rms(column.map((v) => Math.log(v / median(column))))

  // Class defaults for a car and their doubts: 1500 kg ± 5 %, 0.65 m² ± 10 %, 0.01 ± 15 %; exposure 18 % of the law for all
  // winds, and for half a logarithm of the land's roughness a quarter of what 2.7 times smoother and rougher land differ by.
  it.each([
    { what: 'mass', column: shared.massKg, value: 1500, relativeSd: 0.05 },
    { what: 'drag area', column: shared.dragAreaM2, value: 0.65, relativeSd: 0.1 },
    { what: 'rolling resistance', column: shared.rolling, value: 0.01, relativeSd: 0.15 },
    // Log law up to 60 m over open land, and down to 0.75 m over z0 = 0.1 m: ln 2000/ln 333.3·ln 7.5/ln 600 (WMO-No. 8).
    {
      what: 'exposure',
      column: shared.exposure,
      value: UP_TO_60_M * (Math.log(7.5) / Math.log(600)),
      relativeSd: Math.hypot(0.18, (0.5 / 2) * Math.log(ofHeight(1) / ofHeight(-1))),
    },
  ])('$what is log-normal about its value and never below 0', ({ column, value, relativeSd }) => {
    expect(Math.abs(median(column) / value - 1)).toBeLessThan(relativeSd / 100)
    expect(Math.abs(logSd(column) / relativeSd - 1)).toBeLessThan(1e-3)
  })

  it.each([
    { what: 'fall of rolling with temperature', column: shared.rollingTemperaturePerK, value: 8.6e-3, sd: 1.8e-3 },
    { what: 'rise of drag with yaw', column: shared.dragYawRise, value: 0.06, sd: 0.03 },
    { what: 'turbulence', column: shared.turbulence, value: 0.17, sd: 0.05 },
  ])('$what is normal', ({ column, value, sd }) => {
    // The tails of the turbulence below 0, 3 in 10,000, are cut off.
    expect(Math.abs(median(column) / value - 1)).toBeLessThan(1e-3)
    expect(Math.abs(rms(column.map((v) => v - value)) / sd - 1)).toBeLessThan(2e-3)
  })

  it('idling and friction: the sum at 20 m/s is known to 30 %, how it divides to 0.9 of the logit of a share', () => {
    // A car's 1.5 W/kg and 0.07 N/kg for 1500 kg: 2250 W and 105 N, together 4350 W at 20 m/s, 2100/2250 of odds.
    const { idlePowerW, frictionN, frictionNPerMps } = shared
    const at20MpsN = frictionN.map((n, k) => n + 20 * frictionNPerMps[k])
    const sumW = idlePowerW.map((w, k) => w + 20 * at20MpsN[k])
    const odds = idlePowerW.map((w, k) => (20 * at20MpsN[k]) / w)
    expect(Math.abs(median(sumW) / 4350 - 1)).toBeLessThan(0.003)
    expect(Math.abs(logSd(sumW) / 0.3 - 1)).toBeLessThan(1e-3)
    expect(Math.abs(median(odds) / (2100 / 2250) - 1)).toBeLessThan(0.009)
    expect(Math.abs(logSd(odds) / 0.9 - 1)).toBeLessThan(1e-3)
  })

  it('what grows with the speed of the friction at 20 m/s is drawn evenly from none to all', () => {
    const { frictionN, frictionNPerMps } = shared
    const share = frictionN.map((n, k) => (20 * frictionNPerMps[k]) / (n + 20 * frictionNPerMps[k]))
    share.sort().forEach((s, k) => {
      expect(Math.abs(s - (k + 0.5) / share.length)).toBeLessThan(0.01)
    })
  })

  it('without friction along the road there is nothing to divide', () => {
    const electric = sharedDraws(vehicleOf({ ...noVehicle, powertrain: 'electric' }), settings)
    const { idlePowerW, frictionN, frictionNPerMps } = electric
    expect([...frictionN, ...frictionNPerMps].every((f) => f === 0)).toBe(true)
    expect(Math.abs(logSd(idlePowerW) / 0.3 - 1)).toBeLessThan(1e-3)
  })

  it('gusts are never negative', () => {
    // 3.4 standard deviations below the mean: two of 5000 draws would be (Φ(−3.4) = 3.4e-4).
    const { turbulence } = sharedDraws(vehicleOf(noVehicle), { ...settings, draws: 5000 })
    expect(Math.min(...turbulence)).toBe(0)
  })

  it('recovery stays a share: 0 to 1', () => {
    const of = (recovery: { value: number; sd: number }): Float64Array => {
      const vehicle = vehicleOf({ ...noVehicle, powertrain: 'electric' })
      return sharedDraws({ ...vehicle, powertrain: { ...vehicle.powertrain, recovery } }, settings).recovery
    }
    const wide = of({ value: 0.5, sd: 0.5 })
    expect(Math.min(...wide)).toBe(0)
    expect(Math.max(...wide)).toBe(1)
    // As many draws below −1 as above +1 standard deviation, Φ(−1) = 0.1587 each: cut off at both ends alike.
    expect(wide.filter((r) => r === 0).length / DRAWS).toBeCloseTo(0.1587, 2)
    expect(wide.filter((r) => r === 1).length / DRAWS).toBeCloseTo(0.1587, 2)
    expect(of({ value: 1, sd: 0 }).every((r) => r === 1)).toBe(true)
  })

  it('a share that is nothing stays nothing', () => {
    const vehicle = { ...vehicleOf(noVehicle), dragAreaM2: { value: 0, sd: 0.1 } }
    expect(sharedDraws(vehicle, settings).dragAreaM2.every((v) => v === 0)).toBe(true)
  })

  it('among obstacles, where the log law says nothing, a tenth of the wind is taken', () => {
    const at = (roughnessM: number): number =>
      sharedDraws(vehicleOf(noVehicle), { ...settings, roughnessM }).bestExposure
    expect(at(2)).toBe(0.1)
    // u(0.75 m)/u(10 m) at z0 = 0.7 m is ln(0.75/0.7)/ln(10/0.7) = 0.026: less than a tenth.
    expect(at(0.7)).toBe(0.1)
    // Open land as the station's: u(0.75 m)/u(10 m) alone.
    expect(at(0.03)).toBeCloseTo(Math.log(25) / Math.log(1000 / 3), 12)
  })

  const relative = (deg: number, latitude = 50, longitude = 8): Float64Array => {
    const [eastMps, northMps] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)]
    const there = exposureAt({ latitude, longitude, eastMps, northMps }, shared)
    return there.map((value, k) => value / shared.exposure[k] - 1)
  }

  it('exposure differs by 15 % with the direction of the wind and by 25 % with the place, evenly everywhere', () => {
    // The chance correlations of 400 draws come in: 0.05 of the variance for each of some pairs.
    for (const deg of [-170, -90, -30, 0, 45, 90, 135, 180]) {
      expect(Math.abs(rms(relative(deg)) / Math.hypot(0.15, 0.25) - 1)).toBeLessThan(0.12)
    }
    expect([...relative(180)]).toEqual([...relative(-180)])
    // Of what another direction leaves 0.25² of 0.15² + 0.25² is shared: 0.735.
    expect(Math.abs(correlation(relative(0), relative(180)) - 0.735)).toBeLessThan(0.1)
    expect(correlation(relative(0), relative(30))).toBeGreaterThan(0.85)
  })

  it('exposure is the same a hundred metres on, and another some kilometres on', () => {
    // 0.001° of latitude are 111 m, 0.05° 5.6 km; of what another place leaves 0.15² of the sum is shared: 0.265.
    expect(correlation(relative(0), relative(0, 50.001))).toBeGreaterThan(0.97)
    const far = [0.05, 0.11, 0.17, 0.23, 0.29, 0.35].map((north) => correlation(relative(0), relative(0, 50 + north)))
    expect(far.reduce((sum, r) => sum + r, 0) / far.length).toBeLessThan(0.65)
  })

  it('of a vehicle of which nothing is stated the class is drawn too: from motorcycles to lorries', () => {
    const nothing = vehicleOf({ ...noVehicle, class: null })
    const drawn = sharedDraws(nothing, settings)
    // Drag area for 1500 kg by the classes' values: motorcycles 2.1 m², 3 in 100; lorries 0.46 m², 13 in 100; cars 0.65 m².
    const shareOf = (is: (dragAreaM2: number) => boolean): number => drawn.dragAreaM2.filter(is).length / DRAWS
    expect(shareOf((m2) => m2 > 1.5)).toBeCloseTo(0.03, 2)
    // Up to two standard deviations of 10 % below the cars: 93 of 100 lorries, 2 of 100 cars.
    expect(Math.abs(shareOf((m2) => m2 < 0.53) - 0.13)).toBeLessThan(0.025)
    // Lorries have small engines for their mass, and the wind is stronger where it acts on them.
    const mean = (column: Float64Array, is: boolean): number => {
      const some = column.filter((_, k) => drawn.dragAreaM2[k] < 0.53 === is)
      return some.reduce((sum, v) => sum + v, 0) / some.length
    }
    expect(mean(drawn.idlePowerW, true)).toBeLessThan(0.5 * mean(drawn.idlePowerW, false))
    expect(mean(drawn.exposure, true)).toBeGreaterThan(1.2 * mean(drawn.exposure, false))
    // The best estimate stays a car, and a word of it is enough.
    expect(nothing.massKg.value).toBe(1500)
    for (const stated of [{ class: 'car' as const }, { class: null, massKg: 1400 }, { class: null, coastDown }]) {
      expect(vehicleOf({ ...noVehicle, ...stated }).classes).toEqual([])
    }
  })

  it('no two of them go together', () => {
    const { massKg, dragAreaM2, rolling, rollingTemperaturePerK, dragYawRise, idlePowerW, exposure, turbulence } =
      shared
    const columns = [massKg, dragAreaM2, rolling, rollingTemperaturePerK, dragYawRise, idlePowerW, exposure, turbulence]
    columns.push(sharedDraws(vehicleOf({ ...noVehicle, powertrain: 'hybrid' }), settings).recovery)
    columns.forEach((a, i) => {
      // 400 independent pairs: a correlation has the standard deviation 1/√400 = 0.05; 0.2 is four of them.
      for (const b of columns.slice(i + 1)) expect(Math.abs(correlation(a, b))).toBeLessThan(0.2)
    })
  })
})

describe('what sun and warming up make of a day’s tyres', () => {
  it('is ± 1.5 K, the same all day and another the next', () => {
    const of = (shiftS: number): Float64Array => {
      const run = observed([])
      run.runAir.along.time = run.runAir.along.time.map((t) => t + shiftS)
      return airDraws(run, shared).tyreK
    }
    const day = of(0)
    expect(rms(drawn(day))).toBeCloseTo(1.5, 9)
    expect(day[DRAWS]).toBe(0)
    expect([...of(1800)]).toEqual([...day])
    expect(Math.abs(correlation(drawn(day), drawn(of(86_400))))).toBeLessThan(0.2)
  })
})

describe('what belongs to a run’s air', () => {
  it('has a station’s own errors where it is the only one', () => {
    const draws = airDraws(observed(['S']), shared)
    expect(rms(drawn(draws.temperatureK))).toBeCloseTo(0.5, 9)
    expect(rms(drawn(draws.windGain).map(Math.log))).toBeCloseTo(0.12, 9)
    const turns = drawn(draws.windTurnSin).map((sin, k) => (Math.atan2(sin, draws.windTurnCos[k]) * 180) / Math.PI)
    expect(rms(turns)).toBeCloseTo(8, 9)
  })

  it('the density follows from them as from the CIPM formula', () => {
    // 20 °C, 100 kPa and 50 %, as in the scene: change each input by its error in the full formula. The vapour stays
    // when the temperature changes: stations report the dew point.
    const density = (dT: number, dp: number, dh: number): number => {
      const vapour = saturationPressureCipmPa(293.15) / saturationPressureCipmPa(293.15 + dT)
      const changed = airDensityKgM3(293.15 + dT, 100_000 + dp, 0.5 * vapour + dh)
      return changed / airDensityKgM3(293.15, 100_000, 0.5) - 1
    }
    const only = (name: 'temperatureK' | 'pressurePa' | 'relativeHumidity'): number => {
      const run = observed(['S'])
      const none = { temperatureK: 0, relativeHumidity: 0, pressurePa: 0, windSpeed: 0, windFromDeg: 0 }
      run.runAir.stations[0].errors = { ...none, [name]: errors[name] }
      return rms(drawn(airDraws(run, shared).density).map((d) => d - 1))
    }
    // The ideal gas with the lighter vapour is within 2 % of the change by the full formula.
    expect(Math.abs(only('temperatureK') / density(-0.5, 0, 0) - 1)).toBeLessThan(0.02)
    expect(Math.abs(only('pressurePa') / density(0, 90, 0) - 1)).toBeLessThan(0.02)
    expect(Math.abs(only('relativeHumidity') / density(0, 0, -0.06) - 1)).toBeLessThan(0.02)
  })

  it('warmer, thinner, moister air is lighter: the signs', () => {
    const run = observed([])
    run.runAir.assumed = { pressureSdPa: 900, humiditySd: 0.2 }
    run.runAir.along.temperatureDepartureSdK.fill(0.7)
    const { density, temperatureK } = airDraws(run, shared)
    expect(correlation(drawn(density), drawn(temperatureK))).toBeLessThan(0)
    // 900 Pa of 100 kPa, 0.7 K of 293 K and 0.2 of the humidity (0.175 %), independent of each other: the square root of
    // the sum of squares, about 0.0094; sampled correlations of 0.05 may change it by some hundredths.
    const vapour = (0.378 * 0.2 * 2333) / 100_000
    const want = Math.hypot(900 / 100_000, 0.7 / 293.15, vapour)
    expect(Math.abs(densityRelativeSd(run, shared) / want - 1)).toBeLessThan(0.06)
    expect(rms(drawn(temperatureK))).toBeCloseTo(0.7, 9)
  })

  it('two stations weigh as much as they are heard', () => {
    const one = airDraws(observed(['S']), shared).temperatureK
    const other = airDraws(observed(['T']), shared).temperatureK
    const both = airDraws(observed(['S', 'T']), shared).temperatureK
    expect(Math.abs(correlation(drawn(one), drawn(other)))).toBeLessThan(0.2)
    for (const k of [0, 9, 399]) expect(both[k]).toBeCloseTo((one[k] + other[k]) / 2, 12)
  })

  it('a station’s errors are independent of each other, and so are what was assumed and what departs', () => {
    const { temperatureK, windGain, windTurnSin } = airDraws(observed(['S']), shared)
    const only = (name: string): Float64Array => {
      const run = observed(name === 'pressure' || name === 'humidity' ? ['S'] : [])
      const none = { temperatureK: 0, relativeHumidity: 0, pressurePa: 0, windSpeed: 0, windFromDeg: 0 }
      if (name === 'pressure') run.runAir.stations[0].errors = { ...none, pressurePa: 90 }
      if (name === 'humidity') run.runAir.stations[0].errors = { ...none, relativeHumidity: 0.06 }
      if (name === 'assumed pressure') run.runAir.assumed.pressureSdPa = 900
      if (name === 'assumed humidity') run.runAir.assumed.humiditySd = 0.2
      if (name === 'departure') run.runAir.along.temperatureDepartureSdK.fill(0.7)
      return airDraws(run, shared).density
    }
    const { undirectedEast, undirectedNorth } = airDraws(observed([]), shared)
    const densities = ['pressure', 'humidity', 'assumed pressure', 'assumed humidity', 'departure'].map(only)
    const columns = [temperatureK, windGain, windTurnSin, undirectedEast, undirectedNorth, ...densities]
    columns.forEach((a, i) => {
      for (const b of columns.slice(i + 1)) expect(Math.abs(correlation(drawn(a), drawn(b)))).toBeLessThan(0.2)
    })
  })

  it('behind the draws stands the best estimate: no error at all', () => {
    const draws = airDraws(observed(['S']), shared)
    for (const at of [DRAWS, DRAWS + 1]) {
      expect(draws.density[at]).toBe(1)
      expect(draws.temperatureK[at]).toBe(0)
      expect(draws.windGain[at]).toBe(1)
      expect([draws.windTurnCos[at], draws.windTurnSin[at]]).toEqual([1, 0])
      expect([draws.undirectedEast[at], draws.undirectedNorth[at]]).toEqual([0, 0])
    }
  })
})

describe('what two runs share', () => {
  const later = (run: EnsembleRun, seconds: number): EnsembleRun => {
    const moved = structuredClone(run)
    moved.steps.time = run.steps.time.map((t) => t + seconds)
    moved.runAir.along.time = moved.steps.time
    return moved
  }
  const assumedRun = (): EnsembleRun => {
    const run = observed([])
    run.runAir.assumed = { pressureSdPa: 900, humiditySd: 0 }
    return run
  }
  const HOUR = 3600

  // 1.6e9 is 2020-09-13 12:26:40 UTC; a run of 500 s.
  it.each([
    {
      what: 'the assumed pressure of a day',
      of: (r: EnsembleRun) => airDraws(r, shared).density,
      within: 8 * HOUR,
      beyond: 24 * HOUR,
      make: assumedRun,
    },
    {
      what: 'an assumed humidity of a day',
      of: (r: EnsembleRun) => airDraws(r, shared).density,
      within: 8 * HOUR,
      beyond: 24 * HOUR,
      make: () => {
        const run = observed([])
        run.runAir.assumed = { pressureSdPa: 0, humiditySd: 0.2 }
        return run
      },
    },
    {
      what: 'the departure of temperature of an hour',
      of: (r: EnsembleRun) => airDraws(r, shared).temperatureK,
      within: 0.4 * HOUR,
      beyond: HOUR,
      make: () => {
        const run = observed([])
        run.runAir.along.temperatureDepartureSdK.fill(1)
        return run
      },
    },
    {
      what: 'an unknown direction of six hours',
      of: (r: EnsembleRun) => airDraws(r, shared).undirectedEast,
      within: 5 * HOUR,
      beyond: 6 * HOUR,
      make: () => observed([]),
    },
    {
      what: 'traffic of ten minutes',
      of: (r: EnsembleRun) => trafficDraws(r, shared),
      within: 0,
      beyond: HOUR,
      make: () => observed([]),
    },
  ])('$what is the same for runs of that time and region, another for others', ({ of, within, beyond, make }) => {
    const here = of(make())
    expect([...of(later(make(), within))]).toEqual([...here])
    expect(Math.abs(correlation(drawn(of(later(make(), beyond))), drawn(here)))).toBeLessThan(0.2)
    const elsewhere = of({ ...make(), region: 'there' })
    expect(Math.abs(correlation(drawn(elsewhere), drawn(here)))).toBeLessThan(0.2)
  })

  it('departures of the wind are one process in time: runs that overlap share its knots', () => {
    const run = observed([])
    const a = departureDraws(run, shared)
    const b = departureDraws(later(run, 1200), shared)
    // 1.6e9/1200 = 1333333.33; the run ends at 500 s later, within the same 20 minutes.
    expect(a.firstKnot).toBe(1_333_333)
    expect(a.quick.length).toBe(2)
    expect(b.firstKnot).toBe(1_333_334)
    expect([...b.quick[0]]).toEqual([...a.quick[1]])
    expect([...b.slow[0][2]]).toEqual([...a.slow[1][2]])
    const component = (knot: Float64Array, axis: number): Float64Array => knot.filter((_, i) => i % 2 === axis)
    const [east, north] = [component(a.quick[0], 0), component(a.quick[0], 1)]
    expect(rms(drawn(east))).toBeCloseTo(1, 9)
    expect(rms(drawn(north))).toBeCloseTo(1, 9)
    expect(Math.abs(correlation(drawn(east), drawn(north)))).toBeLessThan(0.2)
    expect(Math.abs(correlation(drawn(east), drawn(component(a.quick[1], 0))))).toBeLessThan(0.2)
    expect([east[DRAWS], north[DRAWS], east[DRAWS + 1], north[DRAWS + 1]]).toEqual([0, 0, 0, 0])
    const elsewhere = departureDraws({ ...run, region: 'there' }, shared).quick[0]
    expect(Math.abs(correlation(drawn(component(elsewhere, 0)), drawn(east)))).toBeLessThan(0.2)
  })

  // Deutscher Wetterdienst, station 02667, hourly winds of 2019 to 2021: mean squared change of a component in an hour
  // 1.04 (m/s)² at a mean of 3.6 m/s, in two 2.01: in proportion to the time, 0.35 in 20 minutes.
  it('what passes within 20 minutes is as large far from the stations as near them', () => {
    for (const sd of [0.8, 1.2, 2.5]) expect(quickShare(sd, 3) * sd * sd).toBeCloseTo(0.35, 12)
    expect(quickShare(0.4, 3)).toBe(0.75)
    // In 8.5 m/s the change in an hour is 1.93 (m/s)² there, 1.86 times that of all winds.
    expect(Math.abs(quickShare(2.5, 8.5) / quickShare(2.5, 3.6) / 1.86 - 1)).toBeLessThan(0.25)
  })

  describe('the lasting part of two places', () => {
    const HOME = { latitude: 51, longitude: 9 }
    const sizes = (northKm: number, eastKm: number): number[] =>
      SLOW_BASES.map(({ at }) => at(HOME.latitude + northKm / 111, HOME.longitude + eastKm / 70))
    const correlationAt = (km: number, towardsDeg: number): number => {
      const [north, east] = [Math.cos, Math.sin].map((of) => km * of((towardsDeg * Math.PI) / 180))
      const there = sizes(north, east)
      return sizes(0, 0).reduce((sum, size, i) => sum + size * there[i], 0)
    }
    const directions = Array.from({ length: 72 }, (_, i) => 5 * i)

    // The same record: in one and two hours 7 m/s carry air over 25 and 50 km. Where a station is 30 km away the variance
    // of a departure is 1.29 (m/s)², 0.35 of it quick and another at the other place.
    it.each([
      { km: 25, observed: 1.04 },
      { km: 50, observed: 2.01 },
    ])('$km km apart differs with the quick part by $observed (m/s)² in every direction', ({ km, observed }) => {
      for (const towards of directions) {
        const differs = 2 * 0.35 + 2 * (1.29 - 0.35) * (1 - correlationAt(km, towards))
        expect(Math.abs(differs / observed - 1)).toBeLessThan(0.12)
      }
    })

    it('is never opposed, as no real winds are', () => {
      for (const towards of directions) {
        expect(correlationAt(0, towards)).toBeCloseTo(1, 12)
        for (let km = 5; km <= 300; km += 5) expect(correlationAt(km, towards)).toBeGreaterThan(-0.001)
      }
    })
  })

  it('the lasting part forgets two thirds in hours, the rest in a day', () => {
    const run = observed([])
    const sizes = SLOW_BASES.map(({ at }) => at(51, 9))
    const slow = (later_: number): Float64Array => {
      const [bases] = departureDraws(later(run, later_), shared).slow
      const east = (i: number): number => bases.reduce((sum, basis, b) => sum + sizes[b] * basis[2 * i], 0)
      return Float64Array.from({ length: DRAWS }, (_, k) => east(k))
    }
    const now = slow(0)
    // A dozen names: chance correlations of some percent each.
    expect(Math.abs(rms(now) - 1)).toBeLessThan(0.15)
    expect(correlation(slow(1200), now)).toBeGreaterThan(0.8)
    // 1.6e9 lies 0.11 past a knot of 3 h and 0.51 past one of a day. Four hours later these are 0.44 past the next, and
    // 0.68: √0.11·√0.56 of two thirds and √0.49·√0.32 + √0.51·√0.68 of a third. Twelve hours later √0.51 of a third.
    expect(Math.abs(correlation(slow(4 * HOUR), now) - 0.49)).toBeLessThan(0.15)
    expect(Math.abs(correlation(slow(12 * HOUR), now) - 0.24)).toBeLessThan(0.15)
    expect(Math.abs(correlation(slow(72 * HOUR), now))).toBeLessThan(0.2)
  })

  it('traffic averages out: over n stretches of ten minutes it is √n times smaller', () => {
    const short = scene('a', { speedMps: 20 })
    const long = scene('a', { speedMps: 20 })
    long.steps.time = Float64Array.from({ length: 100 }, (_, i) => 1.599_999_6e9 + 600 * (i >> 2))
    const size = rms(trafficDraws(short, shared))
    // 1.6e9 is 400 s into a stretch: the 500 s are cut 200 to 300. sd 0.4 % · √(0.4² + 0.6²).
    expect(Math.abs(size / (0.004 * Math.hypot(0.4, 0.6)) - 1)).toBeLessThan(0.06)
    // 25 stretches of equal weight: 0.4 %/5.
    expect(Math.abs(rms(trafficDraws(long, shared)) / (0.004 / 5) - 1)).toBeLessThan(0.15)
  })

  it('traffic is the draw of its stretch where the run lies within one', () => {
    const run = scene('a', { speedMps: 20 })
    run.steps.time.fill(1_599_999_800)
    const z = drawsOf(`traffic/here/${Math.floor(1_599_999_800 / 600)}`, DRAWS, 1)
    trafficDraws(run, shared).forEach((t, k) => {
      expect(t).toBeCloseTo(0.004 * z[k], 12)
    })
  })

  it('a recording’s own error goes with the recording', () => {
    const demand = (recording: string): Float64Array => {
      const run = { ...scene(recording, { speedMps: 20 }), recordingSd: 0.02 }
      return demandOf(run, shared).drawsJPerM
    }
    const clean = demandOf(scene('a', { speedMps: 20 }), shared).drawsJPerM
    const relative = demand('a').map((d, k) => d / clean[k] - 1)
    // 2 % of a demand that has 0.5 % of traffic in it.
    expect(Math.abs(standardDeviation(relative) / 0.02 - 1)).toBeLessThan(0.02)
    expect([...demand('a')]).toEqual([...demand('a')])
    const other = demand('b').map((d, k) => d / clean[k] - 1)
    expect(Math.abs(correlation(relative, other))).toBeLessThan(0.2)
  })
})
