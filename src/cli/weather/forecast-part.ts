import type { Area } from '../../fetch/cells.ts'
import type { FetchedFolder } from '../../fetch/fetched-folder.ts'
import { FORECASTS, fetchForecasts, forecastAsks, someCells } from '../../fetch/forecast/fetch-forecast.ts'
import { plural } from '../../report/words.ts'
import type { Part } from './part.ts'

/** Forecasts for the roads of a folder. */
export function forecastPart(areas: readonly Area[], source: string, folder: FetchedFolder, nowS: number): Part {
  const { service } = FORECASTS[source]
  const { pages, asks } = forecastAsks(areas, source, folder, nowS)
  const known = [...pages, ...asks]
  // Each page leads to a forecast that is not known yet.
  const later = pages.length === 0 ? 0 : 3 * areas.length
  const untried =
    service.triedOn === 'synthetic' ? ' UNTRIED in part: its list of places was never held against a real one.' : ''
  const cells = areas.reduce((sum, area) => sum + someCells(area).length, 0)
  const told =
    source === 'mosmix'
      ? 'names of places of its list'
      : `the middles of ${plural(cells, 'cell')} of a quarter of a degree`
  return {
    folder,
    told:
      known.length === 0
        ? ['Forecasts: those that are there were fetched within the last hour.']
        : [
            `Forecasts for the coming days, from ${service.name} (${service.host}${service.otherHosts ? `, ${service.otherHosts.join(', ')}` : ''}). Licence: ${service.licence}.${untried}`,
            `Told to it: ${told}, and the program’s name and version. No track, and no place of it.`,
          ],
    addresses: known.map(({ url }) => url),
    requests: known.length === 0 ? 0 : known.length + later,
    bytes: known.reduce((sum, { roughBytes }) => sum + roughBytes, 0) + later * 100_000,
    run: (gathering) => fetchForecasts(areas, source, folder, gathering),
    gaps: async () => [],
  }
}
