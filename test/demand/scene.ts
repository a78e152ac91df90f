import type { RunAir } from '../../src/air/types.ts'
import type { EnsembleRun, Steps } from '../../src/demand/types.ts'
import type { VehicleSettings } from '../../src/read/campaign/settings.ts'

/** A vehicle of which nothing but the class is stated. */
export const noVehicle: VehicleSettings = {
  class: 'car',
  massKg: null,
  massUncertaintyKg: null,
  dragAreaM2: null,
  dragAreaUncertaintyM2: null,
  rollingResistance: null,
  rollingResistanceUncertainty: null,
  powertrain: null,
  referenceHeightM: null,
  coastDown: null,
}

/** Road load of a car from a coast-down: made up, of the usual size. */
export const coastDown = {
  aN: 130,
  bNPerMps: 2.5,
  cNPerMps2: 0.42,
  referenceTemperatureK: 298,
  referenceDensityKgM3: 1.16,
}

export const settings = { draws: 400, seed: 1, roughnessM: 0.1 }

export interface Scene {
  speedMps: number
  densityKgM3?: number
  temperatureC?: number
  climbPerStepM?: number
  windEastMps?: number
  windNorthMps?: number
  undirectedMps?: number
  departureSdMps?: number
  kineticJPerKg?: number[]
}

/** 100 steps of 100 m due east at one speed. */
export function scene(id: string, s: Scene): EnsembleRun {
  const count = 100
  const fill = (value: number): Float64Array => new Float64Array(count).fill(value)
  const steps: Steps = {
    time: Float64Array.from({ length: count }, (_, i) => 1.6e9 + (i * 100) / s.speedMps),
    durationS: fill(100 / s.speedMps),
    idlingS: fill(100 / s.speedMps),
    doubtfulIdlingS: fill(0),
    distanceM: fill(100),
    speedMps: fill(s.speedMps),
    kineticJPerKg: Float64Array.from({ length: count }, (_, i) => s.kineticJPerKg?.[i] ?? 0),
    fineKineticJPerKg: fill(0),
    coarseKineticJPerKg: fill(0),
    climbM: fill(s.climbPerStepM ?? 0),
    elevationM: fill(0),
    latitude: fill(50),
    longitude: fill(8),
    courseEast: fill(1),
    courseNorth: fill(0),
    axisFromM: Float64Array.from({ length: count }, (_, i) => i * 100),
    axisToM: Float64Array.from({ length: count }, (_, i) => (i + 1) * 100),
  }
  const air = {
    node: Int32Array.from({ length: count }, (_, i) => i),
    densityKgM3: fill(s.densityKgM3 ?? 1.189),
    temperatureK: fill(273.15 + (s.temperatureC ?? 20)),
    windEastMps: fill(s.windEastMps ?? 0),
    windNorthMps: fill(s.windNorthMps ?? 0),
    undirectedMps: fill(s.undirectedMps ?? 0),
    departureSdMps: fill(s.departureSdMps ?? 0),
  }
  const runAir: RunAir = {
    farShare: 0,
    beyondShare: 0,
    along: {
      time: steps.time,
      temperatureK: air.temperatureK,
      relativeHumidity: fill(0.5),
      pressurePa: fill(100_000),
      densityKgM3: air.densityKgM3,
      windEastMps: air.windEastMps,
      windNorthMps: air.windNorthMps,
      undirectedMps: air.undirectedMps,
      windDepartureSdMps: air.departureSdMps,
      temperatureDepartureSdK: fill(0),
    },
    stations: [],
    assumed: { pressureSdPa: 0, humiditySd: 0 },
    missing: [],
    gustMps: Number.NaN,
    precipitationMm: Number.NaN,
    roadWet: Number.NaN,
    presentWeather: [],
    weatherObserved: false,
  }
  return { recording: id, region: 'here', steps, air, runAir, payloadKg: 0, accessoriesW: 0, recordingSd: 0 }
}
