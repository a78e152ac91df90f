import { SEASON_SD } from './blend.ts'
import { airDensityKgM3 } from './density.ts'
import { LAPSE_RATE, pressureAtElevation } from './pressure.ts'
import type { AirAlong, RunAir } from './types.ts'

/** Goes on with the nearest known air where no station reaches, unless that is most of the drive. */
export function continued(along: AirAlong, elevationM: Float64Array): Pick<RunAir, 'missing' | 'beyondShare'> {
  const missing: RunAir['missing'] = []
  const beyond = { temperature: shareMissing(along.temperatureK), wind: shareMissing(along.windEastMps) }
  if (beyond.temperature > MOST_BEYOND) missing.push('temperature')
  else if (beyond.temperature > 0) continueTemperature(along, elevationM)
  if (beyond.wind > MOST_BEYOND) missing.push('wind')
  else if (beyond.wind > 0) continueWind(along)
  return { missing, beyondShare: missing.length > 0 ? 0 : Math.max(beyond.temperature, beyond.wind) }
}

/** A drive whose air is not known for more than this part of it is not known. */
const MOST_BEYOND = 0.5

const shareMissing = (values: Float64Array): number =>
  values.reduce((count, value) => count + (Number.isFinite(value) ? 0 : 1), 0) / values.length

/** For each place without a value, the place nearest to it in time that has one; -1 for those that have their own. */
function nearestKnown({ time }: AirAlong, values: Float64Array): Int32Array {
  const nearest = new Int32Array(values.length).fill(-1)
  const known = [...values.keys()].filter((i) => Number.isFinite(values[i]))
  for (const i of values.keys()) {
    if (Number.isFinite(values[i])) continue
    nearest[i] = known.reduce((best, j) => (Math.abs(time[j] - time[i]) < Math.abs(time[best] - time[i]) ? j : best))
  }
  return nearest
}

/** Where no station reaches, the temperature and the pressure of the nearest place that one reaches, with the season's spread. */
function continueTemperature(along: AirAlong, elevationM: Float64Array): void {
  nearestKnown(along, along.temperatureK).forEach((from, i) => {
    if (from < 0) return
    const climb = elevationM[i] - elevationM[from]
    const level = Number.isFinite(climb) ? climb : 0
    along.temperatureK[i] = along.temperatureK[from] - LAPSE_RATE * level
    along.temperatureDepartureSdK[i] = SEASON_SD.temperatureK
    along.relativeHumidity[i] = along.relativeHumidity[from]
    along.pressurePa[i] = pressureAtElevation(
      along.pressurePa[from],
      0,
      level,
      along.temperatureK[from],
      along.relativeHumidity[i],
    )
    along.densityKgM3[i] = airDensityKgM3(along.temperatureK[i], along.pressurePa[i], along.relativeHumidity[i])
  })
}

/** Where no station reaches, the wind of the nearest place that one reaches, with the season's spread. */
function continueWind(along: AirAlong): void {
  nearestKnown(along, along.windEastMps).forEach((from, i) => {
    if (from < 0) return
    along.windEastMps[i] = along.windEastMps[from]
    along.windNorthMps[i] = along.windNorthMps[from]
    along.undirectedMps[i] = along.undirectedMps[from]
    along.windDepartureSdMps[i] = SEASON_SD.windMps
  })
}
