import { cleaned } from '../../base/names.ts'
import type { Problem } from '../../base/problem.ts'
import { motionsIn } from '../../campaign/load/drive-source.ts'
import { readInputs } from '../../campaign/load/inputs.ts'
import type { MappedDrive } from '../../campaign/load/mapped-drive.ts'
import { runsOf } from '../../campaign/load/runs.ts'
import { hiddenWithin, privateEnds } from '../../campaign/report/privacy.ts'
import { needOf } from '../../fetch/cells.ts'
import { openFetched } from '../../fetch/fetched-folder.ts'
import { usualSource } from '../../fetch/forecast/fetch-forecast.ts'
import type { Fetched } from '../../fetch/gather.ts'
import type { Caps } from '../../fetch/get/ask.ts'
import { squaresOf } from '../../fetch/terrain/squares.ts'
import { DONE, type ExitCode } from '../../shell/exit-codes.ts'
import { refuse, refuseProblem } from '../../shell/refusal.ts'
import { type Opened, openFolder, sayProblem } from '../../work/campaign-folder.ts'
import { forecastPart } from './forecast-part.ts'
import { observedPart, type ServiceOptions } from './observed-part.ts'
import { consentTo, online } from './online.ts'
import type { Part } from './part.ts'
import { wholeText } from './plan-text.ts'
import { resultExit, resultJson, resultText } from './result-text.ts'
import { terrainPart } from './terrain-part.ts'

export interface WeatherOptions extends ServiceOptions {
  yes?: boolean
  dryRun?: boolean
  terrain?: boolean | string
  forecast?: boolean | string
  mostRequests: number
  mostMb: number
  mostMinutes: number
  json?: boolean
}

/** The command `weather`: what is to be asked is told first, and asked only after a yes. */
export async function fetchWeather(folder: string, options: WeatherOptions): Promise<ExitCode> {
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return refuse(opened.refusal, options.json)
  const parts = await partsOf(opened, options)
  if (typeof parts === 'string') return refuse(parts, options.json)
  if (!Array.isArray(parts)) return refuseProblem(parts, options.json)
  const requests = parts.reduce((sum, part) => sum + part.requests, 0)
  const caps = { requests: options.mostRequests, bytes: options.mostMb * 1e6, minutes: options.mostMinutes }
  const addresses = parts.flatMap((part) => part.addresses)
  const consent = await consentTo(wholeText(parts, caps, folder), addresses, requests === 0, options)
  if (consent !== 'yes') return consent === 'done' ? DONE : refuse(consent, options.json)
  return fetched(parts, requests, caps, folder, options)
}

async function fetched(
  parts: readonly Part[],
  requests: number,
  caps: Caps,
  folder: string,
  { json, forecast }: WeatherOptions,
): Promise<ExitCode> {
  const done: Fetched[] = []
  const gaps: Problem[] = []
  await online(requests, caps, async (gathering) => {
    for (const part of parts) {
      const found = await part.run(gathering)
      done.push(...found)
      gaps.push(...(await part.gaps(found)))
    }
  })
  for (const gap of gaps) sayProblem(gap)
  const folders = parts.map((part) => part.folder)
  const what = forecast ? 'plan windows' : 'report'
  const next = `Now: ceteris ${what} ${cleaned(folder)}`
  process.stdout.write(json ? resultJson(done, gaps, folders) : resultText(done, folders, next))
  return resultExit(done, gaps)
}

/** What is to be fetched; or why nothing can be. */
async function partsOf(
  { root, mapped }: Exclude<Opened, { refusal: string }>,
  options: WeatherOptions,
): Promise<Part[] | Problem | string> {
  const nowS = Date.now() / 1000
  const drives: MappedDrive[] = mapped.flatMap((file) => file.tracks.flatMap(({ drive }) => drive ?? []))
  if (drives.length === 0) return 'no file in the folder holds a track with times that could be used'
  const inputs = await readInputs(mapped)
  const { timeZone, gates, privateEndsRadiusM } = inputs.campaign
  const { recordings } = runsOf(mapped, { ...inputs, gates, timeZone }, motionsIn(mapped))
  const hidden = hiddenWithin([...inputs.campaign.private, ...privateEnds(recordings, privateEndsRadiusM)])
  const need = needOf(drives, hidden)
  if (need.areas.length === 0) {
    return 'all drives lie within the private places of campaign.yaml, and nothing is told of these'
  }
  if (options.forecast) {
    const forecast = openFetched(root, 'forecast')
    if (forecast.problem !== null) return forecast.problem
    const source = options.forecast === true ? usualSource(need.areas) : options.forecast
    return [forecastPart(need.areas, source, forecast.folder, nowS)]
  }
  const weather = openFetched(root, 'weather')
  if (weather.problem !== null) return weather.problem
  const parts = [await observedPart(need, inputs, weather.folder, options, nowS)]
  if (options.terrain) {
    const elevation = openFetched(root, 'elevation')
    if (elevation.problem !== null) return elevation.problem
    const source = options.terrain === true ? 'skadi' : options.terrain
    parts.push(terrainPart(squaresOf(drives, hidden), source, elevation.folder, nowS))
  }
  return parts
}
