import { jsonText } from '../../base/json-text.ts'
import { cleaned } from '../../base/names.ts'
import { present } from '../../base/present.ts'
import { type WorkingState, workingStateOf } from '../../campaign/computed-campaign.ts'
import type { RunRecord } from '../../campaign/drive/run-record.ts'
import { mapParts } from '../../campaign/load/map-parts.ts'
import { isLeftOut } from '../../campaign/load/recordings/left-out.ts'
import { readNamed } from '../../files/folder.ts'
import { fileRefusal, PICTURE, writePicture } from '../../files/own-file.ts'
import { type ForecastField, forecastOf } from '../../plan/forecast.ts'
import type { Slot } from '../../plan/windows.ts'
import { slotsOf, type WindowsQuestion } from '../../plan/windows-ahead.ts'
import { subjectOf, typicalRun } from '../../plan/windows-subject.ts'
import { wrapped } from '../../report/terminal/terminal-text.ts'
import { DONE, DONE_WITH_ERRORS, type ExitCode } from '../../shell/exit-codes.ts'
import { refuse } from '../../shell/refusal.ts'
import { columnsOf } from '../../shell/terminal-stream.ts'
import { openFolder, sayProblem } from '../../work/campaign-folder.ts'
import { fetchedForecasts } from './fetched-forecasts.ts'
import { windowsSvg } from './windows-picture.ts'
import { windowsRecord } from './windows-record.ts'
import { windowsText } from './windows-text.ts'

export interface WindowsOptions {
  forecast?: string[]
  drive?: string
  road?: string
  margin?: number
  from?: string
  days: number
  step: string
  rows: number
  svg?: string
  draws: number
  seed: number
  json?: boolean
}

const DAY_S = 86_400

const NO_FORECAST =
  'no forecast: fetch one with ceteris weather <folder> --forecast, or name a weather table with times ahead with --forecast <file>'

/** The command `plan windows`. */
export async function planWindows(folder: string, options: WindowsOptions): Promise<ExitCode> {
  const from = options.from === undefined ? Date.now() / 1000 : instantOf(options.from)
  if (Number.isNaN(from)) {
    return refuse(
      `--from: found "${options.from}", expected a time with its offset, like 2026-05-04T06:00Z`,
      options.json,
    )
  }
  const fetched = options.forecast === undefined ? fetchedForecasts(folder) : null
  const paths = options.forecast ?? fetched?.paths ?? []
  if (paths.length === 0) return refuse(NO_FORECAST, options.json)
  const unwritable = options.svg === undefined ? null : await fileRefusal(options.svg, PICTURE, paths)
  if (unwritable !== null) return refuse(unwritable, options.json)
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return refuse(opened.refusal, options.json)
  const outlook = await readNamed(paths)
  const outlookMapped = (await Promise.all(outlook.files.map(mapParts))).flat()
  // A forecast that lies in the folder itself is no observation.
  const tables = outlookMapped.filter((f) => f.tracks.length === 0)
  const mapped = opened.mapped.filter((f) => !tables.some((o) => o.sha256 === f.sha256))
  const state = await workingStateOf(mapped, opened.kept, options)
  const chosen = baselineRuns(state, options)
  if (typeof chosen === 'string') return refuse(chosen, options.json)
  const reference = typicalRun(chosen)
  const { forecast, problems: forecastProblems } = await forecastOf(outlookMapped, state, reference)
  const mappedProblems = mapped.flatMap((f) => f.problems.map((p) => ({ ...p, file: f.path })))
  const errors = [...opened.problems, ...mappedProblems, ...outlook.problems, ...forecastProblems].filter(
    ({ severity }) => severity === 'error',
  )
  for (const problem of errors) sayProblem(problem)
  const question: WindowsQuestion = {
    reference,
    baseline: chosen,
    marginPct: options.margin ?? state.campaign.marginPct,
    from,
    issued: Math.min(from, fetched?.fetchedS ?? from),
    to: from + options.days * DAY_S,
    stepS: 60 * Number(options.step),
  }
  const refusal = forecastRefusal(forecast, question, options.from === undefined)
  if (refusal !== null) return refuse(refusal, options.json)
  const slots = slotsOf(
    { ...question, to: Math.min(question.to, present(forecast).lastTime) },
    present(forecast),
    state,
  )
  if (slots.every((s) => s.difference === null)) return refuse(notReached(slots), options.json)
  const subject = subjectOf(question, slots, present(forecast), state)
  process.stdout.write(
    options.json
      ? `${jsonText(windowsRecord(slots, subject), 2)}\n`
      : windowsText(slots, subject, options.rows, (text) => wrapped(text, columnsOf(process.stdout))),
  )
  if (options.svg !== undefined) {
    const failure = await writePicture(windowsSvg(slots, subject), options.svg, paths)
    if (failure !== null) return refuse(failure, options.json)
  }
  return errors.length > 0 ? DONE_WITH_ERRORS : DONE
}

/** Why no slot is known: what one of them lacks is told first. */
function notReached(slots: Slot[]): string {
  const [{ missing }] = [...slots].sort((a, b) => a.missing.length - b.missing.length)
  if (missing.length === 1) {
    const columns = missing[0] === 'wind' ? 'wind_speed_mps and wind_from_deg' : 'temperature_c'
    return `the forecast tells no ${missing[0]} for the drives of the time asked for: expected ${columns} (or other units) in its table`
  }
  return 'the forecast reaches no drive of the time asked for: it needs temperature and wind at least every 12 hours, from a place within 100 km of the road'
}

function forecastRefusal(forecast: ForecastField | null, { from, to }: WindowsQuestion, isNow: boolean): string | null {
  if (forecast === null) return 'no forecast could be used: expected a weather table with times ahead and a place'
  const begins = isNow ? ' (now)' : ''
  const iso = (time: number): string => `${new Date(time * 1000).toISOString().slice(0, 16)}Z`
  if (forecast.lastTime < from) {
    return `the forecast ends at ${iso(forecast.lastTime)}, before the first start at ${iso(from)}${begins}; fetch a newer one, or give --from`
  }
  if (forecast.firstTime > to) {
    return `the forecast begins at ${iso(forecast.firstTime)}, after the last start at ${iso(to)}; give more --days, or --from`
  }
  return null
}

/** ISO 8601 with an offset; NaN otherwise. */
const instantOf = (text: string): number =>
  /^\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d)?(Z|[+-]\d\d:?\d\d)$/.test(text) ? Date.parse(text) / 1000 : Number.NaN

/** The runs whose conditions are sought, all on one road; or why there are none. */
function baselineRuns(state: WorkingState, options: WindowsOptions): RunRecord[] | string {
  const { records, roads, campaign } = state
  if (records.length === 0) return 'the folder holds no track that could be used'
  if (options.drive !== undefined) {
    const run = records.find((r) => r.run.id === options.drive || r.run.track === options.drive)
    if (!run)
      return `no drive is called "${cleaned(options.drive)}"; there are ${records.map((r) => r.run.id).join(', ')}`
    if (run.demand === null)
      return `the air of the drive ${run.run.id} is not known: ${run.comparable.missing.join(' and ')} missing`
    return [run]
  }
  const route = options.road === undefined ? null : roads.names.indexOf(options.road)
  if (route === -1) return `no road is called "${cleaned(options.road ?? '')}"; there are ${roads.names.join(', ')}`
  const known = records.filter((r) => r.demand !== null && !isLeftOut(r.run) && r.member.relation === 'same')
  const ofBaseline = known.filter((r) => campaign.baseline !== null && r.run.row?.setup === campaign.baseline)
  const candidates = (ofBaseline.length > 0 ? ofBaseline : known).filter((r) => route === null || r.route === route)
  if (candidates.length === 0)
    return 'no drive of the baseline has known wind and temperature: add weather observations for it'
  return mostlyDry(onBusiestRoute(candidates))
}

function onBusiestRoute(records: RunRecord[]): RunRecord[] {
  const count = (route: number): number => records.filter((r) => r.route === route).length
  const busiest = records.reduce((a, b) => (count(b.route) > count(a.route) ? b : a)).route
  return records.filter((r) => r.route === busiest)
}

/** Wet roads count in no claim against a dry baseline, nor the other way round. */
function mostlyDry(records: RunRecord[]): RunRecord[] {
  const wet = records.filter((r) => r.comparable.outside.wet === true)
  return wet.length > records.length / 2 ? wet : records.filter((r) => !wet.includes(r))
}
