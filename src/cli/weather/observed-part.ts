import { seriesOf } from '../../air/series.ts'
import type { CampaignInputs } from '../../campaign/load/inputs.ts'
import { stationKnowledge } from '../../campaign/load/station-knowledge.ts'
import { shippedAirports } from '../../fetch/airports.ts'
import type { Need } from '../../fetch/cells.ts'
import type { FetchedFolder } from '../../fetch/fetched-folder.ts'
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
import { type Choice, choiceFor, type Observed, type Setting, tasksOf } from '../../fetch/observed-plan.ts'
import { type FetchPlan, planOf } from '../../fetch/plan.ts'
import { modelRequests, openMeteo } from '../../fetch/services/open-meteo.ts'
import { SERVICES } from '../../fetch/services/registry.ts'
import type { Ask, Service } from '../../fetch/types.ts'
import type { Part } from './part.ts'
import { addressesOf, planLines } from './plan-text.ts'

/** Which services are asked. */
export interface ServiceOptions {
  service?: string[]
  model?: string
}

/** Observations for the drives, and a model's air where it was asked for. */
export async function observedPart(
  need: Need,
  inputs: CampaignInputs,
  folder: FetchedFolder,
  options: ServiceOptions,
  nowS: number,
): Promise<Part> {
  const setting: Setting = {
    folder,
    services: servicesOf(options),
    airports: await shippedAirports(),
    observed: observedIn(inputs, need, folder),
    nowS,
    isNamed: options.service !== undefined,
  }
  const choices = tasksOf(need, nowS).map((task) => choiceFor(task, setting))
  const plan = planOf(need, setting, choices, modelAsks(choices, setting), provisionalAsks(setting))
  return {
    folder,
    told: [...planLines(plan), ...(plan.isEmpty ? [] : notAsked(plan, nowS))],
    addresses: addressesOf(plan),
    requests: plan.pages.length + plan.renewed.length + plan.asks.length,
    bytes: plan.bytes,
    run: (gathering) => fetchAll(plan, setting, gathering),
    gaps: (done) => gapsIn(folder, done, need),
  }
}

/** Services that cover the roads and are not asked unless they are named. */
function notAsked({ services, choices }: FetchPlan, nowS: number): string[] {
  const others = SERVICES.filter(
    (one) =>
      one.kind === 'observed' && !services.includes(one) && choices.some(({ task }) => one.covers(task.where, nowS)),
  )
  if (others.length === 0) return []
  const names = others.map(({ id, triedOn }) => (triedOn === 'synthetic' ? `${id} (untried)` : id))
  return [`Not asked, though they observe there: ${names.join(', ')}. --service names those that are asked.`]
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

const servicesOf = ({ service, model }: ServiceOptions): Service[] =>
  SERVICES.filter(({ id, byDefault }) => {
    if (id === openMeteo.id) return model !== undefined
    return service === undefined ? byDefault : service.includes(id)
  })

/** Stations of the folder whose wind bears on drives: those of models and forecasts are none. */
function observedIn(inputs: CampaignInputs, need: Need, folder: FetchedFolder): Observed[] {
  const ours = new Map(folder.entries.map(({ file, purpose }) => [`${folder.name}/${file}`, purpose]))
  const observations = inputs.observations.filter(({ file }) => !['model', 'forecast'].includes(ours.get(file) ?? ''))
  const { series } = seriesOf(observations, inputs.campaign.stations, stationKnowledge(inputs.stationList))
  const hours = need.areas.flatMap((area) => area.hours)
  return series
    .filter(({ station }) => !station.onRoad && Number.isFinite(station.latitude))
    .map(({ station, time, windSpeedMps }) => ({
      latitude: station.latitude,
      longitude: station.longitude,
      elevationM: station.elevationM,
      spans: hours.filter(({ fromS, toS }) =>
        time.some((t, i) => t >= fromS && t <= toS && Number.isFinite(windSpeedMps[i])),
      ),
    }))
    .filter(({ spans }) => spans.length > 0)
}
