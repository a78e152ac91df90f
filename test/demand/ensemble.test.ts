import { describe, expect, it } from 'vitest'
import { windFromVector, windVector } from '../../src/air/wind.ts'
import { drawsOf } from '../../src/base/draws.ts'
import { mean, standardDeviation, sum } from '../../src/base/statistics.ts'
import { demandOf } from '../../src/demand/ensemble.ts'
import { neededAtBestJ, pieceAt } from '../../src/demand/piece.ts'
import { airDraws, trafficDraws } from '../../src/demand/run-draws.ts'
import { type SharedDraws, sharedDraws } from '../../src/demand/shared-draws.ts'
import type { EnsembleRun } from '../../src/demand/types.ts'
import { vehicleOf } from '../../src/demand/vehicle.ts'
import type { Powertrain } from '../../src/read/campaign/settings.ts'
import { coastDown, noVehicle, scene, settings } from './scene.ts'

const G = 9.80665

/**
 * The same demand by the textbook, one draw and one step at a time, with angles in place of components: what the quick
 * loop must agree with. Drag with yaw and gusts, rolling, slope, inertia, Willans line as stated in the doc comments.
 */
function plainly(run: EnsembleRun, shared: SharedDraws, k: number): { jPerM: number; headMps: number } {
  const { steps, air, region } = run
  const { vehicle } = shared
  const { powertrain } = vehicle
  const { draws, seed } = shared.settings
  const z = (name: string): number => drawsOf(name, draws, seed)[k]
  const ofAir = airDraws(run, shared)
  const massKg = shared.massKg[k] + run.payloadKg
  // Alternators make electricity of 60 % of what they take; a battery gives it as it is.
  const accessoriesW = run.accessoriesW / (powertrain.stores ? 1 : 0.6)
  const turnDeg = (Math.atan2(ofAir.windTurnSin[k], ofAir.windTurnCos[k]) * 180) / Math.PI
  let joules = 0
  let headM = 0
  let metres = 0
  for (let i = 0; i < steps.time.length; i++) {
    const ds = steps.distanceM[i]
    const dt = steps.durationS[i]
    if (ds === 0) {
      joules += (shared.idlePowerW[k] + accessoriesW) * dt
      continue
    }
    metres += ds
    const observed = windFromVector(air.windEastMps[i], air.windNorthMps[i])
    const blown = windVector(observed.speedMps * ofAir.windGain[k], observed.fromDeg + turnDeg)
    const heldAt = run.runAir.along.time[air.node[i]]
    const knot = Math.floor(heldAt / 1200)
    // Of the variance 0.35 (m/s)² in a wind of 3 m/s, three quarters at most, is forgotten in 20 minutes; what lasts is
    // held for 20 minutes.
    const ordinary = 0.35 * ((1 + ((observed.speedMps + air.undirectedMps[i]) / 6) ** 2) / 1.25)
    const quick = Math.min(0.75, ordinary / air.departureSdMps[i] ** 2)
    const joined = (position: number, axis: string, span: string): number => {
      const before = Math.floor(position)
      const past = position - before
      return (
        Math.sqrt(1 - past) * z(`wind-departure/${region}/${span}${before}/${axis}`) +
        Math.sqrt(past) * z(`wind-departure/${region}/${span}${before + 1}/${axis}`)
      )
    }
    // What lasts is a third the day's, the rest waves of 140 km from three directions, a third of it each, of three hours.
    const lasting = (axis: string): number =>
      [0, 60, 120].reduce(
        (sum, deg) => {
          const alongKm =
            111 * Math.cos((deg * Math.PI) / 180) * steps.latitude[i] +
            70 * Math.sin((deg * Math.PI) / 180) * steps.longitude[i]
          const phase = (2 * Math.PI * alongKm) / 140
          const at = (name: string): number => joined((1200 * knot) / 10_800, `${deg}/${name}/${axis}`, '10800/')
          return sum + (Math.SQRT2 / 3) * (Math.cos(phase) * at('cos') + Math.sin(phase) * at('sin'))
        },
        joined((1200 * knot) / 86_400, `even/${axis}`, '86400/') / Math.sqrt(3),
      )
    const departure = (axis: string): number =>
      air.departureSdMps[i] *
      (Math.sqrt(quick) * joined(heldAt / 1200, axis, '') + Math.sqrt(1 - quick) * lasting(axis))
    const anywhere = (axis: string): number =>
      (air.undirectedMps[i] / Math.sqrt(2)) *
      z(`undirected/${region}/${Math.floor(steps.time[steps.time.length >> 1] / 21_600)}/${axis}`)
    const blownEast = blown.eastMps + departure('east') + anywhere('east')
    const blownNorth = blown.northMps + departure('north') + anywhere('north')
    const courseDeg = (Math.atan2(steps.courseEast[i], steps.courseNorth[i]) * 180) / Math.PI
    const wind = windFromVector(blownEast, blownNorth)
    const off = ((wind.fromDeg - courseDeg) * Math.PI) / 180
    // A draw for each of the four directions that the observed wind blows to; between two, mixed by the roots of the shares.
    const quarter = ((Math.atan2(air.windNorthMps[i], air.windEastMps[i]) * 2) / Math.PI + 4) % 4
    const ofSector = (at: number): number => z(`road/exposure/${['east', 'north', 'west', 'south'][at % 4]}`)
    const [whole, past] = [Math.floor(quarter), quarter - Math.floor(quarter)]
    const mixed = Math.sqrt(1 - past) * ofSector(whole) + Math.sqrt(past) * ofSector(whole + 1)
    // And waves of 2.5 to 15 km from six directions; a degree of latitude is 111 km, of longitude 70 km.
    const land = [2.5, 3.6, 5.1, 7.3, 10.5, 15].map((km, j) => {
      const way =
        111 * Math.cos((j * Math.PI) / 6) * steps.latitude[i] + 70 * Math.sin((j * Math.PI) / 6) * steps.longitude[i]
      const phase = (2 * Math.PI * way) / km
      return Math.cos(phase) * z(`road/exposure/${km}-km/cos`) + Math.sin(phase) * z(`road/exposure/${km}-km/sin`)
    })
    const ofPlace = (0.25 / Math.sqrt(6)) * land.reduce((a, b) => a + b)
    const exposure = shared.exposure[k] * Math.max(0.1, 1 + 0.15 * mixed + ofPlace)
    const head = exposure * wind.speedMps * Math.cos(off)
    const cross = exposure * wind.speedMps * Math.sin(off)
    headM += head * ds
    const v = steps.speedMps[i]
    const airspeed = Math.hypot(v + head, cross)
    const gust2 = (shared.turbulence[k] * wind.speedMps) ** 2
    const across = Math.hypot(cross, Math.sqrt(gust2)) / Math.hypot(airspeed, Math.sqrt(gust2))
    const yaw = Math.asin(Math.min(across, Math.sin((25 * Math.PI) / 180)))
    const rise = 1 + shared.dragYawRise[k] * (Math.sin(yaw) / Math.sin((10 * Math.PI) / 180)) ** 2
    const gust = 1.5 * gust2
    const density = air.densityKgM3[i] * ofAir.density[k]
    const drag = 0.5 * density * shared.dragAreaM2[k] * rise * (airspeed * (v + head) + gust)
    const warmer = air.temperatureK[i] + ofAir.tyreK[k] - 293.15
    const cosine = Math.cos(Math.asin(steps.climbM[i] / ds))
    const roll = (shared.rolling[k] * massKg * G * cosine) / (1 + shared.rollingTemperaturePerK[k] * warmer)
    const inertia = massKg * 1.03 * steps.kineticJPerKg[i]
    const work = (drag + roll + vehicle.speedForceNPerMps * v) * ds + massKg * G * steps.climbM[i] + inertia
    const engine =
      (shared.idlePowerW[k] + accessoriesW) * dt + (shared.frictionN[k] + shared.frictionNPerMps[k] * v) * ds
    const given = engine + shared.recovery[k] * powertrain.efficiency * work
    joules += work > 0 ? engine + work / powertrain.efficiency : powertrain.stores ? given : Math.max(0, given)
  }
  const recorded = 1 + run.recordingSd * z(`recording/${run.recording}`) + trafficDraws(run, shared)[k]
  return { jPerM: (joules / metres) * recorded, headMps: headM / metres }
}

/** A drive with everything in it: bends, hills, stops, surges, braking, wind from all sides, two stations. */
function varied(): EnsembleRun {
  const run = scene('varied', {
    speedMps: 15,
    windEastMps: -3,
    windNorthMps: 2,
    undirectedMps: 1.5,
    departureSdMps: 1.2,
  })
  const { steps, air } = run
  for (let i = 0; i < steps.time.length; i++) {
    steps.courseEast[i] = Math.sin(i / 9)
    steps.courseNorth[i] = Math.cos(i / 9)
    steps.climbM[i] = 5 * Math.sin(i / 7)
    steps.kineticJPerKg[i] = i % 10 === 3 ? 90 : i % 10 === 7 ? -90 : 0
    steps.speedMps[i] = 15 + 5 * Math.sin(i / 5)
    // From 20 to 40 minutes long, so that it meets several knots of the departure.
    steps.time[i] = 1.6e9 + 31 * i
    air.windNorthMps[i] = i % 4 === 0 ? 14 : 2
    air.temperatureK[i] = 280 + i / 10
    air.densityKgM3[i] = 1.25 - i / 1000
  }
  for (const i of [20, 60]) {
    steps.distanceM[i] = 0
    steps.speedMps[i] = 0
    steps.climbM[i] = 0
    steps.durationS[i] = 40
    steps.idlingS[i] = 40
  }
  const errors = { temperatureK: 0.4, relativeHumidity: 0.05, pressurePa: 80, windSpeed: 0.1, windFromDeg: 9 }
  const station = { distanceM: 5000, gapS: 600, quality: 'instrument' as const, errors }
  run.runAir.stations = [
    { id: 'one', weight: 0.7, ...station },
    { id: 'two', weight: 0.3, ...station },
  ]
  run.payloadKg = 130
  run.accessoriesW = 700
  run.recordingSd = 0.01
  return run
}

/** The same drive in an air that is held for so many steps at a time, as it is at the first of them. */
function held(run: EnsembleRun, steps: number): EnsembleRun {
  const { node, ...columns } = run.air
  for (let i = 0; i < node.length; i++) {
    node[i] = Math.floor(i / steps)
    for (const column of Object.values(columns)) column[i] = column[node[i] * steps]
  }
  run.runAir.along.time = run.steps.time.filter((_, i) => i % steps === 0)
  return run
}

describe('the quick loop against the textbook, draw by draw', () => {
  // Both are the same sums in another order: rounding alone, some 1e-13, may part them.
  it.each<Powertrain>(['petrol', 'diesel', 'hybrid', 'electric'])('%s', (powertrain) => {
    const shared = sharedDraws(vehicleOf({ ...noVehicle, powertrain, coastDown }), settings)
    for (const run of [varied(), held(varied(), 7)]) {
      const { drawsJPerM } = demandOf(run, shared)
      for (const k of [0, 1, 57, 200, 399]) {
        expect(Math.abs(drawsJPerM[k] / plainly(run, shared, k).jPerM - 1)).toBeLessThan(1e-10)
      }
    }
  })

  it.each<Powertrain>(['petrol', 'electric'])(
    '%s: what each step draws by the best estimate adds up to its',
    (powertrain) => {
      const shared = sharedDraws(vehicleOf({ ...noVehicle, powertrain, coastDown }), { ...settings, draws: 50 })
      const run = held(varied(), 7)
      const { steps, air } = run
      // Nobody knows the direction of a part of its wind: the best estimate leaves that out.
      const neededJ = Array.from(steps.time, (_, i) => neededAtBestJ(pieceAt(steps, air, i), run, shared))
      expect(sum(neededJ) / sum(steps.distanceM) / demandOf(run, shared).nominalJPerM).toBeCloseTo(1, 9)
    },
  )

  it('has the headwind’s mean over the distance, and its spread over the draws', () => {
    const shared = sharedDraws(vehicleOf(noVehicle), { ...settings, draws: 50 })
    const run = varied()
    const heads = Array.from({ length: 50 }, (_, k) => plainly(run, shared, k).headMps)
    const { headwindMps, headwindSdMps } = demandOf(run, shared)
    expect(Math.abs(headwindSdMps / standardDeviation(heads) - 1)).toBeLessThan(1e-9)
    // The best estimate lies amid the draws: within three standard errors of their mean.
    expect(Math.abs(headwindMps - mean(heads))).toBeLessThan((3 * headwindSdMps) / Math.sqrt(50))
  })

  it('a headwind of 4 m/s at 10 m is one of 4 times the log law at the vehicle', () => {
    const shared = sharedDraws(vehicleOf({ ...noVehicle, referenceHeightM: 1 }), settings)
    // Due east against a wind blowing west. WMO-No. 8: up over open land (0.03 m) to 60 m, ln 2000/ln 333.3 = 1.30846, and
    // down over z0 = 0.1 m to 1 m, ln 10/ln 600 = 0.35995: 0.47098 of it.
    expect(demandOf(scene('a', { speedMps: 20, windEastMps: -4 }), shared).headwindMps).toBeCloseTo(4 * 0.47098, 4)
  })

  it('standing still costs idling alone', () => {
    const shared = sharedDraws(vehicleOf(noVehicle), settings)
    const run = scene('a', { speedMps: 20 })
    const moving = demandOf(run, shared).nominalJPerM
    run.steps.distanceM[50] = 0
    const stood = demandOf(run, shared).nominalJPerM
    // 99 steps of 100 m as before, and 5 s of 1.5 W/kg · 1500 kg.
    expect(stood * 9900).toBeCloseTo(moving * 9900 + 2250 * 5, 3)
  })

  it('an air that moves along with the vehicle gives no drag, and no NaN', () => {
    const shared = sharedDraws(vehicleOf(noVehicle), settings)
    const run = scene('a', { speedMps: 20 })
    run.steps.speedMps.fill(0)
    const { nominalDragJPerM, drawsJPerM } = demandOf(run, shared)
    expect(nominalDragJPerM).toBe(0)
    expect(drawsJPerM.every(Number.isFinite)).toBe(true)
  })

  it('the best estimate is the demand of the vehicle as stated, in the air as observed', () => {
    // Tyres that do not mind the temperature: the day's sun on them is drawn for all.
    const vehicle = vehicleOf({ ...noVehicle, massKg: 1500, dragAreaM2: 0.65 })
    const shared = sharedDraws({ ...vehicle, rollingTemperaturePerK: { value: 0, sd: 0 } }, settings)
    const noDoubt = structuredClone(shared)
    const certain = (value: number): Float64Array => new Float64Array(400).fill(value)
    noDoubt.massKg = certain(1500)
    noDoubt.dragAreaM2 = certain(0.65)
    noDoubt.rolling = certain(0.01)
    noDoubt.dragYawRise = certain(0.06)
    noDoubt.idlePowerW = certain(2250)
    // 105 N at 20 m/s, of which half grows with the speed.
    noDoubt.frictionN = certain(52.5)
    noDoubt.frictionNPerMps = certain(52.5 / 20)
    noDoubt.recovery = certain(0.7)
    noDoubt.exposure = certain(shared.bestExposure)
    noDoubt.exposureWaves = shared.exposureWaves.map(() => certain(0))
    noDoubt.exposureSectors = shared.exposureSectors.map(() => certain(0))
    noDoubt.turbulence = certain(shared.bestTurbulence)
    const run = varied()
    run.runAir.stations = []
    run.air.departureSdMps.fill(0)
    run.air.undirectedMps.fill(0)
    run.recordingSd = 0
    const traffic = trafficDraws(run, noDoubt)
    const { drawsJPerM, nominalJPerM, nominalDragJPerM } = demandOf(run, noDoubt)
    expect(Math.abs(nominalJPerM / (drawsJPerM[7] / (1 + traffic[7])) - 1)).toBeLessThan(1e-12)
    // The same without drag.
    noDoubt.dragAreaM2 = certain(0)
    const bare = plainly(run, noDoubt, 7).jPerM / (1 + traffic[7])
    expect(Math.abs(nominalDragJPerM / (nominalJPerM - bare) - 1)).toBeLessThan(1e-9)
  })
})
