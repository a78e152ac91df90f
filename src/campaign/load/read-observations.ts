import { dailyCourseProblems } from '../../air/daily-course.ts'
import type { ObservationFile } from '../../air/series.ts'
import { withinTimeReach } from '../../air/within-reach.ts'
import { present } from '../../base/present.ts'
import type { Problem } from '../../base/problem.ts'
import type { Remember } from '../../base/remember.ts'
import type { Span } from '../../base/time.ts'
import type { Measured } from '../../read/types.ts'
import { daysOfDrives } from '../../read/weather/days-of-drives.ts'
import { dependenciesOf, isWeatherKind, readWeather } from '../../read/weather/read.ts'
import type { WeatherContext } from '../../read/weather/reader.ts'
import { WEATHER } from '../kept/weather-shape.ts'
import { type PlacedDrive, weatherTimeProblems } from '../plausible/times.ts'
import { inFile } from './first-of-kind.ts'
import { isLongTable, type MappedFile } from './map-file.ts'
import { fileOfPart } from './map-parts.ts'

export interface ReadObservations {
  observations: ObservationFile[]
  /** What is told of the files, by path. */
  notes: Map<string, string[]>
  problems: Problem[]
}

/** The files of weather, read as far as their observations may say something of the drives. */
export function readObservations(
  files: MappedFile[],
  contextOf: (file: MappedFile) => WeatherContext & { coverSpans: Span[] },
  isForecast: (file: MappedFile) => boolean,
  drives: PlacedDrive[],
  remember: Remember,
): ReadObservations {
  const found: ReadObservations = { observations: [], notes: new Map(), problems: [] }
  for (const file of files) {
    const { kind, path } = file
    if (!isWeatherKind(kind)) continue
    if (isForecast(file)) {
      found.notes.set(path, ['a forecast: not used for drives, which have been made meanwhile'])
      continue
    }
    const context = contextOf(file)
    const text = present(file.text)
    const wanted = isLongTable(text) ? context.coverSpans : []
    const read = remember(WEATHER, [contentOf(file), kind, dependenciesOf(kind, context), wanted], () =>
      readWeather(kind, daysOfDrives(text, wanted), context),
    )
    found.problems.push(...inFile(file, read.problems))
    if (!read.value) continue
    const doubts = [...dailyCourseProblems(read.value), ...weatherTimeProblems(read.value, drives)]
    found.problems.push(...inFile(file, doubts))
    const near = withinTimeReach(read.value, context.coverSpans)
    if (near.leftAside > 0) found.notes.set(path, [leftAsideNote(near.leftAside, read.value.count)])
    found.observations.push({ file: path, observations: near.observations })
  }
  const problems = found.problems.filter((problem) => !isElsewhere(problem, found.observations))
  return { ...found, problems: bothMissingOnce(problems) }
}

/** Quantities that tables without a column of them are warned of. */
const MISSING: Record<string, Measured> = {
  'weather-wind-missing': 'windSpeedMps',
  'weather-temperature-missing': 'temperatureK',
}

/** Whether what one table lacks stands in another: wind and temperature often come in files of their own. */
function isElsewhere({ code }: Problem, files: ObservationFile[]): boolean {
  const lacking = MISSING[code]
  return (
    lacking !== undefined &&
    files.some(({ observations }) => observations[lacking].some((value) => !Number.isNaN(value)))
  )
}

/** A table without wind and without temperature is warned of once. */
function bothMissingOnce(problems: readonly Problem[]): Problem[] {
  const lacksTemperature = (file: string | undefined): boolean =>
    problems.some((other) => other.code === 'weather-temperature-missing' && other.file === file)
  const lacksWind = (file: string | undefined): boolean =>
    problems.some((other) => other.code === 'weather-wind-missing' && other.file === file)
  return problems.flatMap((problem) => {
    if (problem.code === 'weather-temperature-missing' && lacksWind(problem.file)) return []
    if (problem.code !== 'weather-wind-missing' || !lacksTemperature(problem.file)) return [problem]
    const message =
      'this weather table has neither a column of wind speed nor one of temperature, so it covers no drive; columns such as wind_speed_kmh and temperature_c were expected'
    return [{ ...problem, message }]
  })
}

/** Names a file's content; of a workbook, whose sheets have one digest, with the sheet. */
const contentOf = ({ path, sha256 }: MappedFile): string => sha256 + path.slice(fileOfPart(path).length)

const leftAsideNote = (rows: number, of: number): string =>
  `${rows} of its ${of} observations were made too long before or after every drive to say anything of it`
