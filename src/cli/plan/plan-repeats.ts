import { createHash } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import { jsonText } from '../../base/json-text.ts'
import { cleaned } from '../../base/names.ts'
import type { Problem } from '../../base/problem.ts'
import { plainText } from '../../base/sentence.ts'
import { workingStateOf } from '../../campaign/computed-campaign.ts'
import { mapFile } from '../../campaign/load/map-file.ts'
import { fileErrorReason, isFileError } from '../../files/file-errors.ts'
import { type MeasuringWay, type PlannedShape, type StatedAsWell, tellsMore } from '../../plan/choices.ts'
import { usualRepeatability } from '../../plan/design.ts'
import { type Experience, experienceOf } from '../../plan/experience.ts'
import { type Measuring, USUAL_PER_100_KM } from '../../plan/measuring.ts'
import { CONDITIONS_SD, type RepeatsQuestion, repeatsPlan } from '../../plan/repeats.ts'
import { wrapped } from '../../report/terminal/terminal-text.ts'
import { lessonWords } from '../../report/words/plans/repeats.ts'
import { routesOf } from '../../road/routes.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../../shell/exit-codes.ts'
import { refuse } from '../../shell/refusal.ts'
import { columnsOf } from '../../shell/terminal-stream.ts'
import { openFolder, sayProblem } from '../../work/campaign-folder.ts'
import { repeatsRecord } from './repeats-record.ts'
import { repeatsText } from './repeats-text.ts'

export interface RepeatsOptions {
  effect: number
  roadKm?: number
  track?: string
  lengths?: string
  shape?: PlannedShape
  fuel?: MeasuringWay
  fuelError?: number
  also?: StatedAsWell
  baselineDrives?: number
  fuelKind?: 'petrol' | 'diesel'
  consumption?: number
  fuelTemperatureRead?: boolean
  repeatability?: number
  conditions?: number
  folder?: string
  json?: boolean
}

type Asked = Omit<RepeatsOptions, 'lengths' | 'json'>

/** The command `plan repeats`. */
export async function planRepeats(options: RepeatsOptions): Promise<ExitCode> {
  if (options.effect === 0)
    return refuse('an effect of 0 % cannot be found; give the change expected, like --effect 3', options.json)
  const asked = await askedOf(options, (routeM) => lengthsOf(options.lengths, routeM))
  if (typeof asked === 'string') return refuse(asked, options.json)
  const { question, learnt } = asked
  const plan = repeatsPlan(question)
  process.stdout.write(
    options.json
      ? `${jsonText({ ...repeatsRecord(plan), learnt: lessonsOf(learnt) }, 2)}\n`
      : `${lessonText(learnt)}${repeatsText(plan, (text) => wrapped(text, columnsOf(process.stdout)))}`,
  )
  return learnt?.errors ? DONE_WITH_ERRORS : DONE
}

/**
 * What is asked, with what a folder or a recording tells of it; or why it cannot be.
 * @param lengths to consider, m, for the length of the road
 */
export async function askedOf(
  options: Asked,
  lengths: (routeM: number) => number[] | string,
): Promise<{ question: RepeatsQuestion; learnt: Learnt | null } | string> {
  const learnt = options.folder === undefined ? null : await learnFrom(options.folder, options.fuelKind)
  if (typeof learnt === 'string') return learnt
  const refused = asWellRefused(options.also, wayOf(options, learnt?.experience ?? null))
  if (refused !== null) return refused
  const track = options.track === undefined ? null : await routeOf(options.track)
  if (typeof track === 'string') return track
  const routeM = options.roadKm !== undefined ? 1000 * options.roadKm : (track?.lengthM ?? learnt?.experience.lengthM)
  if (routeM === undefined || Number.isNaN(routeM)) {
    return 'the length of the road is not known; give --road-km, --track or --folder'
  }
  const routesM = lengths(routeM)
  if (typeof routesM === 'string') return routesM
  return { question: questionOf(options, routesM, track?.shape ?? null, learnt?.experience ?? null), learnt }
}

const wayOf = ({ fuel }: Asked, learnt: Experience | null): MeasuringWay => fuel ?? learnt?.way ?? 'pump'

/** Why what is stated cannot be read beside the fuel; null where it can. */
function asWellRefused(also: StatedAsWell | undefined, way: MeasuringWay): string | null {
  if (also === undefined || also === 'none' || tellsMore(also, way)) return null
  return way === 'battery'
    ? `--also ${also}: a charge meter (--fuel battery) measures no fuel that could be read as well; leave --also out`
    : `--also ${also}: that is how the fuel is measured already (--fuel ${way}), and one reading counts once; leave --also out, or give another reading, like --also trip-computer`
}

/** Stated, or learnt where it goes with the fuel's own measuring. */
function asWellOf({ also }: Asked, learnt: Experience | null, way: MeasuringWay): Measuring['also'] {
  if (also !== undefined) return also === 'none' ? null : also
  return learnt?.also && tellsMore(learnt.also, way) ? learnt.also : null
}

function questionOf(
  options: Asked,
  routesM: number[],
  trackShape: PlannedShape | null,
  learnt: Experience | null,
): RepeatsQuestion {
  const way = wayOf(options, learnt)
  const inPercent = way === 'battery' || way === 'logged'
  const measuring: Measuring = {
    way,
    fuel: options.fuelKind ?? learnt?.fuel ?? 'petrol',
    per100Km:
      options.consumption ??
      (learnt?.way === way || way !== 'battery' ? learnt?.per100Km : undefined) ??
      (way === 'battery' ? USUAL_PER_100_KM.electric : USUAL_PER_100_KM.liquid),
    error:
      options.fuelError !== undefined
        ? options.fuelError / (inPercent ? 100 : 1)
        : way !== 'scale' && !inPercent
          ? (learnt?.fillSdLitres ?? null)
          : null,
    temperatureRead: options.fuelTemperatureRead ?? learnt?.temperatureRead ?? false,
    meterTolerancePct: learnt?.meterTolerancePct ?? null,
    also: asWellOf(options, learnt, way),
  }
  const shape = options.shape ?? trackShape ?? learnt?.shape ?? 'loop'
  const own = options.conditions !== undefined ? options.conditions / 100 : (learnt?.conditionsSd ?? null)
  const stated = options.repeatability !== undefined ? options.repeatability / 100 : null
  return {
    effectPct: options.effect,
    shape,
    routesM,
    measuring,
    conditionsSd:
      own === null ? CONDITIONS_SD : scaledTo(own, options.conditions === undefined ? (learnt?.shape ?? shape) : shape),
    baselineDrives: options.baselineDrives ?? null,
    repeatability: stated === null && learnt?.repeatability ? learnt.repeatability : usualRepeatability(stated),
  }
}

/** What is known for one shape says how the others would be. */
function scaledTo(sd: number, shape: PlannedShape): Record<PlannedShape, number> {
  const factor = sd / CONDITIONS_SD[shape]
  return {
    'one-way': factor * CONDITIONS_SD['one-way'],
    'there-and-back': factor * CONDITIONS_SD['there-and-back'],
    loop: factor * CONDITIONS_SD.loop,
  }
}

function lengthsOf(written: string | undefined, routeM: number): number[] | string {
  if (written === undefined) return [routeM / 2, routeM, 2 * routeM]
  const km = written.split(',').map((text) => (text.trim() === '' ? Number.NaN : Number(text)))
  if (km.length > 6 || !km.every((length) => length >= 1 && length <= 5000)) {
    return `--lengths: found "${cleaned(written)}", expected up to 6 lengths from 1 to 5000 km separated by commas, like 50,100,200`
  }
  return [...new Set(km)].sort((a, b) => a - b).map((length) => 1000 * length)
}

interface Learnt {
  experience: Experience
  errors: boolean
}

async function learnFrom(folder: string, fuelKind: RepeatsOptions['fuelKind']): Promise<Learnt | string> {
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return opened.refusal
  const { mapped, kept, problems } = opened
  const state = await workingStateOf(mapped, kept, { draws: 400, seed: 1 })
  const errors = [...problems, ...mapped.flatMap((f) => f.problems.map((p) => ({ ...p, file: f.path })))].filter(
    isError,
  )
  for (const problem of errors) sayProblem(problem)
  if (state.records.length === 0) return `the folder ${cleaned(folder)} holds no track that could be used`
  return { experience: experienceOf(state, fuelKind), errors: errors.length > 0 }
}

const isError = ({ severity }: Problem): boolean => severity === 'error'

const lessonsOf = (learnt: Learnt | null): string[] =>
  (learnt?.experience.lessons ?? []).map((lesson) => plainText(lessonWords(lesson)))

const lessonText = (learnt: Learnt | null): string =>
  learnt === null
    ? ''
    : `${lessonsOf(learnt)
        .flatMap((lesson) => wrapped(`From the folder: ${lesson}`, columnsOf(process.stdout), '', '  '))
        .join('\n')}\n\n`

async function routeOf(path: string): Promise<{ lengthM: number; shape: PlannedShape } | string> {
  try {
    const bytes = await readFile(path)
    const mapped = mapFile({ path, bytes, sha256: createHash('sha256').update(bytes).digest('hex') })
    const drive = mapped.tracks.find((t) => t.drive !== null)?.drive
    if (!drive) {
      const [problem] = [...mapped.problems, ...mapped.tracks.flatMap((t) => t.problems)].filter(isError)
      return `--track ${cleaned(path)}: expected a track with times${problem ? `; ${problem.message}` : ''}`
    }
    const [route] = routesOf([drive.path])
    return { lengthM: drive.summary.distanceM, shape: plannedShape(route.shape) }
  } catch (error) {
    if (!isFileError(error)) throw error
    return `--track ${cleaned(path)} cannot be read: ${fileErrorReason(error)}`
  }
}

const plannedShape = (shape: string): PlannedShape =>
  shape === 'loop' ? 'loop' : shape === 'one-way' ? 'one-way' : 'there-and-back'
