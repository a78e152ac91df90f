import { z } from 'zod'
import { checkJson, checkRows, textOf } from '../get/answer-kinds.ts'
import type { Ask, Candidate, Service, Span, Verdict } from '../types.ts'
import { anyWithin } from '../where.ts'
import { candidate, DAY_S, page, parsedJson } from './lists.ts'

const HOST = 'opendata-download-metobs.smhi.se'
const ROOT = `https://${HOST}/api/version/1.0/parameter`
const LIST = 'smhi_parameter_4.json'
const SWEDEN = { southDeg: 55, westDeg: 10.5, northDeg: 69.2, eastDeg: 24.3 }
/** `latest-months` holds about four; what is older is in the corrected archive, which begins three months back. */
const LATEST_DAYS = 110

/** Wind speed, direction, temperature, dew point, sea-level pressure. */
const PARAMETERS = [4, 3, 1, 39, 9]

const list = z.object({
  station: z.array(
    z.object({
      id: z.number(),
      name: z.string(),
      latitude: z.number(),
      longitude: z.number(),
      height: z.number().nullish(),
      from: z.number().nullish(),
      to: z.number().nullish(),
    }),
  ),
})

/**
 * Hourly observations of the Swedish institute, the wind a mean of ten minutes.
 * @source opendata.smhi.se, metobs, as clients of it use it
 */
export const smhi: Service = {
  id: 'smhi',
  name: 'SMHI, meteorological observations',
  host: HOST,
  licence: 'CC BY 4.0',
  credit: 'Source: SMHI',
  kind: 'observed',
  triedOn: 'synthetic',
  pauseMs: 1500,
  hasIndex: false,
  byDefault: false,
  covers: (where) => anyWithin(where, SWEDEN),
  pages: () => [page('smhi', `${ROOT}/4.json`, LIST, 'stations of SMHI', 400_000)],
  stations: (pages) => stationsIn(pages.get(LIST) ?? ''),
  requestsFor: (station, span, nowS) => PARAMETERS.map((parameter) => requestFor(station, parameter, span, nowS)),
  check: ({ purpose }, bytes) =>
    purpose === 'list'
      ? checkJson(bytes, (value) => (value as { station?: unknown[] }).station?.length ?? 0)
      : checkCsv(bytes),
}

function stationsIn(text: string): Candidate[] {
  const read = list.safeParse(parsedJson(text))
  return (read.data?.station ?? []).flatMap(({ id, name, latitude, longitude, height, from, to }) =>
    candidate(
      'smhi',
      String(id),
      name,
      { latitude, longitude, elevationM: height ?? Number.NaN },
      { since: (from ?? 0) / 1000, until: to ? to / 1000 + 2 * DAY_S : Number.POSITIVE_INFINITY },
    ),
  )
}

function requestFor({ id, name }: Candidate, parameter: number, span: Span, nowS: number): Ask {
  const isLate = span.fromS > nowS - LATEST_DAYS * DAY_S
  const period = isLate ? 'latest-months' : 'corrected-archive'
  return {
    service: 'smhi',
    purpose: 'observations',
    url: `${ROOT}/${parameter}/station/${id}/period/${period}/data.csv`,
    file: `smhi_${id}_${parameter}_${period}.csv`,
    about: name,
    station: id,
    span,
    roughBytes: isLate ? 150_000 : 6_000_000,
  }
}

/** Blocks about station and parameter stand before the rows; footnotes stand in cells behind those of the first rows. */
function checkCsv(bytes: Uint8Array): Verdict {
  const text = textOf(bytes)
  const from = text.search(/^.*(^|;)Kvalitet(;|\r?$)/m)
  if (from < 0) return checkRows(bytes, { separator: ';', isHead: () => false, isHeader: () => false })
  const columns = /^(.*?Kvalitet)/.exec(text.slice(from))?.[1].split(';').length ?? 1
  const table = text
    .slice(from)
    .split('\n')
    .map((line) => line.split(';').slice(0, columns).join(';'))
    .join('\n')
  const isHeader = (line: string): boolean => /;Kvalitet$/.test(line)
  return checkRows(new TextEncoder().encode(table), { separator: ';', isHead: () => false, isHeader })
}
