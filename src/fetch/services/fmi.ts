import { isoDay, isoSecond } from '../../base/time.ts'
import { daysOf } from '../cells.ts'
import { checkXml } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span } from '../types.ts'
import { anyWithin } from '../where.ts'
import { candidate, DAY_S, page } from './lists.ts'

const HOST = 'opendata.fmi.fi'
const QUERY = `https://${HOST}/wfs?service=WFS&version=2.0.0&request=getFeature&storedquery_id=`
const LIST = 'fmi_stations.xml'
const FINLAND = { southDeg: 59.4, westDeg: 19, northDeg: 70.2, eastDeg: 31.7 }
/** At most 168 hours a request. */
const MOST_S = 7 * DAY_S

/**
 * Observations of ten minutes of the Finnish institute.
 * @source en.ilmatieteenlaitos.fi/open-data-manual, stored queries fmi::observations::weather::simple and, from memory,
 *   fmi::ef::stations
 */
export const fmi: Service = {
  id: 'fmi',
  name: 'Finnish Meteorological Institute, observations',
  host: HOST,
  licence: 'CC BY 4.0',
  credit: 'Source: Finnish Meteorological Institute, open data',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 1500,
  hasIndex: false,
  byDefault: false,
  covers: (where) => anyWithin(where, FINLAND),
  pages: () => [page('fmi', `${QUERY}fmi::ef::stations`, LIST, 'stations of the Finnish institute', 2_000_000)],
  stations: (pages) => stationsIn(pages.get(LIST) ?? ''),
  requestsFor: (station, span) => weeksOf(span).map((week) => requestFor(station, week)),
  check: ({ purpose }, bytes) =>
    checkXml(
      bytes,
      (text) => text.split(purpose === 'list' ? 'EnvironmentalMonitoringFacility ' : 'ParameterValue>').length - 1,
    ),
}

function stationsIn(text: string): Candidate[] {
  const facilities = text.split(/<ef:EnvironmentalMonitoringFacility[\s>]/).slice(1)
  return facilities.flatMap((facility) => {
    const id = /<gml:identifier[^>]*fmisid[^>]*>\s*(\d+)/.exec(facility)?.[1] ?? ''
    const name = /<(?:gml:name|ef:name)[^>]*>\s*([^<]+?)\s*</.exec(facility)?.[1] ?? id
    const [latitude = Number.NaN, longitude = Number.NaN] =
      /<gml:pos[^>]*>\s*(-?[\d.]+)\s+(-?[\d.]+)/.exec(facility)?.slice(1).map(Number) ?? []
    return candidate('fmi', id, name, { latitude, longitude, elevationM: Number.NaN })
  })
}

function weeksOf({ fromS, toS }: Span): Span[] {
  const weeks: Span[] = []
  for (let at = fromS; at < toS; at += MOST_S) weeks.push({ fromS: at, toS: Math.min(toS, at + MOST_S) })
  return weeks
}

function requestFor({ id, name }: Candidate, span: Span): Ask {
  const hours = `starttime=${isoSecond(span.fromS)}&endtime=${isoSecond(span.toS)}`
  return {
    service: 'fmi',
    purpose: 'observations',
    url: `${QUERY}fmi::observations::weather::simple&fmisid=${id}&parameters=t2m,td,ws_10min,wd_10min,wg_10min,p_sea&timestep=10&${hours}`,
    file: `fmi_${id}_${daysOf(span)}.xml`,
    about: `${name}, ${isoDay(span.fromS)}`,
    station: id,
    span,
    roughBytes: (400_000 * (span.toS - span.fromS)) / DAY_S,
  }
}
