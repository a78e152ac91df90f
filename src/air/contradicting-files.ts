import { byCodeUnits } from '../base/arithmetic.ts'
import type { Problem } from '../base/problem.ts'
import { celsiusFromKelvin } from '../base/units.ts'
import type { Gathered, Row } from './gathered.ts'
import { isSame, LEAST_SHARE_EQUAL } from './same-station.ts'

interface Compared {
  common: number
  differing: number
  example: [Row, Row] | null
}

/**
 * Two files that tell of one station at the same moments and differ by more than rounding: the one that comes later in
 * the order of names counts (see `StationSeries`), which nobody would guess.
 */
export function contradictingFiles({ station, rows }: Gathered): Problem[] {
  if (station.onRoad || station.quality !== 'instrument') return []
  return [...comparedFiles(rows).values()].flatMap(({ common, differing, example }): Problem[] => {
    if (example === null || differing <= (1 - LEAST_SHARE_EQUAL) * common) return []
    const [counts, other] = [...example].sort((a, b) => byCodeUnits(b.from.file, a.from.file))
    const time = new Date(timeOf(counts) * 1000).toISOString().slice(0, 16)
    const message = `of ${station.id} this file and ${other.from.file} report other values in ${differing} of ${common} moments that both tell of, as at ${time}Z ${valuesOf(counts)} and ${valuesOf(other)}; this file counts`
    const hint = 'Look which one has the wrong unit, time zone or station, and move it out of the folder.'
    return [{ code: 'station-contradicted', severity: 'warning', file: counts.from.file, message, hint }]
  })
}

/** Rows of the same moment from different files, counted for each pair of files. */
function comparedFiles(rows: Row[]): Map<string, Compared> {
  const pairs = new Map<string, Compared>()
  const firstAt = new Map<number, Row>()
  for (const row of rows) {
    const first = firstAt.get(timeOf(row))
    if (!first) firstAt.set(timeOf(row), row)
    if (!first || first.from === row.from) continue
    const key = JSON.stringify([first.from.file, row.from.file])
    const pair = pairs.get(key) ?? { common: 0, differing: 0, example: null }
    pairs.set(key, pair)
    pair.common++
    if (isSame(first, row)) continue
    pair.differing++
    pair.example ??= [first, row]
  }
  return pairs
}

const timeOf = ({ from, row }: Row): number => from.observations.time[row]

function valuesOf({ from: { observations }, row }: Row): string {
  const celsius = celsiusFromKelvin(observations.temperatureK[row])
  const windMps = observations.windSpeedMps[row]
  const said = [
    ...(Number.isNaN(celsius) ? [] : [`${celsius.toFixed(1)} °C`]),
    ...(Number.isNaN(windMps) ? [] : [`${windMps.toFixed(1)} m/s`]),
  ]
  const fromDeg = observations.windFromDeg[row]
  return [...said, ...(Number.isNaN(fromDeg) ? [] : [`from ${Math.round(fromDeg)}°`])].join(', ')
}
