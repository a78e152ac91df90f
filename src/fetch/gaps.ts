import { join } from 'node:path'
import { present } from '../base/present.ts'
import type { Problem } from '../base/problem.ts'
import { isoClock, isoDay } from '../base/time.ts'
import { mapParts } from '../campaign/load/map-parts.ts'
import { readListed } from '../files/folder.ts'
import { isWeatherKind, readWeather } from '../read/weather/read.ts'
import type { Need } from './cells.ts'
import type { FetchedFolder } from './fetched-folder.ts'
import type { Fetched } from './gather.ts'
import type { Span } from './types.ts'

/**
 * Reads the files that were just written, as a report would, and tells which drives they say nothing of: an answer may be
 * whole and yet shorter than what was asked for.
 */
export async function gapsIn(folder: FetchedFolder, fetched: readonly Fetched[], need: Need): Promise<Problem[]> {
  const gaps: Problem[] = []
  for (const { ask, result } of fetched) {
    if (result !== 'written' || ask.purpose !== 'observations' || ask.span === null) continue
    const path = `${folder.name}/${ask.file}`
    const times = await timesIn(folder.root, path)
    if (times === null) {
      const message = 'this answer could not be read as weather observations; the report would not use it'
      gaps.push({ code: 'fetched-unreadable', severity: 'error', message, file: path })
      continue
    }
    const missing = drivesWithin(need, ask.span).filter(({ fromS, toS }) => !times.some((t) => t >= fromS && t <= toS))
    if (missing.length === 0) continue
    const hours = missing.map(({ fromS, toS }) => `${timeOf(fromS)} to ${timeOf(toS)}`)
    const message = `nothing was observed from ${hours.slice(0, 3).join(', ')}${hours.length > 3 ? ` and at ${hours.length - 3} other times of drives` : ''}`
    gaps.push({ code: 'fetched-gap', severity: 'warning', message, file: path })
  }
  return gaps
}

const drivesWithin = ({ areas }: Need, span: Span): Span[] =>
  areas.flatMap(({ hours }) => hours).filter(({ fromS, toS }) => fromS >= span.fromS && toS <= span.toS)

const timeOf = (seconds: number): string => `${isoDay(seconds)} ${isoClock(seconds).slice(0, 5)}Z`

async function timesIn(root: string, path: string): Promise<number[] | null> {
  const read = await readListed({ path, absolutePath: join(root, path) })
  if (read.value === null) return null
  const times = (await mapParts(read.value)).flatMap(({ kind, text }) => {
    if (!isWeatherKind(kind)) return []
    const context = { timeZone: null, fileName: path, coverFrom: null, coverTo: null, coverSpans: [] }
    const { value } = readWeather(kind, present(text), context)
    return value === null ? [] : [...value.time]
  })
  return times.length > 0 ? times : null
}
