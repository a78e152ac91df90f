/**
 * A simulator of truth: runs of one vehicle on a road through a weather, what they truly took, and what a GPS logger and
 * the weather stations nearby would have written down. Its physics is on purpose not the program's. All draws are seeded.
 */
import { type DeviceSettings, type Fixes, gpxText, recordFixes } from './device.ts'
import { type DriverSettings, drive, type TrueMotion } from './driver.ts'
import { randomOf } from './random.ts'
import type { Road } from './road.ts'
import { type Truth, truthOf, type Vehicle } from './vehicle.ts'
import type { Weather } from './weather.ts'

export { PULL_OF_LORRY } from './driver.ts'
export { type Road, type RoadSettings, type RoadShape, simulateRoad } from './road.ts'
export { type Reading, type SimulatedStation, type StationReports, stationReports } from './stations.ts'
export { asBuilt, delivery, smallCar, type Truth, type Vehicle, withDrag } from './vehicle.ts'
export { type Air, simulateWeather, type Weather, type WeatherKnot, type WeatherSettings } from './weather.ts'

export interface RunSettings {
  road: Road
  weather: Weather
  vehicle: Vehicle
  /** Seconds since 1970 UTC. */
  startS: number
  seed: string
  /** Time between fixes, s; a multiple of 0.5. */
  sampleS?: number
  name?: string
  creator?: string
  driver?: Omit<DriverSettings, 'seed'>
  device?: Omit<DeviceSettings, 'seed' | 'sampleS'>
}

export interface SimulatedRun {
  gpx: string
  fixes: Fixes
  motion: TrueMotion
  truth: Truth
  endS: number
}

/** One run: the drive, its truth and the track that the logger wrote. Another seed is another driver, gusts and GPS errors. */
export function simulateRun(settings: RunSettings): SimulatedRun {
  const { road, weather, vehicle, startS, seed } = settings
  const motion = drive(road, { ...settings.driver, seed })
  const fixes = recordFixes(road, motion, startS, { ...settings.device, seed, sampleS: settings.sampleS })
  return {
    gpx: gpxText(fixes, settings.name ?? seed, settings.creator),
    fixes,
    motion,
    truth: truthOf(road, motion, weather, vehicle, startS, seed),
    endS: startS + (motion.count - 1) * motion.dtS,
  }
}

/** Lower heating values, MJ per litre. */
const MJ_PER_LITRE = { petrol: 32.0, diesel: 35.8 }

export interface FillSettings {
  /** Names of the fill before the run and of the one after it; in a chain the one after is the next run's one before. */
  before: string
  after: string
  /** Standard deviation of one fill to the same level, litres. */
  repeatabilityLitres: number
  /** What the pump shows for one litre. */
  meterFactor?: number
}

/** What the pump shows after the run: the fuel used, with the errors of the levels of both fills. */
export function fillLitres(vehicle: Vehicle, truth: Truth, settings: FillSettings): number {
  const { powertrain } = vehicle
  if (powertrain === 'electric' || powertrain === 'human') throw new Error(`no litres go into ${powertrain} vehicles`)
  const levelError = (fill: string) => settings.repeatabilityLitres * randomOf(`${fill}/fill`).normal()
  const usedLitres = truth.fuelEnergyJ / 1e6 / MJ_PER_LITRE[powertrain]
  return (usedLitres + levelError(settings.after) - levelError(settings.before)) * (settings.meterFactor ?? 1)
}

/** What the charger shows after the run, kWh: 88 % of it reached the battery, 1 % of random error. */
export function chargeKwh(truth: Truth, settings: { seed: string }): number {
  return (truth.fuelEnergyJ / 3.6e6 / 0.88) * (1 + 0.01 * randomOf(`${settings.seed}/charge`).normal())
}
