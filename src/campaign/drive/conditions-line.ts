import { celsiusFromKelvin } from '../../base/units.ts'
import type { KeptRecord } from './run-record.ts'

/** A run's conditions in one line, for tables and statements; says so where they are not known. */
export function conditionsLine({ means, wind, comparable, run, sun }: KeptRecord): string {
  const parts: string[] = []
  if (Number.isFinite(means.temperatureK)) parts.push(`${celsiusFromKelvin(means.temperatureK).toFixed(0)} °C`)
  if (Number.isFinite(means.densityKgM3)) parts.push(`air ${means.densityKgM3.toFixed(3)} kg/m³`)
  parts.push(windWords(wind))
  const { wet } = comparable.outside
  if (wet !== null) parts.push(wet ? 'wet road' : 'dry road')
  if (sun.phase !== null && sun.phase !== 'day') parts.push(sun.phase)
  parts.push(`${(run.summary.movingSpeedMps * 3.6).toFixed(0)} km/h while moving`)
  return parts.join(', ')
}

function windWords({ speedMps, fromDeg, headwindMps }: KeptRecord['wind']): string {
  if (!Number.isFinite(speedMps)) return 'wind not known'
  const speed = `wind ${speedMps.toFixed(1)} m/s`
  if (!Number.isFinite(fromDeg)) return `${speed}, direction not known`
  const head = Math.abs(headwindMps).toFixed(1)
  return `${speed} from ${fromDeg.toFixed(0)}° (mean ${headwindMps < 0 ? 'tailwind' : 'headwind'} ${head} m/s at the vehicle)`
}
