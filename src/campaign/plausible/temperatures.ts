import { REACH } from '../../air/blend.ts'
import type { StationSeries } from '../../air/series.ts'
import type { Problem } from '../../base/problem.ts'
import { median } from '../../base/statistics.ts'
import { celsiusFromFahrenheit, celsiusFromKelvin, kelvinFromCelsius } from '../../base/units.ts'
import type { FillRow, RunRow } from '../../read/runs/rows.ts'
import { stepM } from '../../track/geodesy.ts'

/** Air above this is rare on any road, °C. @source WMO: highest air temperatures of most countries lie below 50 °C (from memory) */
const HOTTEST_C = 46
/** Fuel in an underground tank or in a car's is never so warm, °C. Common practice, no source. */
const HOTTEST_FUEL_C = 42
/** Two stations of one region differ by less, K, once both are in one unit. Common practice, no source. */
const AGREE_K = 7
const DISAGREE_K = 12

const asFahrenheit = (kelvin: number): number => kelvinFromCelsius(celsiusFromFahrenheit(celsiusFromKelvin(kelvin)))
/** What was a number of °C, taken for °F. */
const asCelsius = (kelvin: number): number => kelvinFromCelsius((celsiusFromKelvin(kelvin) * 9) / 5 + 32)

/** 32 °F and more, taken for °C, is warm. */
const WARM_C = 25

/** A drive of which the driver noted the temperature. */
export interface NotedDrive {
  row: RunRow
  time: number
  latitude: number
  longitude: number
}

/** Temperatures that are those of the other stations, or possible at all, in another unit than the column says. */
export function temperatureProblems(
  stations: readonly StationSeries[],
  drives: readonly NotedDrive[],
  runsFile: string | null,
): Problem[] {
  const ofStations = stations.flatMap((series): Problem[] => {
    const others = stations.filter((other) => other !== series && isNear(series, other))
    const pairs = others.flatMap((other) =>
      Array.from(series.time.keys()).flatMap((i) => pairAt(series.temperatureK[i], series.time[i], other)),
    )
    const found = pairs.length >= 3 ? byPairs(pairs) : byRange([...series.temperatureK])
    if (found === null) return []
    const line = found.is === 'fahrenheit' ? 'temperature_f' : 'temperature_c'
    return [{ ...problemOf(found, `the temperatures of ${series.station.id}`, line), file: series.files[0] }]
  })
  const noted = drives.filter(({ row }) => Number.isFinite(row.temperatureK))
  const pairs = noted.flatMap(({ row, time, latitude, longitude }) =>
    stations
      .filter(({ station }) => stepM(latitude, longitude, station.latitude, station.longitude) <= REACH.distanceM)
      .flatMap((series) => pairAt(row.temperatureK, time, series)),
  )
  const found = pairs.length > 0 ? byPairs(pairs) : byRange(noted.map(({ row }) => row.temperatureK))
  if (found === null) return ofStations
  const file = noted[0].row.file ?? runsFile
  const name = found.is === 'fahrenheit' ? 'temperature_f' : 'temperature_c'
  const own = { ...problemOf(found, 'the temperatures noted for the drives', name), line: noted[0].row.line }
  return [...ofStations, { ...own, ...(file === null ? {} : { file }) }]
}

/** Temperatures of fuel that no tank has, and that are usual in °F. */
export function fuelTemperatureProblems(rows: readonly (RunRow | FillRow)[], file: string | null): Problem[] {
  const read = rows.filter(({ fuelTemperatureK }) => Number.isFinite(fuelTemperatureK))
  if (read.length === 0) return []
  const middle = celsiusFromKelvin(median(read.map(({ fuelTemperatureK }) => fuelTemperatureK)))
  if (middle <= HOTTEST_FUEL_C) return []
  const message = `the fuel was ${middle.toFixed(0)} °C warm (middle of ${read.length}), expected at most ${HOTTEST_FUEL_C}; in °F that would be ${celsiusFromFahrenheit(middle).toFixed(0)} °C`
  const hint = 'These are probably °F: name the column fuel_temperature_f. Nothing was changed.'
  const own = read[0].file ?? file
  const place = { line: read[0].line, ...(own === null ? {} : { file: own }) }
  return [{ code: 'temperature-unit-doubtful', severity: 'warning', ...place, message, hint }]
}

interface Pair {
  ownK: number
  otherK: number
}

interface FoundUnit {
  is: 'fahrenheit' | 'celsius'
  /** As they stand, and in the other unit, K; of the other stations NaN where none says. */
  ownK: number
  thenK: number
  otherK: number
}

function isNear({ station: a }: StationSeries, { station: b }: StationSeries): boolean {
  if (a.onRoad || b.onRoad) return false
  return stepM(a.latitude, a.longitude, b.latitude, b.longitude) <= REACH.distanceM
}

/** The report of another station within an hour. */
function pairAt(ownK: number, time: number, { time: times, temperatureK }: StationSeries): Pair[] {
  if (Number.isNaN(ownK)) return []
  let nearest = -1
  for (let i = 0; i < times.length; i++) {
    if (Number.isNaN(temperatureK[i]) || Math.abs(times[i] - time) > 3600) continue
    if (nearest < 0 || Math.abs(times[i] - time) < Math.abs(times[nearest] - time)) nearest = i
  }
  return nearest < 0 ? [] : [{ ownK, otherK: temperatureK[nearest] }]
}

function byPairs(pairs: readonly Pair[]): FoundUnit | null {
  const middle = (of: (pair: Pair) => number): number => median(pairs.map(of))
  if (middle(({ ownK, otherK }) => Math.abs(ownK - otherK)) < DISAGREE_K) return null
  const figures = { ownK: middle(({ ownK }) => ownK), otherK: middle(({ otherK }) => otherK) }
  const fits = (convert: (kelvin: number) => number): boolean =>
    middle(({ ownK, otherK }) => Math.abs(convert(ownK) - otherK)) < AGREE_K
  // Of two that differ the warmer one is in °F where it is warm, and the colder one in °C where that is not.
  const hotterC = celsiusFromKelvin(Math.max(figures.ownK, figures.otherK))
  if (figures.ownK > figures.otherK && hotterC > WARM_C && fits(asFahrenheit)) {
    return { is: 'fahrenheit', ...figures, thenK: asFahrenheit(figures.ownK) }
  }
  const isCelsius = figures.ownK < figures.otherK && hotterC <= WARM_C && fits(asCelsius)
  return isCelsius ? { is: 'celsius', ...figures, thenK: asCelsius(figures.ownK) } : null
}

function byRange(kelvin: readonly number[]): FoundUnit | null {
  const known = kelvin.filter(Number.isFinite)
  if (known.length === 0) return null
  const ownK = median(known)
  if (celsiusFromKelvin(ownK) <= HOTTEST_C) return null
  return { is: 'fahrenheit', ownK, thenK: asFahrenheit(ownK), otherK: Number.NaN }
}

function problemOf({ is, ownK, thenK, otherK }: FoundUnit, what: string, column: string): Problem {
  const c = (kelvin: number): string => `${celsiusFromKelvin(kelvin).toFixed(0)} °C`
  const [unit, other] = is === 'fahrenheit' ? ['°F', 'in °F'] : ['°C', 'in °C']
  const against = Number.isNaN(otherK) ? 'which no road has' : `while other stations had ${c(otherK)}`
  return {
    code: 'temperature-unit-doubtful',
    severity: 'warning',
    message: `${what} are ${c(ownK)} in the middle, ${against}; ${other} the same numbers would be ${c(thenK)}`,
    hint: `These are probably ${unit}: name the column ${column}. Nothing was changed.`,
  }
}
