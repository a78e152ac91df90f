import type { Station } from '../read/types.ts'

/** One station's part in what is known of the air along a run. */
export interface StationUse {
  id: string
  /** Mean weight of its wind (or, failing that, temperature) in the blend, 0 to 1. */
  weight: number
  /** Mean distance from the road, m; 0 for a logger in the car. */
  distanceM: number
  /** Largest time between a place on the road and the observation nearest in time, s. */
  gapS: number
  quality: Station['quality']
  /** Standard deviations of its lasting errors, shared by all runs that use it. */
  errors: InstrumentErrors
}

/**
 * The air that a run met, at a number of times along it; columns of one length, NaN where nothing within reach tells.
 * Winds are 10 m winds or what the anemometer's height makes of them; the step down to the vehicle comes later.
 */
export interface AirAlong {
  time: Float64Array
  temperatureK: Float64Array
  relativeHumidity: Float64Array
  pressurePa: Float64Array
  densityKgM3: Float64Array
  /** Velocity of the air at 10 m towards east and north, m/s; 0 where the speed is known but not the direction. */
  windEastMps: Float64Array
  windNorthMps: Float64Array
  /** Part of the wind's speed whose direction is not known (calm and variable reports, missing direction), m/s. */
  undirectedMps: Float64Array
  /** Standard deviation of the step from station to road, per wind component, m/s, and of the temperature, K. */
  windDepartureSdMps: Float64Array
  temperatureDepartureSdK: Float64Array
}

/** What is known of the air of one run as a whole, with the size of each source of error. */
export interface RunAir {
  along: AirAlong
  stations: StationUse[]
  /** Standard deviations of what was assumed because nobody observed it; 0 where it was observed. */
  assumed: { pressureSdPa: number; humiditySd: number }
  /** Share of the drive, 0 to 1, that rests on reports from beyond the usual reach, and that no report reaches. */
  farShare: number
  beyondShare: number
  /** What is missing for a demand: nothing, or the quantities without an observation within reach. */
  missing: ('temperature' | 'wind')[]
  gustMps: number
  precipitationMm: number
  roadWet: number
  presentWeather: string[]
  /** Whether reports of that time and of the hours in which a wet road dries say that nothing fell. */
  weatherObserved: boolean
}

export interface InstrumentErrors {
  temperatureK: number
  relativeHumidity: number
  pressurePa: number
  /** Relative. */
  windSpeed: number
  windFromDeg: number
}
