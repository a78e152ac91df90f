import { cleaned } from '../../base/names.ts'
import { daysOf } from '../../fetch/cells.ts'
import type { Chosen } from '../../fetch/choose.ts'
import type { Caps } from '../../fetch/get/ask.ts'
import type { Choice } from '../../fetch/observed-plan.ts'
import type { FetchPlan } from '../../fetch/plan.ts'
import type { Ask, Service } from '../../fetch/types.ts'
import { listed, plural } from '../../report/words.ts'
import type { Part } from './part.ts'

/** The whole of what is about to be asked, with the caps, and what of the drives is told by it. */
export function wholeText(parts: readonly Part[], caps: Caps, folder: string): string {
  const requests = parts.reduce((sum, part) => sum + part.requests, 0)
  const told = parts.flatMap((part) => part.told)
  if (requests === 0) return `${told.join('\n')}\n`
  const bytes = parts.reduce((sum, part) => sum + part.bytes, 0)
  const places = parts.filter((part) => part.requests > 0).map((part) => `${cleaned(folder)}/${part.folder.name}`)
  return `${[
    ...told,
    '',
    `In all about ${plural(requests, 'request')}, ${sizeText(bytes)}; at most ${caps.requests} requests, ${Math.round(caps.bytes / 1e6)} MB, ${caps.minutes} minutes.`,
    `To be written to ${listed(places)}.`,
  ].join('\n')}\n`
}

/** What observations are about to be asked, of whom, how much it is, and what of the drives is told by it. */
export function planLines(plan: FetchPlan): string[] {
  if (plan.isEmpty) return [nothingText(plan)]
  return [
    `${plural(plan.need.drives, 'drive')}; ${areasText(plan)}`,
    ...hiddenLine(plan),
    '',
    ...plan.choices.filter(({ asks }) => asks.some((ask) => plan.asks.includes(ask))).flatMap(choiceLines),
    ...(plan.renewed.length > 0
      ? [`To be renewed, because it was fetched soon after it was observed: ${plural(plan.renewed.length, 'file')}.`]
      : []),
    ...(plan.pages.length > 0
      ? [
          `First come lists of stations (${listed([...new Set(plan.pages.map(({ about }) => about))])}), and lists that they name; the stations asked may change once they are read.`,
        ]
      : []),
    '',
    ...askedServices(plan).flatMap((service) => serviceLines(service, plan)),
    'If a station has nothing, the next best is asked.',
    `Told to these hosts: names of stations, days${plan.asks.some(({ purpose }) => purpose === 'model') ? ', middles of cells of a quarter of a degree' : ''}, the program's name and version. No track, and no place of it.`,
  ]
}

function nothingText({ choices, need }: FetchPlan): string {
  if (need.areas.length > 0 && choices.length === 0)
    return 'All drives lie in the future; their weather is not observed yet.'
  if (choices.every(({ there }) => there > 0)) {
    return 'Nothing to fetch: the stations that are there already tell what can be told, and none of them is to be renewed.'
  }
  return 'Nothing to fetch: no station that has not been asked yet lies within 300 km of the roads.'
}

const areasText = ({ choices }: FetchPlan): string => {
  const days = [...new Set(choices.map(({ task }) => daysOf(task.where.span).replace('_', ' to ')))]
  return `days in UTC: ${days.length > 12 ? `${days.slice(0, 12).join(', ')} and ${days.length - 12} more spans` : days.join(', ')}`
}

const hiddenLine = ({ need: { hiddenDrives } }: FetchPlan): string[] =>
  hiddenDrives > 0
    ? [`${plural(hiddenDrives, 'drive')} within private places of campaign.yaml: nothing is asked for.`]
    : []

function choiceLines({ task, chosen, there }: Choice): string[] {
  const days = daysOf(task.where.span).replace('_', ' to ')
  const already = there > 0 ? `, beside ${plural(there, 'station')} already there` : ''
  return [`${days}${already}:`, ...chosen.map((one) => `  ${reasonText(one)}`)]
}

const POINTS = ['north', 'north-east', 'east', 'south-east', 'south', 'south-west', 'west', 'north-west']

/** Why a station is taken: where it is, and what it makes of the doubt about the wind. */
function reasonText({ station, distanceM, towardsDeg, aboveM, beforeMps, withMps }: Chosen): string {
  const where = `${Math.round(distanceM / 1000)} km ${POINTS[Math.round((((towardsDeg % 360) + 360) % 360) / 45) % 8]}`
  const height = Number.isFinite(aboveM)
    ? `, ${Math.abs(Math.round(aboveM))} m ${aboveM < 0 ? 'below' : 'above'} the road`
    : ', height not known'
  const gain = Number.isFinite(beforeMps)
    ? `lowers the doubt of the wind from ${beforeMps.toFixed(2)} to ${withMps.toFixed(2)} m/s`
    : `adds most by itself: doubt of the wind ${withMps.toFixed(2)} m/s`
  const name = station.name === station.id ? station.id : `${station.name} (${station.id})`
  return `${cleaned(name)}, ${station.service}: ${where} of the nearest part of the roads${height}; ${gain}`
}

const askedServices = (plan: FetchPlan): Service[] =>
  plan.services.filter(({ id }) => [...plan.pages, ...plan.renewed, ...plan.asks].some(({ service }) => service === id))

function serviceLines(service: Service, plan: FetchPlan): string[] {
  const asks = [...plan.pages, ...plan.renewed, ...plan.asks].filter((ask) => ask.service === service.id)
  const untried =
    service.triedOn === 'synthetic' ? ' UNTRIED: built from its description, never held against a real answer.' : ''
  const model = service.kind === 'model' ? ' A MODEL, not an observation.' : ''
  return [
    `${service.name} (${service.host}): ${plural(asks.length, 'request')}, about ${sizeText(sum(asks))}. Licence: ${service.licence}.${model}${untried}`,
  ]
}

const sum = (asks: readonly Ask[]): number => asks.reduce((total, { roughBytes }) => total + roughBytes, 0)

export const sizeText = (bytes: number): string =>
  bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1000))} kB` : `${(bytes / 1e6).toFixed(1)} MB`

/** Addresses to be opened in a browser, one a line: lists of services whose stations only they tell, then the answers. */
export function addressesOf({ services, pages, renewed, asks }: FetchPlan): string[] {
  const first = pages.filter(({ service }) => services.some(({ id, hasIndex }) => id === service && !hasIndex))
  return [...first, ...renewed, ...asks].map(({ url }) => url)
}
