import { seriesOf } from '../../air/series.ts'
import { cleaned } from '../../base/names.ts'
import { readInputs } from '../../campaign/load/inputs.ts'
import type { MappedDrive } from '../../campaign/load/mapped-drive.ts'
import { stationKnowledge } from '../../campaign/load/station-knowledge.ts'
import { hiddenWithin } from '../../campaign/privacy.ts'
import { shippedAirports } from '../../fetch/airports.ts'
import { type Need, needOf } from '../../fetch/cells.ts'
import { type FetchedFolder, openFetched } from '../../fetch/fetched-folder.ts'
import { gapsIn } from '../../fetch/gaps.ts'
import {
  type Fetched,
  fetchAsks,
  fetchObserved,
  fetchPages,
  type Gathering,
  provisionalAsks,
  renewProvisional,
} from '../../fetch/gather.ts'
import type { Caps } from '../../fetch/get/ask.ts'
import { type Choice, choiceFor, type Observed, type Setting, tasksOf } from '../../fetch/observed-plan.ts'
import { type FetchPlan, planOf } from '../../fetch/plan.ts'
import { modelRequests, openMeteo } from '../../fetch/services/open-meteo.ts'
import { SERVICES } from '../../fetch/services/registry.ts'
import type { Ask, Service } from '../../fetch/types.ts'
import { DONE, type ExitCode } from '../../shell/exit-codes.ts'
import { refuse, refuseProblem } from '../../shell/refusal.ts'
import { type Opened, openFolder, sayProblem } from '../../work/campaign-folder.ts'
import { consentTo, online } from './online.ts'
import { addressesOf, planText } from './plan-text.ts'
import { resultExit, resultJson, resultText } from './result-text.ts'

export interface WeatherOptions {
  yes?: boolean
  dryRun?: boolean
  service?: string[]
  model?: string
  mostRequests: number
  mostMb: number
  mostMinutes: number
  json?: boolean
}

const capsOf = ({ mostRequests, mostMb, mostMinutes }: WeatherOptions): Caps => ({
  requests: mostRequests,
  bytes: mostMb * 1e6,
  minutes: mostMinutes,
})

/** The command `weather`: what is to be asked is told first, and asked only after a yes. */
export async function fetchWeather(folder: string, options: WeatherOptions): Promise<ExitCode> {
  const nowS = Date.now() / 1000
  const opened = await openFolder(folder)
  if (opened.refusal !== null) return refuse(opened.refusal, options.json)
  const { folder: fetched, problem } = openFetched(opened.root, 'weather')
  if (problem !== null) return refuseProblem(problem, options.json)
  const prepared = await preparedFrom(opened, fetched, servicesOf(options), nowS, options.service !== undefined)
  if (typeof prepared === 'string') return refuse(prepared, options.json)
  const { need, setting } = prepared
  const choices = tasksOf(need, nowS).map((task) => choiceFor(task, setting))
  const plan = planOf(need, setting, choices, modelAsks(choices, setting), provisionalAsks(setting))
  const caps = capsOf(options)
  const consent = await consentTo(planText(plan, folder, caps), addressesOf(plan), plan.isEmpty, options)
  if (consent !== 'yes') return consent === 'done' ? DONE : refuse(consent, options.json)
  const done = await online(plan.pages.length + plan.renewed.length + plan.asks.length, caps, (gathering) =>
    fetchAll(plan, setting, gathering),
  )
  const gaps = await gapsIn(fetched, done, need)
  for (const gap of gaps) sayProblem(gap)
  const next = `Now: ceteris report ${cleaned(folder)}`
  process.stdout.write(options.json ? resultJson(done, gaps, [fetched]) : resultText(done, [fetched], next))
  return resultExit(done, gaps)
}

/** What is to be asked of the model for all roads, where it was asked for. */
const modelAsks = (choices: readonly Choice[], { services, nowS }: Setting): Ask[] =>
  services.includes(openMeteo) ? choices.flatMap(({ task }) => modelRequests(task.where, nowS)) : []

async function fetchAll(
  { choices, pages, asks }: FetchPlan,
  setting: Setting,
  gathering: Gathering,
): Promise<Fetched[]> {
  const all = await renewProvisional(setting, gathering)
  const tasks = choices.map(({ task }) => task)
  if (pages.length > 0) all.push(...(await fetchPages(tasks, setting, gathering)))
  for (const task of tasks) all.push(...(await fetchObserved(task, setting, gathering)))
  const models = asks.filter(({ purpose }) => purpose === 'model')
  all.push(...(await fetchAsks(models, setting, gathering)))
  return all
}

const servicesOf = ({ service, model }: WeatherOptions): Service[] =>
  SERVICES.filter(({ id, byDefault }) => {
    if (id === openMeteo.id) return model !== undefined
    return service === undefined ? byDefault : service.includes(id)
  })

async function preparedFrom(
  { mapped }: Exclude<Opened, { refusal: string }>,
  folder: FetchedFolder,
  services: readonly Service[],
  nowS: number,
  isNamed: boolean,
): Promise<{ need: Need; setting: Setting } | string> {
  const drives: MappedDrive[] = mapped.flatMap((file) => file.tracks.flatMap(({ drive }) => drive ?? []))
  if (drives.length === 0) return 'no file in the folder holds a track with times that could be used'
  const inputs = await readInputs(mapped)
  const need = needOf(drives, hiddenWithin(inputs.campaign.private))
  if (need.areas.length === 0)
    return 'all drives lie within the private places of campaign.yaml, and nothing is told of these'
  const ours = new Map(folder.entries.map(({ file, purpose }) => [`${folder.name}/${file}`, purpose]))
  const observations = inputs.observations.filter(({ file }) => !['model', 'forecast'].includes(ours.get(file) ?? ''))
  const { series } = seriesOf(observations, inputs.campaign.stations, stationKnowledge(inputs.stationList))
  const observed: Observed[] = series
    .filter(({ station }) => !station.onRoad && Number.isFinite(station.latitude))
    .map(({ station, time, windSpeedMps }) => ({
      latitude: station.latitude,
      longitude: station.longitude,
      elevationM: station.elevationM,
      spans: need.areas
        .flatMap(({ hours }) => hours)
        .filter(({ fromS, toS }) => time.some((t, i) => t >= fromS && t <= toS && Number.isFinite(windSpeedMps[i]))),
    }))
    .filter(({ spans }) => spans.length > 0)
  return { need, setting: { folder, services, airports: await shippedAirports(), observed, nowS, isNamed } }
}
